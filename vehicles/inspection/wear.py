"""What is legal now and won't be for long: a worn part, with the month its limit comes.

>>> from vehicles.inspection.catalogue import load
>>> tread = load().criteria["tire-tread"]
>>> worn = wear(tread, Fraction("2.7"), miles_per_week=220, today=date(2026, 11, 25))
>>> str(worn.sentence)
'2.7/32 in of tread: legal now, under 2/32 in by about March at 220 miles a week, by usual wear.'
>>> str(near(tread, Fraction(4)).sentence)
'4/32 in of tread: legal now, replacement is advised from 4/32 in down.'

All numbers are in the unit of their criterion. Rates and advice carry their source; they are common
practice and err on the early side. Driving, load, weather and roads change them.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum
from fractions import Fraction
from itertools import pairwise
from types import MappingProxyType
from typing import TYPE_CHECKING, Final

from shared.say import Say, say
from vehicles.inspection.criteria import NONE
from vehicles.inspection.units import Quantity, convert, show

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from vehicles.inspection.criteria import Criterion

COMMON: Final = "common practice, no source"
_DAYS_A_WEEK: Final = 7
#: A wear date further off is not said: nobody plans on it, and a month's name alone stays clear.
HORIZON_WEEKS: Final = 48
#: A difference below this is the gauge, not the part; a distance below this wears off nothing.
GAUGE: Final = Quantity(Fraction(1), "32nds")
LEAST_MILES: Final = 500

#: The months in words, to be translated.
MONTHS: Final = (
    say("January"),
    say("February"),
    say("March"),
    say("April"),
    say("May"),
    say("June"),
    say("July"),
    say("August"),
    say("September"),
    say("October"),
    say("November"),
    say("December"),
)


#: From this difference across a tire on, the wear is uneven.
UNEVEN: Final = Quantity(Fraction(2), "32nds")


class Pattern(StrEnum):
    """How a tire is worn across, by the keys of the reasons in the catalogue; empty: evenly.

    Source: common practice, no source. Edges wear by wheels out of line, both by too little
    pressure, the middle by too much.
    """

    EVEN = ""
    INNER = "PP worn-inner-edge"
    OUTER = "PP worn-outer-edge"
    EDGES = "PP worn-both-edges"
    MIDDLE = "PP worn-middle"


@dataclass(frozen=True, kw_only=True)
class Rate:
    """How many miles wear off one `unit` of a part, and who says so; `own` is measured here."""

    miles: Fraction
    unit: str
    source: str = COMMON
    text_seen: bool = False
    own: bool = False

    def miles_for(self, number: Fraction, unit: str) -> int:
        """Return the whole miles that wear off a number in `unit`."""
        return int(convert(number, unit, self.unit) * self.miles)


@dataclass(frozen=True, kw_only=True)
class Measured:
    """One reading of a point, in the unit of its criterion, and the odometer in miles with it."""

    number: Fraction
    odometer: int


@dataclass(frozen=True, kw_only=True)
class Advice:
    """A number that is legal but at or under what shops advise."""

    limit: Quantity
    sentence: Say
    source: str = COMMON
    text_seen: bool = False


@dataclass(frozen=True, kw_only=True)
class Wear:
    """When a good number reaches its limit. `by` is the first of a month, None without a date."""

    limit: Quantity
    sentence: Say
    rate: Rate
    miles_left: int
    near: bool
    by: date | None = None


def _each(miles: int, unit: str) -> Rate:
    return Rate(miles=Fraction(miles), unit=unit)


#: Usual wear on the front and on the rear axle. Tires last 40,000 to 70,000 miles for 8/32 in, the
#: pads of a front axle 30,000 to 50,000 for 9 mm: the early end of both (common practice).
_RATES: Final[Mapping[str, tuple[Rate, Rate]]] = MappingProxyType(
    {
        "tire-tread": (_each(5000, "32nds"), _each(5000, "32nds")),
        "brake-pads": (_each(4000, "mm"), _each(6000, "mm")),
        "brake-pads-riveted": (_each(4000, "mm"), _each(6000, "mm")),
        "brake-shoes": (_each(12000, "mm"), _each(12000, "mm")),
    }
)
#: At or under this, replacement is advised (common practice; 3 to 4 mm is usual for pads).
_ADVISED: Final[Mapping[str, Quantity]] = MappingProxyType(
    {
        "tire-tread": Quantity(Fraction(4), "32nds"),
        "brake-pads": Quantity(Fraction(3), "mm"),
    }
)


def near(criterion: Criterion, number: Fraction) -> Advice | None:
    """Return what shops advise on a number that no limit catches; None when it is not near."""
    advised = _ADVISED.get(criterion.code)
    if advised is None or _floor(criterion, number) is None:
        return None
    if number > convert(advised.value, advised.unit, criterion.unit):
        return None
    return Advice(
        limit=advised,
        sentence=say(
            "{value} {phrase}: legal now, replacement is advised from {advised} down.",
            value=show(number, criterion.unit),
            phrase=criterion.phrase,
            advised=str(advised),
        ),
    )


def wear(
    criterion: Criterion,
    number: Fraction,
    position: str = "",
    *,
    miles_per_week: int,
    today: date,
    readings: Sequence[Measured] = (),
) -> Wear | None:
    """Return when a good number reaches its limit at these miles a week.

    Two `readings` or more of this point on this car, this one among them or not, give the car's
    own rate, which goes before the usual one. None when a limit catches the number already (that
    is a finding), when nothing is known of how the part wears, or when the limit is far off.

    Raises:
        ValueError: miles below zero.
    """
    if miles_per_week < 0:
        raise ValueError(f"{miles_per_week} miles a week is not possible. Type 0 or more.")
    floor = _floor(criterion, number)
    usual = _RATES.get(criterion.code)
    if floor is None or usual is None:
        return None
    rate = own_rate(criterion, number, readings) or usual[position[1:2] == "R"]
    left = rate.miles_for(number - floor, criterion.unit)
    by = _by(left, miles_per_week, today)
    advised = near(criterion, number) is not None
    if by is None and not advised:
        return None
    limit = Quantity(floor, criterion.unit)
    return Wear(
        limit=limit,
        sentence=_sentence(criterion, number, limit, by, miles_per_week, rate),
        rate=rate,
        miles_left=left,
        near=advised,
        by=by,
    )


def own_rate(criterion: Criterion, number: Fraction, readings: Sequence[Measured]) -> Rate | None:
    """Return the miles that this car takes for one unit; None when the readings don't show it.

    A number that grew means a new part, and only what came after counts. At least the step of
    the gauge has to be worn off, over at least 500 miles.
    """
    step = convert(GAUGE.value, GAUGE.unit, criterion.unit)
    row = sorted(readings, key=lambda one: (one.odometer, -one.number))
    renewed = [
        at for at, (a, b) in enumerate(pairwise(row), start=1) if b.number - a.number >= step
    ]
    row = row[renewed[-1] :] if renewed else row
    if not row or number - row[-1].number >= step:
        return None
    worn, miles = row[0].number - row[-1].number, row[-1].odometer - row[0].odometer
    if worn < step or miles < LEAST_MILES:
        return None
    return Rate(
        miles=miles / worn,
        unit=criterion.unit,
        source="two readings of this car",
        text_seen=True,
        own=True,
    )


def across(inner: Fraction, middle: Fraction, outer: Fraction) -> Pattern:
    """Return how a tire is worn by its tread at three places, in 32nds of an inch.

    >>> across(Fraction(4), Fraction(7), Fraction(8)).name
    'INNER'
    >>> across(Fraction(5), Fraction(8), Fraction(5)).name
    'EDGES'
    """
    places = (inner, middle, outer)
    if max(places) - min(places) < convert(UNEVEN.value, UNEVEN.unit, "32nds"):
        return Pattern.EVEN
    crown = middle - (inner + outer) / 2
    if abs(inner - outer) >= abs(crown):
        return Pattern.INNER if inner < outer else Pattern.OUTER
    return Pattern.EDGES if crown > 0 else Pattern.MIDDLE


def _floor(criterion: Criterion, number: Fraction) -> Fraction | None:
    """Return the highest lower limit below the number; None when a limit catches it or none is."""
    caught = next((limit for limit in criterion.limits if limit.catches(number)), None)
    floors = [one.value for one in criterion.limits if one.is_lower and one.reason != NONE]
    if not floors or (caught and caught.reason != NONE):
        return None
    return max(floors)


def _by(miles_left: int, miles_per_week: int, today: date) -> date | None:
    if miles_left > HORIZON_WEEKS * miles_per_week or not miles_per_week:
        return None
    return (today + timedelta(days=miles_left * _DAYS_A_WEEK // miles_per_week)).replace(day=1)


def _sentence(
    criterion: Criterion,
    number: Fraction,
    limit: Quantity,
    by: date | None,
    miles_per_week: int,
    rate: Rate,
) -> Say:
    if by is None:
        return say(
            "{value} {phrase}: legal now, near the limit of {limit}.",
            value=show(number, criterion.unit),
            phrase=criterion.phrase,
            limit=str(limit),
        )
    return say(
        "{value} {phrase}: legal now, under {limit} by about {month} "
        "at {miles} miles a week, {basis}.",
        value=show(number, criterion.unit),
        phrase=criterion.phrase,
        limit=str(limit),
        month=MONTHS[by.month - 1],
        miles=miles_per_week,
        basis=say("by this car's own wear") if rate.own else say("by usual wear"),
    )
