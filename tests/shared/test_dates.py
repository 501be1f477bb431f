from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shared.dates import (
    add_weeks,
    full_date,
    long_date,
    parse_date,
    plan_week,
    short_date,
    week_name,
    week_start,
)

DAYS = st.dates(date(1990, 1, 1), date(2090, 12, 31))


@pytest.mark.parametrize(
    ("day", "week"),
    [
        # Source: the days around New Year that ISO 8601's week rule is explained by (from memory):
        # a week belongs to the year that holds its Thursday.
        (date(2005, 1, 1), "2004-W53"),
        (date(2005, 1, 3), "2005-W01"),
        (date(2008, 12, 29), "2009-W01"),
        (date(2010, 1, 3), "2009-W53"),
    ],
)
def test_a_week_belongs_to_the_year_of_its_thursday(day: date, week: str) -> None:
    assert week_name(day) == week


@given(DAYS)
def test_a_week_starts_on_the_monday_at_or_before_the_day(day: date) -> None:
    monday = week_start(day)
    assert monday.weekday() == 0
    assert monday <= day < add_weeks(monday, 1)


@pytest.mark.parametrize(
    ("today", "monday"),
    [
        (date(2026, 11, 23), date(2026, 11, 23)),
        (date(2026, 11, 24), date(2026, 11, 23)),
        (date(2026, 11, 25), date(2026, 11, 30)),
        (date(2026, 11, 29), date(2026, 11, 30)),
    ],
)
def test_a_plan_starts_this_week_until_tuesday_and_then_the_next(today: date, monday: date) -> None:
    assert plan_week(today) == monday


def test_a_day_is_written_in_words() -> None:
    day = date(2026, 12, 1)
    assert (short_date(day), long_date(day), full_date(day)) == (
        "Dec 1",
        "Tuesday, December 1",
        "Tuesday, December 1, 2026",
    )


@given(DAYS)
def test_a_day_is_read_in_iso_and_in_us_order(day: date) -> None:
    us = f"{day.month}/{day.day}/{day.year}"
    assert parse_date(f" {day.isoformat()} ") == parse_date(us) == day


@pytest.mark.parametrize("typed", ["", "2026-02-30", "13/1/2026", "1.12.2026", "tomorrow"])
def test_what_is_no_day_is_refused_with_what_to_type(typed: str) -> None:
    with pytest.raises(ValueError, match="is not a date") as refused:
        parse_date(typed)
    assert str(refused.value) == f"“{typed}” is not a date. Type 2026-12-01 or 12/1/2026."
