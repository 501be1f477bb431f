"""Whether “80 in 100” came true 80 times in 100, over the cars whose repair held.

Each car is forecast from what had been seen on it, by weights that this car did not teach. Source
of the scores: Brier 1950; Good 1952, Rational decisions (the logarithm). Source of the interval:
Wilson 1927, as tabled by Newcombe 1998. All from memory.

>>> [round(one, 4) for one in wilson(81, 263)]
[0.2553, 0.3662]
>>> sure = Forecast(said={"hose": 0.5, "fan": 0.5}, right=frozenset({"fan"}), is_one=True)
>>> sure.bits, sure.brier
(1.0, 0.5)
"""

from __future__ import annotations

from dataclasses import dataclass
from math import fsum, log2, sqrt
from typing import TYPE_CHECKING, Final

from vehicles.diagnosis.fault_model import Causes
from vehicles.diagnosis.inference import Contradiction, Reasoner
from vehicles.diagnosis.learning import (
    NOT_LISTED,
    causes_in,
    learned_from,
    roots_of,
    tally,
)

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from vehicles.diagnosis.fault_model import FaultModel
    from vehicles.diagnosis.learning import Car

#: The 97.5th percentile of the standard normal distribution.
Z_95: Final = 1.959963984540054
BINS: Final = 10
#: So many cars of a complaint are forecast, the latest; all of them teach.
MOST_CARS: Final = 200
#: A cause that was said to be impossible, and was it, costs so many bits and not infinitely many.
MOST_BITS: Final = 20.0


@dataclass(frozen=True, kw_only=True)
class Forecast:
    """What was said of one car, and what its repair proved.

    `said`: probability by cause, NOT_LISTED among them where one cause is assumed (`is_one`); they
    sum to one then. `right`: the causes that were there.
    """

    said: Mapping[str, float]
    right: frozenset[str]
    is_one: bool

    @property
    def pairs(self) -> list[tuple[float, bool]]:
        """Each probability with whether it came true."""
        return [(p, code in self.right) for code, p in self.said.items()]

    @property
    def brier(self) -> float:
        """Return the sum over causes of squared misses: 0 is best, 2 the worst with one cause."""
        return fsum((p - came) ** 2 for p, came in self.pairs)

    @property
    def bits(self) -> float:
        """Return the surprise at what was found, in bits: 0 is best, 1 is a coin's."""
        counted = [(p, came) for p, came in self.pairs if came or not self.is_one]
        return fsum(_surprise(p if came else 1 - p) for p, came in counted)


@dataclass(frozen=True, kw_only=True)
class Bin:
    """Forecasts from `low` to `high`: how many, how many came true, what was said on average.

    `interval` is where the true share lies in 95 of 100 such bins.
    """

    low: float
    high: float
    said: float
    right: int
    count: int
    interval: tuple[float, float]

    @property
    def share(self) -> float:
        """How often it came true."""
        return self.right / self.count


@dataclass(frozen=True, kw_only=True)
class Scores:
    """Means over so many cars; both are better the lower they are."""

    cars: int
    brier: float
    bits: float


@dataclass(frozen=True, kw_only=True)
class Review:
    """The same cars forecast with own experience, each without itself, and with shipped weights.

    `contradicted`: cars on which what was seen can't be by one of the two; they are in neither.
    """

    learned: tuple[Forecast, ...] = ()
    shipped: tuple[Forecast, ...] = ()
    contradicted: int = 0

    def plus(self, other: Review) -> Review:
        """Return both together."""
        return Review(
            learned=self.learned + other.learned,
            shipped=self.shipped + other.shipped,
            contradicted=self.contradicted + other.contradicted,
        )


def review(model: FaultModel, cars: Sequence[Car], worth: int) -> Review:
    """Return how the model forecasts the last `MOST_CARS` of these; none teaches its own forecast.

    A car with several roots is left out where the model has one.
    """
    counted = tally(model, cars)
    shipped = Reasoner(model)
    alone: dict[tuple[frozenset[str], tuple[tuple[str, str], ...]], Reasoner] = {}
    pairs = []
    for car in cars[-MOST_CARS:]:
        key = (car.causes, tuple(sorted(car.seen)))
        if key not in alone:
            others = counted.without(tally(model, [car]))
            alone[key] = Reasoner(learned_from(model, others, worth).model)
        if _is_forecast(model, car):
            pairs.append((_forecast(alone[key], car), _forecast(shipped, car)))
    both = [(one, two) for one, two in pairs if one and two]
    return Review(
        learned=tuple(one for one, _ in both),
        shipped=tuple(two for _, two in both),
        contradicted=len(pairs) - len(both),
    )


def scores(forecasts: Sequence[Forecast]) -> Scores:
    """Return the mean scores of forecasts; zeros where there is none."""
    cars = len(forecasts)
    return Scores(
        cars=cars,
        brier=fsum(one.brier for one in forecasts) / max(cars, 1),
        bits=fsum(one.bits for one in forecasts) / max(cars, 1),
    )


def bins(pairs: Iterable[tuple[float, bool]]) -> list[Bin]:
    """Return the tenths of what was said that hold any forecast, from low to high."""
    found: dict[int, list[tuple[float, bool]]] = {}
    for p, came in pairs:
        found.setdefault(min(int(p * BINS), BINS - 1), []).append((p, came))
    return [_bin(place, found[place]) for place in sorted(found)]


def wilson(right: int, count: int, z: float = Z_95) -> tuple[float, float]:
    """Return the score interval of a share.

    Raises:
        ValueError: nothing was counted, or more came true than there were.
    """
    if not 0 <= right <= count or not count:
        raise ValueError(f"{right} of {count} is no share.")
    middle = (right + z * z / 2) / (count + z * z)
    half = z / (count + z * z) * sqrt(right * (count - right) / count + z * z / 4)
    return middle - half if right else 0.0, middle + half if right < count else 1.0


def _bin(place: int, pairs: Sequence[tuple[float, bool]]) -> Bin:
    right, count = sum(came for _, came in pairs), len(pairs)
    return Bin(
        low=place / BINS,
        high=(place + 1) / BINS,
        said=fsum(p for p, _ in pairs) / count,
        right=right,
        count=count,
        interval=wilson(right, count),
    )


def _surprise(p: float) -> float:
    return min(-log2(p), MOST_BITS) + 0.0 if p > 0 else MOST_BITS


def _is_forecast(model: FaultModel, car: Car) -> bool:
    return model.causes is Causes.SEVERAL or len(roots_of(model, causes_in(model, car))) == 1


def _forecast(reasoner: Reasoner, car: Car) -> Forecast | None:
    """Return what is said of a car after what was seen on it, or None where that can't be."""
    model = reasoner.model
    known = {(check.code, one.code) for check in model.checks for one in check.outcomes}
    observed = dict(one for one in car.seen if one in known)
    try:
        belief = reasoner.believe(observed)
    except Contradiction:
        return None
    causes = causes_in(model, car)
    if model.causes is Causes.SEVERAL:
        return Forecast(said=belief.present, right=causes - {NOT_LISTED}, is_one=False)
    said = {**belief.root, NOT_LISTED: belief.unlisted}
    return Forecast(said=said, right=roots_of(model, causes), is_one=True)
