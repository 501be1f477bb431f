"""Fiscal years and months: which days belong together in the books.

A fiscal year is named by the calendar year in which it begins.

>>> from datetime import date
>>> fiscal_year(date(2026, 6, 30), first_month=7)
2025
>>> [str(day) for day in fiscal_span(2025, first_month=7)]
['2025-07-01', '2026-06-30']
"""

from __future__ import annotations

import datetime as dt
from calendar import monthrange
from typing import Final

MONTHS: Final = 12


def fiscal_year(on: dt.date, *, first_month: int = 1) -> int:
    """Return the fiscal year to which a day belongs."""
    return on.year - (on.month < first_month)


def fiscal_span(year: int, *, first_month: int = 1) -> tuple[dt.date, dt.date]:
    """Return the first and the last day of a fiscal year."""
    first = dt.date(year, first_month, 1)
    return first, dt.date(year + 1, first_month, 1) - dt.timedelta(days=1)


def first_of(on: dt.date) -> dt.date:
    """Return the first day of the month of a day."""
    return on.replace(day=1)


def last_of(on: dt.date) -> dt.date:
    """Return the last day of the month of a day."""
    return on.replace(day=monthrange(on.year, on.month)[1])


def next_month(on: dt.date) -> dt.date:
    """Return the first day of the month after that of a day."""
    return dt.date(on.year + on.month // MONTHS, on.month % MONTHS + 1, 1)


def months(from_on: dt.date, until_on: dt.date) -> list[dt.date]:
    """Return the first day of each month that the span touches, in order."""
    found, month = [], first_of(from_on)
    while month <= until_on:
        found.append(month)
        month = next_month(month)
    return found
