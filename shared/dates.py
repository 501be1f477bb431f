"""Dates as the shop speaks of them: ISO weeks, and days written in words.

>>> week_start(date(2026, 11, 25))
datetime.date(2026, 11, 23)
>>> long_date(date(2026, 12, 1))
'Tuesday, December 1'
"""

from __future__ import annotations

from datetime import date, datetime, timedelta

DAYS_A_WEEK = 7
TUESDAY = 1
YEARS = range(1900, 2100)  # a typed year outside them is a slip of the finger


def week_start(day: date) -> date:
    """Return the Monday of the ISO week that holds `day`."""
    return day - timedelta(days=day.weekday())


def week_name(day: date) -> str:
    """Return the ISO week of `day`, such as `2026-W48`."""
    year, week, _ = day.isocalendar()
    return f"{year}-W{week:02}"


def add_weeks(day: date, weeks: int) -> date:
    """Return the day `weeks` weeks later (earlier when negative)."""
    return day + timedelta(weeks=weeks)


def long_date(day: date) -> str:
    """Return `Tuesday, December 1`."""
    return f"{day:%A, %B} {day.day}"


def full_date(day: date) -> str:
    """Return the day with its year, for what may lie far off.

    >>> full_date(date(2026, 12, 1))
    'Tuesday, December 1, 2026'
    """
    return f"{long_date(day)}, {day.year}"


def short_date(day: date) -> str:
    """Return `Dec 1`, as tables write it."""
    return f"{day:%b} {day.day}"


def parse_date(text: str) -> date:
    """Return the date of `2026-12-01` or `12/1/2026`.

    Raises:
        ValueError: neither ISO nor US, a day that the calendar doesn't have, or a year far off.
    """
    for pattern in ("%Y-%m-%d", "%m/%d/%Y"):
        try:
            day = datetime.strptime(text.strip(), pattern).date()  # noqa: DTZ007 (a day has no zone)
        except ValueError:
            continue
        if day.year not in YEARS:
            raise ValueError(f"“{text}” lies outside the years {YEARS[0]} to {YEARS[-1]}.")
        return day
    raise ValueError(f"“{text}” is not a date. Type 2026-12-01 or 12/1/2026.")


def plan_week(today: date) -> date:
    """Return the Monday a plan starts on: this week's until Tuesday, afterwards the next.

    >>> plan_week(date(2026, 11, 25)), plan_week(date(2026, 12, 1))
    (datetime.date(2026, 11, 30), datetime.date(2026, 11, 30))
    """
    monday = week_start(today)
    return monday if today.weekday() <= TUESDAY else add_weeks(monday, 1)
