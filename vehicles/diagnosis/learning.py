"""What cars whose repair held teach a fault model: counts on top of the shipped figures.

With one cause the shipped weights are a Dirichlet prior worth so many cars, and each car adds one
to its root cause; with several causes each weight is a Beta prior of the same worth by itself. The
rows of a check learn in the same way, from cars on which one cause alone acts on it. Source of the
update: Gelman et al., Bayesian Data Analysis, sections 2.4 and 3.4, from memory.

>>> updated({"hose": 0.6, "fan": 0.4}, {"hose": 0, "fan": 5}, worth=5)
{'hose': 0.3, 'fan': 0.7}
>>> updated({"hose": 0.6, "fan": 0.4}, {"fan": 5}, worth=0)
{'hose': 0.001, 'fan': 0.999}
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field, replace
from itertools import pairwise
from math import fsum
from typing import TYPE_CHECKING, Final

from vehicles.diagnosis.fault_model import Causes, cumulative, net_cumulative

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from vehicles.diagnosis.fault_model import Check, Fault, FaultModel

NOT_LISTED: Final = ""
#: With fewer cars of a complaint nobody can tell whether the weights fit. Own choice.
TOO_FEW: Final = 5
#: Where own cars count alone, a cause that none of them had keeps so much. Own choice.
FLOOR: Final = 0.001
#: A row counts for so many cars at least, so that no single car makes an outcome impossible.
LEAST_WORTH_OF_ROW: Final = 10
_ROUNDING: Final = 1e-9

Rows = dict[str, dict[str, tuple[float, ...]]]


@dataclass(frozen=True, kw_only=True)
class Car:
    """A car whose repair held: the causes that it proved, and what each check had shown.

    `causes` are codes of faults, or `NOT_LISTED`; `seen` pairs a check with its outcome.
    """

    pk: int = 0
    causes: frozenset[str]
    seen: tuple[tuple[str, str], ...] = ()

    @property
    def observed(self) -> dict[str, str]:
        """The outcome of each check."""
        return dict(self.seen)


@dataclass(frozen=True, kw_only=True)
class Tally:
    """What was counted: a sum over cars, so that their order never matters.

    `hits`: cars by cause. `tries`: cars that could have shown it so. `rows`: by check, fault
    (`NOT_LISTED` for the sound row) and outcome. `left_out`: cars with several roots where the
    model has one. `mixed`: observations on which several causes acted.
    """

    hits: Counter[str] = field(default_factory=Counter)
    tries: Counter[str] = field(default_factory=Counter)
    rows: Counter[tuple[str, str, str]] = field(default_factory=Counter)
    cars: int = 0
    left_out: int = 0
    mixed: int = 0

    def without(self, other: Tally) -> Tally:
        """Return what is left when the cars of `other` are taken out."""
        return Tally(
            hits=self.hits - other.hits,
            tries=self.tries - other.tries,
            rows=self.rows - other.rows,
            cars=self.cars - other.cars,
            left_out=self.left_out - other.left_out,
            mixed=self.mixed - other.mixed,
        )


@dataclass(frozen=True, kw_only=True)
class Learned:
    """A model after its cars. `weights` hold each fault and `NOT_LISTED`; `rows` what changed.

    `raised` names the rows, by check and fault, that were raised to the nearest noisy-MAX.
    """

    model: FaultModel
    weights: Mapping[str, float]
    rows: Rows
    tally: Tally
    raised: tuple[tuple[str, str], ...] = ()

    @property
    def cars(self) -> int:
        """How many cars are in the weights."""
        return self.tally.cars


def learn(model: FaultModel, cars: Iterable[Car], worth: int) -> Learned:
    """Return the model with what these cars teach; `worth` is what the shipped one counts for.

    Raises:
        ValueError: `worth` is negative.
    """
    return learned_from(model, tally(model, cars), worth)


def learned_from(model: FaultModel, counted: Tally, worth: int) -> Learned:
    """Return the model with what was counted.

    Raises:
        ValueError: `worth` is negative.
    """
    if worth < 0:
        raise ValueError("The shipped weights can’t count for fewer than no cars.")
    weights = _weights(model, counted, worth)
    rows = _rows(model, counted, max(worth, LEAST_WORTH_OF_ROW))
    raised = _raise_rows(model, rows) if model.causes is Causes.SEVERAL else ()
    return Learned(
        model=applied(model, weights, rows),
        weights=weights,
        rows=rows,
        tally=counted,
        raised=raised,
    )


def applied(
    model: FaultModel,
    weights: Mapping[str, float],
    rows: Mapping[str, Mapping[str, Sequence[float]]],
) -> FaultModel:
    """Return the model with these figures in place of its own; what is not named stays."""
    return replace(
        model,
        faults=tuple(
            replace(one, weight=weights.get(one.code, one.weight)) for one in model.faults
        ),
        checks=tuple(_with_rows(one, rows.get(one.code, {})) for one in model.checks),
        unlisted=weights.get(NOT_LISTED, model.unlisted),
    )


def tally(model: FaultModel, cars: Iterable[Car]) -> Tally:
    """Return what these cars count for. A cause that the model lacks is one not listed."""
    hits: Counter[str] = Counter()
    tries: Counter[str] = Counter()
    rows: Counter[tuple[str, str, str]] = Counter()
    total = left_out = mixed = 0
    for car in cars:
        causes = causes_in(model, car)
        mixed += _count_rows(model, causes, car.observed, rows)
        if model.causes is Causes.ONE and len(roots_of(model, causes)) != 1:
            left_out += 1
            continue
        total += 1
        if model.causes is Causes.ONE:
            hits.update(roots_of(model, causes))
        else:
            _count_each(model.faults, causes, hits, tries)
    return Tally(hits=hits, tries=tries, rows=rows, cars=total, left_out=left_out, mixed=mixed)


def causes_in(model: FaultModel, car: Car) -> frozenset[str]:
    """Return the car's causes as this model knows them."""
    known = {one.code for one in model.faults}
    return frozenset(one if one in known else NOT_LISTED for one in car.causes)


def roots_of(model: FaultModel, causes: frozenset[str]) -> frozenset[str]:
    """Return the causes that no other one of them can have brought about."""
    brought = {one.code for one in model.faults if causes.intersection(one.caused_by)}
    return causes - brought


def updated(
    shipped: Mapping[str, float], counts: Mapping[str, int], *, worth: int
) -> dict[str, float]:
    """Return the mean of a Dirichlet distribution: shipped shares worth so many cars, and counts.

    With `worth` 0 the counts stand alone, and what was never counted keeps `FLOOR` of all, or its
    shipped share where that is less.
    """
    cars = sum(counts.values())
    if not cars:
        return dict(shipped)
    if worth:
        return {
            one: (worth * share + counts.get(one, 0)) / (worth + cars)
            for one, share in shipped.items()
        }
    kept = {one: min(FLOOR, share) for one, share in shipped.items() if not counts.get(one, 0)}
    rest = 1 - fsum(kept.values())
    return {one: kept.get(one, rest * counts.get(one, 0) / cars) for one in shipped}


def _weights(model: FaultModel, counted: Tally, worth: int) -> dict[str, float]:
    if model.causes is Causes.ONE:
        shipped = {one.code: one.weight for one in model.faults} | {NOT_LISTED: model.unlisted}
        return updated(shipped, counted.hits, worth=worth)
    weights = {}
    for one in model.faults:
        hits = counted.hits[one.code]
        counts = {"there": hits, "absent": counted.tries[one.code] - hits}
        shares = {"there": one.weight, "absent": 1 - one.weight}
        weights[one.code] = updated(shares, counts, worth=worth)["there"]
    return weights


def _count_each(
    faults: Sequence[Fault], causes: frozenset[str], hits: Counter[str], tries: Counter[str]
) -> None:
    """Count each fault on a car where nothing else can have brought it about."""
    for one in faults:
        if not causes.intersection(one.caused_by):
            tries[one.code] += 1
            hits[one.code] += one.code in causes


def _count_rows(
    model: FaultModel,
    causes: frozenset[str],
    observed: Mapping[str, str],
    rows: Counter[tuple[str, str, str]],
) -> int:
    """Count what each check showed by what acted on it; return how many had several causes."""
    if not causes or (model.causes is Causes.ONE and NOT_LISTED in causes):
        return 0
    mixed = 0
    for check in model.checks:
        shown = observed.get(check.code)
        if shown not in {one.code for one in check.outcomes}:
            continue
        acting = causes.intersection(check.given)
        if len(acting) > 1:
            mixed += 1
            continue
        rows[check.code, next(iter(acting), NOT_LISTED), str(shown)] += 1
    return mixed


def _rows(model: FaultModel, counted: Tally, worth: int) -> Rows:
    """Return the rows that were seen on a car, each a Dirichlet mean over its own figures."""
    found: Rows = {}
    for check in model.checks:
        for fault, row in {NOT_LISTED: check.sound, **check.given}.items():
            shares = {one.code: share for one, share in zip(check.outcomes, row, strict=True)}
            counts = {one: counted.rows[check.code, fault, one] for one in shares}
            if any(counts.values()):
                mean = updated(shares, counts, worth=worth)
                found.setdefault(check.code, {})[fault] = tuple(mean.values())
    return found


def _with_rows(check: Check, rows: Mapping[str, Sequence[float]]) -> Check:
    if not rows:
        return check
    given = {fault: tuple(rows.get(fault, row)) for fault, row in check.given.items()}
    return replace(check, sound=tuple(rows.get(NOT_LISTED, check.sound)), given=given)


def _raise_rows(model: FaultModel, rows: Rows) -> tuple[tuple[str, str], ...]:
    """Raise each row that is no noisy-MAX over its sound one any more, and return which."""
    raised = []
    for check in model.checks:
        after = _with_rows(check, rows.get(check.code, {}))
        for fault, row in after.given.items() if after is not check else ():
            nearest = _nearest(after.sound, row)
            if any(abs(one - two) > _ROUNDING for one, two in zip(nearest, row, strict=True)):
                rows[check.code][fault] = nearest
                raised.append((check.code, fault))
    return tuple(raised)


def _nearest(sound: tuple[float, ...], row: tuple[float, ...]) -> tuple[float, ...]:
    """Return the row as `outcome_row` takes it where several causes act."""
    net = net_cumulative(sound, row)
    below = [leak * share for leak, share in zip(cumulative(sound), net, strict=True)]
    return (below[0], *(high - low for low, high in pairwise(below)))
