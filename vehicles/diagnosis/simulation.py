"""Cars drawn from a model's own statement, and what it takes to find what is wrong with them.

A car has faults, and an outcome of each check, drawn from a seed; the order of checks changes
nothing about it. What checks show is of the car as it came in, also after a repair. The complaint
is gone when the root is repaired (one cause) or all that is there (several); the specialist ends
it at his price. With one cause, what the root brought about is repaired in any case: that bill is
left out, as it is where advice weighs.

>>> Bill(minutes=60, cents=10_00).dollars(rate=34_00)
44.0
>>> Car(present=frozenset(), root="", outcomes={}).is_listed
False
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from itertools import compress
from math import sqrt
from types import MappingProxyType
from typing import TYPE_CHECKING, Final

import numpy as np

from vehicles.diagnosis.fault_model import Causes, outcome_row, unlisted_row
from vehicles.diagnosis.mixture import in_order
from vehicles.diagnosis.textbook import Kind, State, Technician, Way

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from vehicles.diagnosis.deciding import Terms
    from vehicles.diagnosis.fault_model import Effort, FaultModel

_MINUTES_AN_HOUR: Final = 60
_CENTS: Final = 100


@dataclass(frozen=True, kw_only=True)
class Car:
    """What is wrong with a car, and what each check would show.

    `root`: the first cause where a complaint has one, or "". `misread`: the check whose outcome
    is not what it was drawn as.
    """

    present: frozenset[str]
    root: str
    outcomes: Mapping[str, str]
    misread: str = ""

    @property
    def is_listed(self) -> bool:
        """Whether anything is wrong that the model lists."""
        return bool(self.present)


@dataclass(frozen=True, kw_only=True)
class Bill:
    """Minutes of work and cents paid; `damage` is the part of the cents that checks broke."""

    minutes: int = 0
    cents: int = 0
    damage: int = 0

    def dollars(self, rate: int) -> float:
        """Return all of it in dollars, at `rate` cents an hour."""
        return (self.minutes * rate / _MINUTES_AN_HOUR + self.cents) / _CENTS

    def plus(self, *efforts: Effort, minutes: int = 0, damage: int = 0) -> Bill:
        """Return the bill with more work on it."""
        return Bill(
            minutes=self.minutes + minutes + sum(one.minutes for one in efforts),
            cents=self.cents + damage + sum(one.cents for one in efforts),
            damage=self.damage + damage,
        )


@dataclass(frozen=True, kw_only=True)
class Run:
    """How one technician went through one car, in order.

    `found`: faults concluded or seen that are there. `blamed`: concluded though it is not there.
    `clash`: checks whose outcomes nothing explains, where it came to that.
    """

    checks: tuple[str, ...] = ()
    found: tuple[str, ...] = ()
    blamed: tuple[str, ...] = ()
    handed_over: bool = False
    clash: tuple[str, ...] = ()
    bill: Bill = field(default_factory=Bill)
    state: State = field(default_factory=State)


@dataclass(frozen=True, kw_only=True)
class Tally:
    """What one way came to, on average of all cars; `right` and those after it are shares of one.

    `right`: all was found, or handed over where it is not listed, and nothing sound was blamed.
    `wrong`: something sound was blamed. The rest was handed over although it is listed.
    """

    checks: float
    minutes: float
    dollars: float
    damage: float
    right: float
    wrong: float
    handed_over: float


@dataclass(frozen=True, kw_only=True)
class Saved:
    """What advice saved on average of all cars; `error` is the standard error of the dollars."""

    checks: float
    minutes: float
    dollars: float
    error: float


@dataclass(frozen=True, kw_only=True)
class Trial:
    """The same cars gone through in several ways; runs stand in the order of the cars."""

    model: FaultModel
    rate: int
    cars: tuple[Car, ...]
    runs: Mapping[Way, tuple[Run, ...]]

    def tally(self, way: Way) -> Tally:
        """Return the averages of one way."""
        runs = self.runs[way]
        return Tally(
            checks=_mean([len(one.checks) for one in runs]),
            minutes=_mean([one.bill.minutes for one in runs]),
            dollars=_mean([one.bill.dollars(self.rate) for one in runs]),
            damage=_mean([one.bill.damage / _CENTS for one in runs]),
            right=_mean([is_right(car, one) for car, one in zip(self.cars, runs, strict=True)]),
            wrong=_mean([bool(one.blamed) for one in runs]),
            handed_over=_mean([one.handed_over for one in runs]),
        )

    def saved(self, against: Way) -> Saved:
        """Return what advice saved against another way, car by car."""

        def less(cost: Callable[[Run], float]) -> list[float]:
            pairs = zip(self.runs[against], self.runs[Way.ADVISED], strict=True)
            return [cost(other) - cost(advised) for other, advised in pairs]

        dollars = less(lambda one: one.bill.dollars(self.rate))
        return Saved(
            checks=_mean(less(lambda one: len(one.checks))),
            minutes=_mean(less(lambda one: one.bill.minutes)),
            dollars=_mean(dollars),
            error=float(np.std(dollars)) / sqrt(len(dollars)),
        )

    def misled(self, way: Way) -> Trial:
        """Return the trial with only those cars on which this way met the wrong reading."""
        met = [
            car.misread in done.checks for car, done in zip(self.cars, self.runs[way], strict=True)
        ]
        runs = {one: tuple(compress(self.runs[one], met)) for one in self.runs}
        return replace(self, cars=tuple(compress(self.cars, met)), runs=runs)


def try_out(model: FaultModel, terms: Terms, cars: Sequence[Car], *, steps: int = 1) -> Trial:
    """Return how each way does on these cars; `steps` are those of the advice, one or two.

    Raises:
        ValueError: there are no cars.
    """
    if not cars:
        raise ValueError("Without cars nothing can be tried.")
    runs = {}
    for way in Way:
        technician = Technician(model, way, terms, steps=steps)
        runs[way] = tuple(run(technician, car) for car in cars)
    return Trial(model=model, rate=terms.rate, cars=tuple(cars), runs=runs)


def drawn_car(model: FaultModel, seed: int, number: int) -> Car:
    """Return car `number` of a seed, as the model says that cars are."""
    luck = np.random.default_rng((seed, number))
    is_one = model.causes is Causes.ONE
    root = _drawn_root(model, luck.random()) if is_one else ""
    own = {root: 1.0} if is_one else {one.code: one.weight for one in model.faults}
    present: set[str] = set()
    for code in in_order(model):
        absent = 1 - own.get(code, 0.0)
        for cause, strength in model.fault(code).caused_by.items():
            absent *= 1 - strength * (cause in present)
        if luck.random() < 1 - absent:
            present.add(code)
    outcomes = {}
    for check in model.checks:
        row = unlisted_row(check) if is_one and not present else outcome_row(check, present)
        place = int(np.searchsorted(np.cumsum(row), luck.random(), side="right"))
        outcomes[check.code] = check.outcomes[min(place, len(row) - 1)].code
    return Car(present=frozenset(present), root=root, outcomes=MappingProxyType(outcomes))


def misread(model: FaultModel, car: Car, seed: int, number: int) -> Car:
    """Return the car with one check, drawn by chance, showing something else than it did."""
    luck = np.random.default_rng((seed, number, 1))
    check = model.checks[luck.integers(len(model.checks))]
    others = [one.code for one in check.outcomes if one.code != car.outcomes[check.code]]
    wrong = others[luck.integers(len(others))]
    outcomes = MappingProxyType({**car.outcomes, check.code: wrong})
    return replace(car, outcomes=outcomes, misread=check.code)


def is_right(car: Car, done: Run) -> bool:
    """Return whether all was found, or handed over where it is not listed, and none blamed."""
    return not done.blamed and not (done.handed_over and car.is_listed)


def run(technician: Technician, car: Car) -> Run:
    """Return how this technician goes through this car, until the complaint is gone."""
    going = Run()
    while not (going.handed_over or _is_gone(technician.model, car, going)):
        going = _after(technician, car, going)
    return going


def _drawn_root(model: FaultModel, luck: float) -> str:
    """Return the root by the weights, "" for what is not listed; `luck` is from 0 to 1."""
    codes = [*(one.code for one in model.faults), ""]
    shares = np.cumsum([*(one.weight for one in model.faults), model.unlisted])
    return codes[int(np.searchsorted(shares, luck * shares[-1], side="right"))]


def _is_gone(model: FaultModel, car: Car, going: Run) -> bool:
    if model.causes is Causes.ONE:
        return car.root in going.found
    return car.is_listed and car.present <= set(going.found)


def _after(technician: Technician, car: Car, going: Run) -> Run:
    """Return the run with the next act done."""
    model, act = technician.model, technician.next_act(going.state)
    if act.kind is Kind.HAND_OVER:
        bill = going.bill.plus(model.specialist.effort)
        return replace(going, bill=bill, handed_over=True, clash=act.clash)
    if act.kind is Kind.CHECK:
        return _checked(technician, car, going, act.code)
    return _repaired(model, car, going, act.code, is_sure=act.kind is Kind.CONFIRM)


def _checked(technician: Technician, car: Car, going: Run, code: str) -> Run:
    check, known = technician.model.check(code), technician.terms.setups
    first = sum(known[one].minutes for one in check.setups if one not in going.state.setups)
    broken = sum(one.cents for one in check.damages if one.fault in car.present)
    return replace(
        going,
        checks=(*going.checks, code),
        bill=going.bill.plus(check.effort, minutes=first, damage=broken),
        state=going.state.with_outcome(check, car.outcomes[code]),
    )


def _repaired(model: FaultModel, car: Car, going: Run, code: str, *, is_sure: bool) -> Run:
    """Return the run with a part exposed, and repaired when it is bad.

    A part that was concluded to be bad is replaced without another look at it.
    """
    fault, was_there = model.fault(code), code in car.present
    is_followed = model.causes is Causes.ONE and was_there and code != car.root
    is_repaired = (was_there or is_sure) and not is_followed
    efforts = [fault.look, *([fault.repair] if is_repaired else [])]
    return replace(
        going,
        found=(*going.found, code) if was_there else going.found,
        blamed=(*going.blamed, code) if is_sure and not was_there else going.blamed,
        bill=going.bill.plus(*efforts),
        state=going.state.with_fault(code, was_there=was_there),
    )


def _mean(values: Sequence[float]) -> float:
    return sum(values) / len(values)
