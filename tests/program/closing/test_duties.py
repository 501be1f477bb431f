"""The days on which duties are due, against published calendars."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from program.closing.duties import (
    Due,
    Duty,
    Standing,
    due_in,
    holidays,
    in_order,
    load,
    moved,
    standing,
    year_of,
)

# Source: IRS.gov, “Return Due Dates for Exempt Organizations: Annual Return” (text seen). By the
# month in which the fiscal year ends, the month of the initial due date, always its day 15.
RETURN_DUE = {12: 5, 11: 4, 10: 3, 9: 2, 8: 1, 7: 12, 6: 11, 5: 10, 4: 9, 3: 8, 2: 7, 1: 6}
RULES = [duty.rule for duty in load() if duty.rule != "paper"]


@pytest.mark.parametrize(("ends", "due"), RETURN_DUE.items())
def test_the_annual_return_is_due_as_the_irs_tables_it(ends: int, due: int) -> None:
    rule = next(duty.rule for duty in load() if duty.code == "form-990")
    for year in range(2026, 2031):
        assert due_in(rule, year, first_month=ends % 12 + 1) == date(year, due, 15)


@pytest.mark.parametrize(
    ("day", "until"),
    [
        # Source: 31 Jan 2026, a Saturday: due Feb 2; 28 Feb 2026: due Mar 2 (tax calendars of
        # CPA firms for 2026, seen); 31 Jan 2021, a Sunday: due Feb 1, 2021 (second-hand).
        (date(2026, 1, 31), date(2026, 2, 2)),
        (date(2026, 2, 28), date(2026, 3, 2)),
        (date(2021, 1, 31), date(2021, 2, 1)),
        (date(2026, 5, 15), date(2026, 5, 15)),
    ],
)
def test_a_weekend_moves_a_legal_day_to_monday(day: date, until: date) -> None:
    assert moved(day) == until


# Source: the federal holidays as the Office of Personnel Management lists them by the day on which
# they are kept (from memory), and April 16 of the District of Columbia.
KEPT = {
    2022: (
        "2022-01-17 2022-02-21 2022-04-15 2022-05-30 2022-06-20 2022-07-04 2022-09-05 2022-10-10"
        " 2022-11-11 2022-11-24 2022-12-26 2023-01-02"
    ),
    2026: (
        "2026-01-01 2026-01-19 2026-02-16 2026-04-16 2026-05-25 2026-06-19 2026-07-03 2026-09-07"
        " 2026-10-12 2026-11-11 2026-11-26 2026-12-25 2027-01-01"
    ),
    2027: (
        "2027-01-01 2027-01-18 2027-02-15 2027-04-16 2027-05-31 2027-06-18 2027-07-05 2027-09-06"
        " 2027-10-11 2027-11-11 2027-11-25 2027-12-24 2027-12-31"
    ),
}


@pytest.mark.parametrize(("year", "days"), KEPT.items())
def test_legal_holidays_are_kept_on_the_days_of_the_published_lists(year: int, days: str) -> None:
    before = {date(2021, 12, 31)} if year == 2022 else set()
    assert {str(day) for day in holidays(year) - before} == set(days.split())


@pytest.mark.parametrize(
    ("day", "until"),
    [
        # Source: the days on which yearly returns of people were due (IRS news releases of those
        # years, from memory): April 16 and the weekend before it moved April 15.
        (date(2012, 4, 15), date(2012, 4, 17)),
        (date(2016, 4, 15), date(2016, 4, 18)),
        (date(2017, 4, 15), date(2017, 4, 18)),
        (date(2022, 4, 15), date(2022, 4, 18)),
        (date(2023, 4, 15), date(2023, 4, 18)),
        (date(2024, 4, 15), date(2024, 4, 15)),
    ],
)
def test_a_legal_holiday_moves_a_legal_day_further(day: date, until: date) -> None:
    assert moved(day) == until


def test_a_duty_says_what_moves_its_day() -> None:
    rows = [due(date(2026, 1, 31)), due(date(2027, 2, 28)), due(date(2027, 2, 15))]
    assert [row.falls_on for row in rows] == ["a Saturday", "a Sunday", "a legal holiday"]


def test_the_return_of_an_odd_fiscal_year_waits_for_a_holiday() -> None:
    """A year that ends in September: due on February 15, in 2027 the third Monday."""
    found = {one.duty.code: one for one in year_of(load(), 2027, first_month=10)}
    assert found["form-990"].on == date(2027, 2, 15)
    assert found["form-990"].until == date(2027, 2, 16)
    assert found["schedules"].until is None


@given(st.dates(date(1900, 1, 1), date(2100, 12, 31)))
def test_a_moved_day_is_the_first_working_day_from_the_day_on(day: date) -> None:
    ahead = (day + timedelta(days=count) for count in range(7))
    working = (one for one in ahead if one.isoweekday() <= 5 and one not in holidays(day.year))
    assert moved(day) == next(working)


@pytest.mark.parametrize(
    ("rule", "days"),
    [
        # Source: Thanksgiving, the fourth Thursday of November (5 U.S.C. 6103(a)), as calendars
        # of the years have it; from memory.
        (
            "nth 4 thu 11",
            ["2026-11-26", "2027-11-25", "2028-11-23", "2029-11-22", "2030-11-28"],
        ),
        # Memorial Day, the last Monday of May (same section; from memory).
        (
            "nth last mon 5",
            ["2026-05-25", "2027-05-31", "2028-05-29", "2029-05-28", "2030-05-27"],
        ),
    ],
)
def test_the_nth_weekday_is_that_of_published_calendars(rule: str, days: list[str]) -> None:
    assert [str(due_in(rule, year)) for year in range(2026, 2031)] == days


@given(st.sampled_from(RULES), st.integers(2000, 2099), st.integers(1, 12))
def test_each_duty_comes_once_in_each_calendar_year(rule: str, year: int, first: int) -> None:
    day = due_in(rule, year, first_month=first)
    assert day is not None
    assert day.year == year


@given(st.integers(2000, 2099), st.integers(1, 5), st.integers(0, 6), st.integers(1, 12))
def test_an_nth_weekday_is_that_weekday_within_its_week(
    year: int, nth: int, weekday: int, month: int
) -> None:
    names = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
    asked = "last" if nth == 5 else str(nth)
    day = due_in(f"nth {asked} {names[weekday]} {month}", year)
    assert day is not None
    assert (day.month, day.isoweekday() - 1) == (month, weekday)
    if asked == "last":
        assert (day + timedelta(days=7)).month != month
    else:
        assert (day.day - 1) // 7 == nth - 1


def test_the_last_day_of_a_fiscal_year_follows_its_first_month() -> None:
    ends = [str(due_in("fiscal 12 last", 2028, first_month=first)) for first in (1, 3, 7)]
    assert ends == ["2028-12-31", "2028-02-29", "2028-06-30"]
    assert due_in("fiscal 1 31", 2026, first_month=2) == date(2026, 2, 28)


@pytest.mark.parametrize("rule", ["", "weekly", "fixed", "nth 1 mon"])
def test_another_rule_is_refused(rule: str) -> None:
    with pytest.raises(ValueError, match=f"“{rule}” is not a rule for a day."):
        due_in(rule, 2026)


def test_the_dates_of_the_reference_are_in_the_catalogue() -> None:
    """Dates and marks of `charity_rules.md` 3.12 (2006 edition) and 9; the rest of `trade.md`."""
    days = {one.duty.code: one for one in year_of(load(), 2026)}
    assert str(days["contractors"].on) == "2026-01-31"
    assert str(days["contractors"].until) == "2026-02-02"
    assert str(days["1098c-paper"].on) == "2026-02-28"
    assert str(days["1098c-electronic"].on) == "2026-03-31"
    assert days["1098c-paper"].duty.mark == "text-seen, 2006 edition"
    assert days["contractors"].duty.mark == "from memory"
    assert days["state-charity"].on is None


def test_each_duty_says_who_and_where_its_day_comes_from() -> None:
    marks = {"text-seen", "text-seen, 2006 edition", "seen second-hand", "from memory"}
    for duty in load():
        assert duty.who in {"coordinator", "treasurer", "lead technician"}
        assert duty.mark in marks | {"common practice, no source"}
        assert bool(duty.source) == (duty.mark in marks)
        assert not duty.legal or duty.ask


def test_codes_are_there_once() -> None:
    codes = [duty.code for duty in load()]
    assert sorted(set(codes)) == sorted(codes)


def test_duties_come_by_day_and_those_without_one_last() -> None:
    days = [one.on for one in year_of(load(), 2026)]
    dated = [day for day in days if day]
    assert days == [*sorted(dated), *[None] * (len(days) - len(dated))]


def due(on: date | None, until: date | None = None) -> Due:
    return Due(duty=Duty(code="a", title="A", rule="paper", who="treasurer"), on=on, until=until)


@pytest.mark.parametrize(
    ("one", "done", "how"),
    [
        (due(date(2026, 1, 31)), {"a": True}, Standing.DONE),
        (due(date(2026, 1, 31)), {"a": False}, Standing.ASIDE),
        (due(date(2026, 1, 30)), {}, Standing.OVERDUE),
        (due(date(2026, 1, 31)), {}, Standing.OVERDUE),
        (due(date(2026, 1, 31), date(2026, 2, 2)), {}, Standing.SOON),
        (due(date(2026, 3, 3)), {}, Standing.SOON),
        (due(date(2026, 3, 4)), {}, Standing.AHEAD),
        (due(None), {}, Standing.NO_DAY),
    ],
)
def test_a_duty_stands(one: Due, done: dict[str, bool], how: Standing) -> None:
    assert standing(one, date(2026, 2, 1), done) is how


def test_two_of_one_day_come_by_code() -> None:
    first, second = due(date(2026, 1, 1)), due(date(2026, 1, 1))
    assert in_order([second, first]) == [first, second]
