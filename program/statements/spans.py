"""Which days statements are about, and the same days a year before.

>>> from datetime import date
>>> [str(day) for day in offered(date(2026, 11, 30))["Last month"]]
['2026-10-01', '2026-10-31']
>>> str(year_before(date(2025, 2, 28)))
'2024-02-29'
"""

from __future__ import annotations

import datetime as dt
from typing import Final

from program.ledger.fiscal import first_of, fiscal_span, fiscal_year, last_of

MONTHS_A_QUARTER: Final = 3
ONE_DAY: Final = dt.timedelta(days=1)

Span = tuple[dt.date, dt.date]


def this_year(today: dt.date, *, first_month: int = 1) -> Span:
    """Return the fiscal year to date: from its first day to today."""
    return fiscal_span(fiscal_year(today, first_month=first_month), first_month=first_month)[
        0
    ], today


def offered(today: dt.date, *, first_month: int = 1) -> dict[str, Span]:
    """Return the spans that people ask for, each under its name; none ends after today."""
    year = fiscal_year(today, first_month=first_month)
    return {
        "This year": this_year(today, first_month=first_month),
        "This month": (first_of(today), today),
        "Last month": _month_before(today),
        "This quarter": (_quarter(today, first_month), today),
        "Last year": fiscal_span(year - 1, first_month=first_month),
    }


def year_before(day: dt.date) -> dt.date:
    """Return the same day a year before; the last day of February stays the last."""
    if day == last_of(day):
        return last_of(day.replace(year=day.year - 1, day=1))
    return day.replace(year=day.year - 1)


def _month_before(today: dt.date) -> Span:
    last = first_of(today) - ONE_DAY
    return first_of(last), last


def _quarter(today: dt.date, first_month: int) -> dt.date:
    """Return the first day of the fiscal quarter to which a day belongs."""
    back = (today.month - first_month) % MONTHS_A_QUARTER
    first = first_of(today)
    for _ in range(back):
        first = first_of(first - ONE_DAY)
    return first
