"""Whether equipment may be used on a day, which bays that leaves, and what room the lot has.

>>> from datetime import date
>>> lift = Piece(id=1, name="Two-post lift", due_on=date(2026, 4, 13), bay_id=7)
>>> lift.standing(date(2026, 4, 13)), lift.standing(date(2026, 4, 14))
(<Standing.SOON: 'soon'>, <Standing.OVERDUE: 'overdue'>)
>>> next_due(date(2026, 8, 31), 6)
datetime.date(2027, 2, 28)

A bay is out while anything bound to it is out: a lift that nobody inspected stands in the way of
the work on the floor too. Program policy; mark: common practice, no source. The maker's manual and
local law may ask for more, and they decide.
"""

from __future__ import annotations

import calendar
from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum
from typing import TYPE_CHECKING, Final

from shared.dates import full_date
from shared.say import say
from vehicles.shop.kinds import EquipmentKind

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from shared.say import Say

SOON: Final = timedelta(days=30)
MONTHS_A_YEAR: Final = 12


class Standing(StrEnum):
    """How a piece of equipment stands on a day; the graver first."""

    TAGGED_OUT = "tagged_out"
    OVERDUE = "overdue"
    SOON = "soon"
    IN_DATE = "in_date"
    RETIRED = "retired"

    @property
    def label(self) -> str:
        """The standing as a table writes it."""
        return _LABELS[self]

    @property
    def usable(self) -> bool:
        """Whether the piece may be used."""
        return self in (Standing.SOON, Standing.IN_DATE)


_LABELS: Final = {
    Standing.TAGGED_OUT: "tagged out",
    Standing.OVERDUE: "overdue",
    Standing.SOON: "due soon",
    Standing.IN_DATE: "in date",
    Standing.RETIRED: "retired",
}
_TOLD: Final = {
    Standing.TAGGED_OUT: say("{name} is tagged out: {because}."),
    Standing.OVERDUE: say("{name} was due for inspection on {day}: nobody uses it."),
    Standing.SOON: say("{name} is due for inspection in {left} days, on {day}."),
    Standing.IN_DATE: say("{name} is in date until {day}."),
    Standing.RETIRED: say("{name} is retired."),
}


@dataclass(frozen=True, kw_only=True)
class Piece:
    """One piece of equipment. `due_on` is its last day in date; `tagged_on` may be unknown."""

    id: int
    name: str
    due_on: date
    kind: EquipmentKind = EquipmentKind.OTHER
    bay_id: int | None = None
    tagged_out: bool = False
    tagged_on: date | None = None
    because: str = ""
    retired_on: date | None = None

    def standing(self, day: date) -> Standing:
        """Return how it stands on a day; a piece is retired from the day of its retirement on."""
        if self.retired_on and self.retired_on <= day:
            return Standing.RETIRED
        if self.tagged_out:
            return Standing.TAGGED_OUT
        if self.due_on < day:
            return Standing.OVERDUE
        return Standing.SOON if self.due_on - day <= SOON else Standing.IN_DATE


@dataclass(frozen=True, kw_only=True)
class Bay:
    """One bay. `closed_on` is the first day on which it is closed for good."""

    id: int
    name: str
    has_lift: bool = False
    closed_on: date | None = None


@dataclass(frozen=True, kw_only=True)
class Closure:
    """Days, the last one included, on which a bay is closed; one taken back is no closure."""

    bay_id: int
    from_on: date
    until_on: date
    reason: str


@dataclass(frozen=True, kw_only=True)
class OpenBays:
    """The ids of usable bays by day, in order; `lift` holds those of them whose lift is usable."""

    every: Mapping[date, tuple[int, ...]]
    lift: Mapping[date, tuple[int, ...]]


def told(piece: Piece, day: date) -> Say:
    """Return how a piece stands on a day, in a sentence."""
    standing, left = piece.standing(day), (piece.due_on - day).days
    values = {
        "name": piece.name,
        "because": piece.because.rstrip("."),
        "left": left,
        "day": full_date(piece.due_on),
    }
    if standing is Standing.TAGGED_OUT and not piece.because:
        return say("{name} is tagged out.", **values)
    if standing is Standing.SOON and left <= 1:
        word = say("tomorrow") if left else say("today")
        return say("{name} is due for inspection {word}.", word=word, **values)
    return say(_TOLD[standing].msgid, **values)


def stops(piece: Piece, bay: Bay, day: date) -> Say | None:
    """Return what a piece does to the bay it is bound to, or None when it does nothing."""
    standing = piece.standing(day)
    if standing in (Standing.IN_DATE, Standing.RETIRED) or bay.id != piece.bay_id:
        return None
    if standing is Standing.TAGGED_OUT and piece.tagged_on is None:
        return say("{bay} is out of the plan.", bay=bay.name)
    first = out_since(piece)
    if standing is Standing.SOON:
        return say("{bay} is out of the plan from {day} on.", bay=bay.name, day=full_date(first))
    return say("{bay} is out of the plan since {day}.", bay=bay.name, day=full_date(first))


def out_since(piece: Piece) -> date:
    """Return the first day on which it is out of use, as far as is known today."""
    overdue = piece.due_on + timedelta(days=1)
    return min(piece.tagged_on, overdue) if piece.tagged_out and piece.tagged_on else overdue


def why_out(
    bay: Bay, pieces: Iterable[Piece], closures: Iterable[Closure], day: date
) -> tuple[Say, ...]:
    """Return why a bay can't be used on a day, a sentence for each reason; empty when it can."""
    if bay.closed_on and bay.closed_on <= day:
        return (say("{bay} is closed since {day}.", bay=bay.name, day=full_date(bay.closed_on)),)
    closed = [
        say(
            "{bay} is closed until {day}: {reason}.",
            bay=bay.name,
            day=full_date(one.until_on),
            reason=one.reason.rstrip("."),
        )
        for one in sorted(closures, key=lambda one: (one.until_on, one.reason))
        if one.bay_id == bay.id and one.from_on <= day <= one.until_on
    ]
    return (*closed, *(told(piece, day) for piece in _out(bay, pieces, day)))


def _out(bay: Bay, pieces: Iterable[Piece], day: date) -> list[Piece]:
    """Return the pieces bound to a bay that may not be used on a day."""
    barred = (Standing.TAGGED_OUT, Standing.OVERDUE)
    bound = (one for one in pieces if one.bay_id == bay.id and one.standing(day) in barred)
    return sorted(bound, key=lambda one: (one.due_on, one.id))


def has_lift(bay: Bay, pieces: Iterable[Piece], day: date) -> bool:
    """Return whether a lift stands in a bay; one whose every lift is retired has none any more.

    A lift that nobody put into the register counts: the page says that it is missing there.
    """
    lifts = [one for one in pieces if one.bay_id == bay.id and one.kind is EquipmentKind.LIFT]
    gone = lifts and all(one.standing(day) is Standing.RETIRED for one in lifts)
    return bay.has_lift and not gone


def open_days(
    bays: Sequence[Bay], pieces: Sequence[Piece], closures: Sequence[Closure], days: Iterable[date]
) -> OpenBays:
    """Return which bays can be used on each of the days.

    What is tagged out today is taken to stay so; what falls due is out from the day after.
    """
    every, lift = {}, {}
    for day in days:
        free = [bay for bay in bays if not why_out(bay, pieces, closures, day)]
        every[day] = tuple(sorted(bay.id for bay in free))
        lift[day] = tuple(sorted(bay.id for bay in free if has_lift(bay, pieces, day)))
    return OpenBays(every=every, lift=lift)


def next_due(on: date, months: int) -> date:
    """Return the day so many months later; where that month is shorter, its last day."""
    year, month = divmod(on.month - 1 + months, MONTHS_A_YEAR)
    year, month = on.year + year, month + 1
    return date(year, month, min(on.day, calendar.monthrange(year, month)[1]))


@dataclass(frozen=True, kw_only=True)
class Space:
    """A place on the lot for one car; `takes_dead` where one that doesn't roll may stand."""

    name: str
    takes_dead: bool = False
    closed_on: date | None = None


@dataclass(frozen=True, kw_only=True)
class Car:
    """A car that is here, the place noted for it, and whether it rolls; `id` is for the reader."""

    label: str
    id: int = 0
    place: str = ""
    rolls: bool = True


@dataclass(frozen=True, kw_only=True)
class Lot:
    """The open spaces with the cars on each, and the cars that stand on none of them.

    `dead` is how many spaces take a car that doesn't roll, `dead_taken` on how many of these such
    a car stands. One that rolls can be pushed off and leaves the space free.
    """

    standing: Mapping[str, tuple[Car, ...]]
    elsewhere: tuple[Car, ...] = ()
    dead: int = 0
    dead_taken: int = 0
    dead_astray: tuple[Car, ...] = ()

    @property
    def free(self) -> tuple[str, ...]:
        """The names of the spaces on which no car stands."""
        return tuple(name for name, cars in self.standing.items() if not cars)


def lot(spaces: Iterable[Space], cars: Iterable[Car], day: date) -> Lot:
    """Return the lot on a day. A car stands on the space that its place names, whatever the case.

    `dead_astray` are the cars that don't roll and stand on no space that takes one.
    """
    here = sorted(cars, key=lambda car: (car.label, car.place))
    rows = sorted((one for one in spaces if not one.closed_on or one.closed_on > day), key=by_name)
    standing = {one.name: tuple(car for car in here if stands_at(car, one.name)) for one in rows}
    placed = [car for there in standing.values() for car in there]
    dead = [one for one in rows if one.takes_dead]
    resting = [[car for car in standing[one.name] if not car.rolls] for one in dead]
    kept = [car for there in resting for car in there]
    return Lot(
        standing=standing,
        elsewhere=tuple(car for car in here if car not in placed),
        dead=len(dead),
        dead_taken=sum(bool(there) for there in resting),
        dead_astray=tuple(car for car in here if not car.rolls and car not in kept),
    )


def by_name(space: Space) -> tuple[str, int, str]:
    """Return what spaces are sorted by: `Space 2` stands before `Space 10`."""
    words, _, number = space.name.rpartition(" ")
    return (
        (words, int(number), "") if number.isascii() and number.isdigit() else (space.name, 0, "")
    )


def stands_at(car: Car, place: str) -> bool:
    """Return whether a car's place names a space or bay, whatever the case."""
    return car.place.strip().casefold() == place.strip().casefold()
