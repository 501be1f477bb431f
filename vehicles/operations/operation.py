"""A repair operation as the catalogue holds it: minutes, usual parts, what it clears, and where.

>>> Points(low=20, likely=30, high=50).plus(Points(low=5, likely=5, high=10), times=2)
Points(low=30, likely=40, high=70)
>>> where("LF"), where("RR-outer"), where("front-passenger")
('front left', 'rear right outer', 'front passenger')

Minutes and prices support a plan; they are no quote. The people named by `skills` do the work.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from types import MappingProxyType
from typing import TYPE_CHECKING, Final

from vehicles.intake.car import Brake

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from vehicles.intake.car import CarFacts
    from vehicles.shop.systems import System

#: What a person needs besides the skill of a system: papers of `shared.people.kinds`.
PAPERS: Final = frozenset({"high_voltage", "refrigerant"})
CORNERS: Final = MappingProxyType(
    {"LF": "front left", "RF": "front right", "LR": "rear left", "RR": "rear right"}
)
_AXLES: Final = MappingProxyType({"LF": "front", "RF": "front", "LR": "rear", "RR": "rear"})
_WITHIN: Final = MappingProxyType(
    {"front": ("LF", "RF"), "rear": ("LR", "RR"), "left": ("LF", "LR"), "right": ("RF", "RR")}
)
_ACROSS: Final = frozenset({"left", "right", "center"})


@dataclass(frozen=True, kw_only=True)
class Points:
    """Low, likely and high of one figure: whole minutes or whole cents."""

    low: int
    likely: int
    high: int

    def __post_init__(self) -> None:
        if not 0 <= self.low <= self.likely <= self.high:
            raise ValueError(
                f"{self.low}, {self.likely}, {self.high} don’t go from low over likely to high."
            )

    def plus(self, other: Points, *, times: int = 1) -> Points:
        """Return the sum of this and so many times the other, point by point."""
        return Points(
            low=self.low + times * other.low,
            likely=self.likely + times * other.likely,
            high=self.high + times * other.high,
        )


class Per(StrEnum):
    """What one job of an operation takes in.

    `car`: the car once. `axle`: one axle, both sides always. `place`: the places found, those of
    one axle in one job.
    """

    CAR = "car"
    AXLE = "axle"
    PLACE = "place"


class Applies(StrEnum):
    """What a car has to have so that an operation makes sense on it."""

    FRONT_DISC = "front_disc"
    REAR_DISC = "rear_disc"
    REAR_DRUM = "rear_drum"
    POWER_BRAKES = "power_brakes"
    ENGINE = "engine"
    GASOLINE = "gasoline"
    HIGH_VOLTAGE = "high_voltage"
    NO_HIGH_VOLTAGE = "no_high_voltage"

    @property
    def label(self) -> str:
        """What the car is said to have, inside a sentence."""
        return _HAVES[self]

    def holds(self, car: CarFacts) -> bool | None:
        """Return whether the car has it; None where nobody noted it."""
        match self:
            case Applies.FRONT_DISC:
                return None if car.front_brakes is None else car.front_brakes is Brake.DISC
            case Applies.REAR_DISC | Applies.REAR_DRUM:
                kind = Brake.DISC if self is Applies.REAR_DISC else Brake.DRUM
                return None if car.rear_brakes is None else car.rear_brakes is kind
            case Applies.POWER_BRAKES:
                return car.power_brakes
            case _:
                return self._drive(car)

    def _drive(self, car: CarFacts) -> bool | None:
        """Return what follows from the fuel; None where nobody noted it."""
        if car.fuel is None:
            return None
        facts = {
            Applies.ENGINE: car.fuel.has_engine,
            Applies.GASOLINE: car.fuel.has_engine and car.fuel != "diesel",
            Applies.HIGH_VOLTAGE: car.fuel.has_high_voltage,
            Applies.NO_HIGH_VOLTAGE: not car.fuel.has_high_voltage,
        }
        return facts[self]


_HAVES: Final = MappingProxyType(
    {
        Applies.FRONT_DISC: "disc brakes in front",
        Applies.REAR_DISC: "disc brakes in the rear",
        Applies.REAR_DRUM: "drum brakes in the rear",
        Applies.POWER_BRAKES: "power brakes",
        Applies.ENGINE: "a combustion engine",
        Applies.GASOLINE: "a gasoline engine",
        Applies.HIGH_VOLTAGE: "a high-voltage battery",
        Applies.NO_HIGH_VOLTAGE: "no high-voltage battery",
    }
)


@dataclass(frozen=True, kw_only=True)
class Clears:
    """A criterion whose faults an operation clears: all of its reasons, or only those named."""

    criterion: str
    title: str  # of the criterion, for the sentence that says why
    reasons: frozenset[str] = frozenset()


@dataclass(frozen=True, kw_only=True)
class UsualPart:
    """A part that an operation usually takes; `price` is that of one, in cents.

    `kind` is the code by which offers and needs are matched, `unit` what one is: each, pair, set.
    """

    kind: str
    title: str
    quantity: int
    per_place: bool  # so many for each place; otherwise for the whole job
    unit: str
    price: Points
    source: str  # guess, or catalogue
    text_seen: bool = False


@dataclass(frozen=True, kw_only=True)
class Operation:
    """One repair: what it takes, what has to come before it, what it brings along and clears.

    `shared_minutes` is the part of the minutes that a second place of the same axle does not ask
    again: raising the car, opening up, bleeding; nor does another job that shares its `access`,
    what has to come off first. `rest_minutes` pass after it for curing or drying. `first` are
    operations that come before it where both are done, `brings` those that always follow it, such
    as the alignment after a tie rod. `outside_days` the car is away; None is as long as usual.
    """

    code: str
    title: str
    system: System
    per: Per
    minutes: Points
    shared_minutes: int = 0
    access: str = ""
    rest_minutes: int = 0
    needs_lift: bool = False
    skills: tuple[str, ...] = ()
    positions: tuple[str, ...] = ()  # empty: it serves every place
    applies: tuple[Applies, ...] = ()
    first: tuple[str, ...] = ()
    brings: tuple[str, ...] = ()
    clears: tuple[Clears, ...] = ()
    parts: tuple[UsualPart, ...] = ()
    sublet_cents: int = 0  # for each place
    outside_days: int | None = 0
    cautions: tuple[str, ...] = ()
    source: str = ""
    text_seen: bool = False

    def __post_init__(self) -> None:
        if self.shared_minutes > self.minutes.low:
            raise ValueError("The minutes shared by several places are more than the low ones.")
        if self.access and not self.shared_minutes:
            raise ValueError("What comes off takes minutes: say how many are shared.")

    def fits(self, car: CarFacts) -> bool:
        """Return whether nothing known of the car speaks against it."""
        return all(one.holds(car) is not False for one in self.applies)

    def clears_what(self, criterion: str, reason: str) -> Clears | None:
        """Return what clears a fault; None where it clears none. No reason: any is asked for."""
        key = " ".join(reason.split())
        for one in self.clears:
            if one.criterion == criterion and (not one.reasons or key in one.reasons):
                return one
        return None

    def minutes_for(self, places: int) -> Points:
        """Return the minutes of one job on so many places: what is shared counts once."""
        points, shared = self.minutes, self.shared_minutes
        again = Points(
            low=points.low - shared, likely=points.likely - shared, high=points.high - shared
        )
        return points.plus(again, times=self._times(places) - 1)

    def quantity_for(self, part: UsualPart, places: int) -> int:
        """Return how many of a part one job on so many places takes."""
        return part.quantity * (self._times(places) if part.per_place else 1)

    def sublet_for(self, places: int) -> int:
        """Return the cents of work done elsewhere for one job on so many places."""
        return self.sublet_cents * self._times(places)

    def served(self, position: str) -> tuple[str, ...] | None:
        """Return the places of this operation that a position means; None where it serves none.

        A lamp's `left` is its left corner, a bounce at the `front` both front corners. Empty:
        the position is not told, or the operation serves the car as one.
        """
        if not self.positions or not position:
            return ()
        base = corner_of(position)
        if base in self.positions:
            return (base,)
        found = tuple(one for one in self.positions if one in _WITHIN.get(base, ()))
        if not found or (base in _ACROSS and len(found) > 1):
            return None
        return found

    def group(self, places: Iterable[str]) -> str:
        """Return which job of this operation the places belong to: an axle, or the car (empty)."""
        if self.per is Per.CAR:
            return ""
        if self.per is Per.AXLE:
            axles = {axle_of(one) for one in (list(places) or self.positions)}
            return min(axles) if len(axles) == 1 else ""
        return min((axle_of(one) for one in places), default="")

    def _times(self, places: int) -> int:
        return max(places, 1) if self.per is Per.PLACE else 1


def corner_of(position: str) -> str:
    """Return the wheel of a position such as `LF-inner`, or the position itself."""
    base = position.partition("-")[0]
    return base if base in CORNERS else position


def axle_of(place: str) -> str:
    """Return the axle of a wheel; `across` for a left, right or center; else the place itself."""
    return "across" if place in _ACROSS else _AXLES.get(place, place)


def where(position: str) -> str:
    """Return a position in words, such as `front left` or `rear right outer`."""
    base = corner_of(position)
    rest = position.removeprefix(base).replace("-", " ")
    return f"{CORNERS.get(base, base.replace('-', ' '))}{rest}"


def in_words(places: Iterable[str]) -> str:
    """Return places of one job in words: `front left and right`.

    >>> in_words(["LF", "RF"]), in_words(["driver"])
    ('front left and right', 'driver')
    """
    ordered = sorted(places, key=_order)
    words = [where(one) for one in ordered]
    axles = {axle_of(one) for one in ordered}
    if len(words) > 1 and len(axles) == 1 and ordered[0] in CORNERS:
        words = [words[0], *(one.rpartition(" ")[2] for one in words[1:])]
    return " and ".join(words)


def _order(place: str) -> tuple[int, str]:
    known = [*CORNERS, "left", "right", "center"]
    return (known.index(place) if place in known else len(known), place)


def titles(operations: Mapping[str, Operation], codes: Iterable[str]) -> str:
    """Return the titles of operations, quoted and separated by commas."""
    return ", ".join(f"“{operations[code].title}”" for code in codes)
