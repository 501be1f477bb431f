"""The cycles of a grant: which days are claimed together, and by when.

Quarters are those of the calendar, whatever day the grant begins on; the first and the last cycle
are cut to the grant's own days. Source: the federal financial report's instructions end interim
periods on March 31, June 30, September 30 and December 31 (from memory).

>>> from datetime import date
>>> first, second = cycles("quarterly", date(2026, 8, 15), date(2026, 12, 31), due_days=30)
>>> first.name, str(first.due_on)
('August 15 to September 30, 2026', '2026-10-30')
>>> second.name
'October to December 2026'
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from program.grants.states import ClaimCycle
from program.ledger.fiscal import first_of, last_of, months, next_month

MONTHS_A_QUARTER = 3


@dataclass(frozen=True, kw_only=True)
class Cycle:
    """Days that are claimed together, both inside; the claim is due on `due_on`."""

    from_on: dt.date
    until_on: dt.date
    due_on: dt.date

    @property
    def name(self) -> str:
        """The days in words, such as `November 2026`."""
        return span_name(self.from_on, self.until_on)


def cycles(cycle: str, begins_on: dt.date, ends_on: dt.date, *, due_days: int = 0) -> list[Cycle]:
    """Return the cycles of a grant in order; they touch, and together they are its days.

    Raises:
        ValueError: the grant ends before it begins, or the cycle is not known.
    """
    if ends_on < begins_on:
        raise ValueError("A grant can't end before it begins.")
    spans = _spans(ClaimCycle(cycle), begins_on, ends_on)
    return [
        Cycle(from_on=first, until_on=last, due_on=last + dt.timedelta(days=due_days))
        for first, last in spans
    ]


def _spans(
    cycle: ClaimCycle, begins_on: dt.date, ends_on: dt.date
) -> list[tuple[dt.date, dt.date]]:
    """Return the first and the last day of each cycle."""
    if cycle is ClaimCycle.ONCE:
        return [(begins_on, ends_on)]
    every = 1 if cycle is ClaimCycle.MONTHLY else MONTHS_A_QUARTER
    firsts = [month for month in months(begins_on, ends_on) if (month.month - 1) % every == 0]
    firsts = [begins_on, *(first for first in firsts if first > begins_on)]
    lasts = [first - dt.timedelta(days=1) for first in firsts[1:]]
    return list(zip(firsts, [*lasts, ends_on], strict=True))


def overlaps(cycle: Cycle, from_on: dt.date, until_on: dt.date) -> bool:
    """Return whether a cycle and a span have a day in common."""
    return cycle.from_on <= until_on and from_on <= cycle.until_on


def span_name(from_on: dt.date, until_on: dt.date) -> str:
    """Return a span in words: whole months by their names, else both days.

    >>> span_name(dt.date(2026, 12, 1), dt.date(2027, 1, 31))
    'December 2026 to January 2027'
    >>> span_name(dt.date(2026, 11, 15), dt.date(2026, 11, 30))
    'November 15 to 30, 2026'
    """
    whole = from_on == first_of(from_on) and until_on == last_of(until_on)
    one_year = from_on.year == until_on.year
    if whole and next_month(from_on) > until_on:
        return f"{from_on:%B %Y}"
    if whole:
        return f"{from_on:%B}{'' if one_year else f' {from_on.year}'} to {until_on:%B %Y}"
    last = f"{until_on.day}" if first_of(from_on) == first_of(until_on) else _day(until_on)
    return f"{_day(from_on)}{'' if one_year else f', {from_on.year}'} to {last}, {until_on.year}"


def _day(day: dt.date) -> str:
    return f"{day:%B} {day.day}"
