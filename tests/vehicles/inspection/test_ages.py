"""Parts that give out with the years, and the date on a tire."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from vehicles.inspection.ages import Aging, Interval, age, tire_made

TODAY = date(2026, 11, 25)


def test_the_example_of_an_owners_manual_is_read_as_it_says() -> None:
    # Dodge Sprinter 2006 owner's manual, text seen: 0301 is the 3rd week of 2001, and 01 the first
    # full week of the calendar year. January 2001 began on a Monday, so that week on the 7th.
    assert tire_made("0301", TODAY) == date(2001, 1, 21)
    assert tire_made("0101", TODAY) == date(2001, 1, 7)


@pytest.mark.parametrize("typed", ["3521", " 3521 ", "DOT U2LL LMLR 3521", "LMLR3521"])
def test_the_date_is_the_last_four_figures(typed: str) -> None:
    assert tire_made(typed, TODAY) == date(2021, 8, 29)


@pytest.mark.parametrize(
    ("typed", "message"),
    [
        ("031", "“031” has three figures: the tire was made before 2000."),
        ("0021", "“0021” is not a date code. Type week and year, such as 3521."),
        ("5421", "“5421” is not a date code. Type week and year, such as 3521."),
        ("", "“” is not a date code. Type week and year, such as 3521."),
        ("35", "“35” is not a date code. Type week and year, such as 3521."),
        ("35²1", "“35²1” is not a date code. Type week and year, such as 3521."),
        ("4826", "“4826” lies ahead: week 48 of 2026."),
    ],
)
def test_a_code_that_is_no_date_is_refused_with_a_sentence(typed: str, message: str) -> None:
    with pytest.raises(ValueError, match=r".") as caught:
        tire_made(typed, TODAY)
    assert str(caught.value) == message


@given(st.integers(1, 52), st.integers(0, 25))
def test_a_week_begins_on_a_sunday_of_its_year(week: int, year: int) -> None:
    made = tire_made(f"{week:02}{year:02}", TODAY)
    assert (made.weekday(), made.year) == (6, 2000 + year)
    assert (made - date(made.year, 1, 1)).days // 7 + 1 == week


def test_a_battery_is_due_at_four_years() -> None:
    # Common practice, no source.
    assert str(age(Aging.BATTERY, date(2022, 5, 1), TODAY).sentence) == (
        "Battery, 4.6 years old: due at 4 years."
    )
    young = age(Aging.BATTERY, date(2024, 5, 1), TODAY)
    assert (young.due, str(young.sentence)) == (
        False,
        "Battery, 2.6 years old: due by about May 2028.",
    )


def test_a_timing_belt_is_due_by_miles_where_they_come_first() -> None:
    # 60,000 miles or 7 years: common practice, no source. 4,000 miles at 200 a week: 20 weeks.
    fitted = date(2024, 1, 1)
    by_miles = age(Aging.TIMING_BELT, fitted, TODAY, miles=56_000, miles_per_week=200)
    assert by_miles.by == date(2027, 4, 14)
    assert age(Aging.TIMING_BELT, fitted, TODAY, miles=56_000).by == date(2031, 1, 1)
    over = age(Aging.TIMING_BELT, fitted, TODAY, miles=60_000)
    assert str(over.sentence) == (
        "Timing belt, 2.9 years old: due at 7 years or 60,000 miles, whichever comes first."
    )


def test_the_makers_interval_goes_before_the_usual_one() -> None:
    # Subaru of about 2005: 105 months or 105,000 miles, seen second-hand on an owners' page.
    maker = Interval(years=9, miles=105_000, source="the car's maintenance schedule")
    belt = age(Aging.TIMING_BELT, date(2018, 6, 1), TODAY, miles=80_000, interval=maker)
    assert (belt.due, belt.interval) == (False, maker)
    assert age(Aging.TIMING_BELT, date(2018, 6, 1), TODAY, miles=80_000).due


def test_a_day_ahead_and_miles_below_zero_are_refused() -> None:
    with pytest.raises(ValueError, match=r"^2026-11-26 lies ahead\. Type the day it was made"):
        age(Aging.BATTERY, date(2026, 11, 26), TODAY)
    with pytest.raises(ValueError, match=r"^Miles can't be below zero\.$"):
        age(Aging.DRIVE_BELT, TODAY, TODAY, miles=-1)


@given(st.dates(date(2000, 1, 1), TODAY), st.integers(0, 200_000), st.integers(0, 1000))
def test_more_miles_never_put_a_belt_off(since: date, miles: int, week: int) -> None:
    now = age(Aging.DRIVE_BELT, since, TODAY, miles=miles, miles_per_week=week)
    more = age(Aging.DRIVE_BELT, since, TODAY, miles=miles + 1000, miles_per_week=week + 10)
    assert more.by <= now.by
    assert now.due == (now.by <= TODAY)
