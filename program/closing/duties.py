"""The duties of a charity garage's year, and the day on which each is due.

A duty comes once in each calendar year. Its rule is one of

- `fixed 01-31`: a day of the calendar;
- `nth 3 mon 11`: the third Monday of November; `nth last mon 11`: the last one;
- `fiscal 5 15`: day 15 of the fifth month of the fiscal year, which is the fifth month after the
  last one has ended; `fiscal 12 last`: the last day of the fiscal year;
- `paper`: the day stands on a paper of the charity's own, and no rule knows it.

>>> from datetime import date
>>> due_in("fiscal 5 15", 2026), due_in("fiscal 5 15", 2026, first_month=7)
(datetime.date(2026, 5, 15), datetime.date(2026, 11, 15))
>>> due_in("nth 3 mon 11", 2026), moved(date(2026, 1, 31))
(datetime.date(2026, 11, 16), datetime.date(2026, 2, 2))
"""

from __future__ import annotations

import csv
import datetime as dt
from calendar import SATURDAY, SUNDAY, monthrange
from dataclasses import dataclass
from enum import StrEnum
from functools import cache
from pathlib import Path
from typing import TYPE_CHECKING, Final

from program.ledger.fiscal import MONTHS

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

DUTIES_FILE: Final = Path(__file__).resolve().parents[2] / "fixtures" / "catalogue" / "duties.csv"
SOON: Final = dt.timedelta(days=30)
LAST: Final = "last"
ONE_DAY: Final = dt.timedelta(days=1)
HOLIDAYS: Final = (
    *("fixed 01-01", "nth 3 mon 1", "nth 3 mon 2", "fixed 04-16", "nth last mon 5", "fixed 06-19"),
    *("fixed 07-04", "nth 1 mon 9", "nth 2 mon 10", "fixed 11-11", "nth 4 thu 11", "fixed 12-25"),
)
WEEK: Final = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")


@dataclass(frozen=True, kw_only=True)
class Duty:
    """One duty of the catalogue, done by `who`; `ask` has the rule.

    A weekend or a holiday moves a `legal` one.
    """

    code: str
    title: str
    rule: str
    who: str
    how: str = ""
    legal: bool = False
    source: str = ""
    mark: str = ""
    ask: str = ""


class Standing(StrEnum):
    """How a duty stands on a day."""

    DONE = "done"
    ASIDE = "aside"
    OVERDUE = "overdue"
    SOON = "soon"
    AHEAD = "ahead"
    NO_DAY = "no_day"


@dataclass(frozen=True, kw_only=True)
class Due:
    """A duty in one year: its day (None where only a paper names it), and until when the law waits.

    `page` is where it is done, for what the program knows by itself; such a duty isn't ticked off.
    """

    duty: Duty
    on: dt.date | None
    until: dt.date | None = None
    page: str = ""

    @property
    def falls_on(self) -> str:
        """What moves the day: that it is a Saturday or Sunday, or else a holiday."""
        weekend = self.on is not None and self.on.weekday() >= SATURDAY
        return f"a {self.on:%A}" if weekend else "a legal holiday"


@cache
def load() -> tuple[Duty, ...]:
    """Return the shipped duties in the order of the file."""
    with DUTIES_FILE.open(encoding="utf-8", newline="") as file:
        return tuple(Duty(**row | {"legal": row["legal"] == "yes"}) for row in csv.DictReader(file))


def year_of(duties: Iterable[Duty], year: int, *, first_month: int = 1) -> list[Due]:
    """Return the duties of a calendar year by day, those without a day last."""
    found = []
    for duty in duties:
        on = due_in(duty.rule, year, first_month=first_month)
        until = moved(on) if on and duty.legal else on
        found.append(Due(duty=duty, on=on, until=until if until != on else None))
    return in_order(found)


def in_order(dues: Iterable[Due]) -> list[Due]:
    """Return duties by day, then by code; those without a day last."""
    return sorted(dues, key=lambda due: (due.on or dt.date.max, due.duty.code))


def due_in(rule: str, year: int, *, first_month: int = 1) -> dt.date | None:
    """Return the day that a rule names in a calendar year, or None where a paper names it.

    Raises:
        ValueError: the rule is not of a known form, or names a day that the calendar lacks.
    """
    match rule.split():
        case ["paper"]:
            return None
        case ["fixed", day]:
            return _fixed(year, day)
        case ["nth", nth, weekday, month]:
            return _nth(year, int(month), WEEK.index(weekday), nth)
        case ["fiscal", number, day]:
            return _in_month(year, (first_month + int(number) - 2) % MONTHS + 1, day)
    raise ValueError(f"“{rule}” is not a rule for a day.")


def _fixed(year: int, day: str) -> dt.date:
    month, _, number = day.partition("-")
    return dt.date(year, int(month), int(number))


def _in_month(year: int, month: int, day: str) -> dt.date:
    """Return a day of a month, or its last where it has no such day."""
    length = monthrange(year, month)[1]
    return dt.date(year, month, length if day == LAST else min(int(day), length))


def _nth(year: int, month: int, weekday: int, nth: str) -> dt.date:
    """Return the nth weekday of a month, such as the third Monday."""
    first, length = monthrange(year, month)
    days = range(1 + (weekday - first) % len(WEEK), length + 1, len(WEEK))
    return dt.date(year, month, days[-1] if nth == LAST else days[int(nth) - 1])


def moved(on: dt.date) -> dt.date:
    """Return a legal due date, or the next day that is no Saturday, Sunday or legal holiday.

    Holidays of a state alone aren't looked at: they move it further, never nearer.
    Source: IRS.gov, “Return Due Dates for Exempt Organizations: Annual Return” (text seen); the
    section, IRC 7503, from memory.
    """
    kept = holidays(on.year)
    while on.weekday() >= SATURDAY or on in kept:
        on += ONE_DAY
    return on


@cache
def holidays(year: int) -> frozenset[dt.date]:
    """Return the days on which the legal holidays of a year and the next New Year's are kept.

    One that falls on a Saturday is kept on the Friday before, on a Sunday on the Monday after.
    Source: 5 U.S.C. 6103(a) and (b), Executive Order 11582; IRC 7503 takes the holidays of the
    District of Columbia, which adds April 16 (all from memory). Inauguration Day is left out.
    """
    days = [due_in(rule, year) for rule in HOLIDAYS] + [due_in(HOLIDAYS[0], year + 1)]
    return frozenset(_kept(day) for day in days if day)


def _kept(day: dt.date) -> dt.date:
    return day + ONE_DAY * {SATURDAY: -1, SUNDAY: 1}.get(day.weekday(), 0)


def standing(due: Due, today: dt.date, done: Mapping[str, bool]) -> Standing:
    """Return how a duty stands; `done` holds those said to be done (True) or set aside (False)."""
    if due.duty.code in done:
        return Standing.DONE if done[due.duty.code] else Standing.ASIDE
    if due.on is None:
        return Standing.NO_DAY
    if (due.until or due.on) < today:
        return Standing.OVERDUE
    return Standing.SOON if due.on <= today + SOON else Standing.AHEAD
