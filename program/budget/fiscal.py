"""A budget's year: its months, its name, and how much of it has gone by.

>>> from datetime import date
>>> year = year_as_of(2026, first_month=7, today=date(2026, 9, 15))
>>> year.over, year.begun, str(year.last_on)
(2, 3, '2027-06-30')
>>> year_in_words(2026, first_month=7)
'July 2026 to June 2027'
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from program.ledger.fiscal import fiscal_span, months

if TYPE_CHECKING:
    import datetime as dt


@dataclass(frozen=True, kw_only=True)
class Year:
    """A fiscal year as of a day: its months, how many are over, and how many have begun."""

    year: int
    months: tuple[dt.date, ...]
    over: int
    begun: int
    last_on: dt.date

    @property
    def first_on(self) -> dt.date:
        """Its first day."""
        return self.months[0]


def year_as_of(year: int, *, first_month: int, today: dt.date) -> Year:
    """Return a fiscal year with how much of it has gone by."""
    first_on, last_on = fiscal_span(year, first_month=first_month)
    begins = tuple(months(first_on, last_on))
    begun = sum(month <= today for month in begins)
    over = begun if today > last_on else max(begun - 1, 0)
    return Year(year=year, months=begins, over=over, begun=begun, last_on=last_on)


def year_in_words(year: int, *, first_month: int) -> str:
    """Return `2026`, or `July 2026 to June 2027`."""
    first_on, last_on = fiscal_span(year, first_month=first_month)
    return str(year) if first_month == 1 else f"{first_on:%B %Y} to {last_on:%B %Y}"
