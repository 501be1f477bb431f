"""How old a part is that gives out with the years, and when it is due: tires, battery, belts.

>>> str(age(Aging.BATTERY, date(2022, 5, 1), date(2026, 11, 25)).sentence)
'Battery, 4.6 years old: due at 4 years.'
>>> tire_made("DOT U2LL LMLR 3521", date(2026, 11, 25))
datetime.date(2021, 8, 29)

The maker's own interval goes before the usual ones here, which are common practice.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from enum import StrEnum
from fractions import Fraction
from types import MappingProxyType
from typing import TYPE_CHECKING, Final

from shared.say import Say, say
from vehicles.inspection.units import show
from vehicles.inspection.wear import COMMON, MONTHS

if TYPE_CHECKING:
    from collections.abc import Mapping

_YEAR_DAYS: Final = Fraction("365.25")


class Aging(StrEnum):
    """A part that gives out with the years, however it looks."""

    TIRE = "tire"
    BATTERY = "battery"
    TIMING_BELT = "timing_belt"
    DRIVE_BELT = "drive_belt"


@dataclass(frozen=True, kw_only=True)
class Interval:
    """When a part is due: after years, after miles, or at whichever comes first."""

    years: int
    miles: int = 0  # 0: miles do not count
    source: str = COMMON
    text_seen: bool = False

    @property
    def words(self) -> Say:
        """The interval as it follows `due at`."""
        if not self.miles:
            return say("{years} years", years=self.years)
        return say(
            "{years} years or {miles} miles, whichever comes first",
            years=self.years,
            miles=f"{self.miles:,}",
        )


@dataclass(frozen=True, kw_only=True)
class Age:
    """How old a part is, and when it is due; `by` is a month's first day, or past when due."""

    years: Fraction
    due: bool
    by: date
    interval: Interval
    sentence: Say


#: Without the maker's own figure, which goes before it.
INTERVALS: Final[Mapping[Aging, Interval]] = MappingProxyType(
    {
        Aging.TIRE: Interval(
            years=6, source="advice of many car makers, seen second-hand; no federal limit"
        ),
        Aging.BATTERY: Interval(years=4),
        Aging.TIMING_BELT: Interval(years=7, miles=60_000),
        Aging.DRIVE_BELT: Interval(years=6, miles=60_000),
    }
)
_NAMES: Final = MappingProxyType(
    {
        Aging.TIRE: say("Tire"),
        Aging.BATTERY: say("Battery"),
        Aging.TIMING_BELT: say("Timing belt"),
        Aging.DRIVE_BELT: say("Drive belt"),
    }
)
_OLD_FIGURES: Final = 3
_FIGURES: Final = 4
_WEEKS: Final = 53


def age(
    part: Aging,
    since: date,
    today: date,
    *,
    miles: int = 0,
    miles_per_week: int = 0,
    interval: Interval | None = None,
) -> Age:
    """Return how old a part is that was made or fitted on a day, and when it is due.

    `miles` is what it has run; `interval` the maker's own, else the usual one.

    Raises:
        ValueError: the day lies ahead, or miles are below zero.
    """
    if since > today:
        raise ValueError(f"{since} lies ahead. Type the day it was made or fitted.")
    if min(miles, miles_per_week) < 0:
        raise ValueError("Miles can't be below zero.")
    due_at = interval or INTERVALS[part]
    ends = [since + timedelta(days=round(due_at.years * _YEAR_DAYS))]
    if due_at.miles and miles >= due_at.miles:
        ends.append(today)
    elif due_at.miles and miles_per_week:
        weeks = Fraction(due_at.miles - miles, miles_per_week)
        ends.append(min(ends[0], today + timedelta(days=min(int(weeks * 7), 36_500))))
    by = min(ends)
    years = Fraction((today - since).days) / _YEAR_DAYS
    words = {"part": _NAMES[part], "age": show(Fraction(round(years * 10), 10), "years")}
    if by <= today:
        sentence = say("{part}, {age} old: due at {interval}.", **words, interval=due_at.words)
    else:
        sentence = say(
            "{part}, {age} old: due by about {month} {year}.",
            **words,
            month=MONTHS[by.month - 1],
            year=by.year,
        )
    return Age(years=years, due=by <= today, by=by, interval=due_at, sentence=sentence)


def tire_made(code: str, today: date) -> date:
    """Return the Sunday of the week that the last four figures on a tire name.

    The first two are the week, 01 being the first full week of the year; the last two the year.

    Source: 49 CFR 574.5 as amended by 64 FR 36807, summary seen; the first full week and the
    example 0301, third week of 2001, as a Dodge Sprinter 2006 owner's manual prints them, seen.

    Raises:
        ValueError: it is no such code, or it lies ahead. Three figures are from before 2000.
    """
    last = code.rsplit(maxsplit=1)[-1] if code.strip() else ""
    if len(last) == _OLD_FIGURES and last.isdecimal():
        raise ValueError(f"“{last}” has three figures: the tire was made before 2000.")
    week, year = last[-4:-2], last[-2:]
    if len(last) < _FIGURES or not (week + year).isdecimal() or not 1 <= int(week) <= _WEEKS:
        raise ValueError(f"“{code.strip()}” is not a date code. Type week and year, such as 3521.")
    new_year = date(2000 + int(year), 1, 1)
    sunday = new_year + timedelta(days=(6 - new_year.weekday()) % 7 + 7 * (int(week) - 1))
    if sunday > today:
        raise ValueError(f"“{last[-4:]}” lies ahead: week {int(week)} of {2000 + int(year)}.")
    return sunday
