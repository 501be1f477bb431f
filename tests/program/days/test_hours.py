"""When people are there, in quarter hours of shop time."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from program.days.hours import (
    DAY,
    Hours,
    Shift,
    Span,
    from_now,
    open_days,
    shifts_of,
    tick_at,
    ticks_for,
)
from program.days.hours import moment as moment_of
from tests.program.days.shops import MONDAY, day
from tests.program.days.shops import open_days as days_of


@given(st.integers(0, 3000))
def test_hours_without_shifts_are_spread_over_the_open_days(minutes: int) -> None:
    shifts = shifts_of([Hours(week_on=MONDAY, minutes=minutes)], days_of(), ())
    assert sum(shift.ticks for shift in shifts) == min(minutes // 15, 160)
    assert all(shift.begins % DAY == 32 and shift.ticks <= 32 for shift in shifts)


def test_a_noted_evening_stands_where_it_was_noted() -> None:
    week = Hours(week_on=MONDAY, minutes=300, shifts=((1, 18 * 60, 150), (3, 18 * 60, 150)))
    assert shifts_of([week], days_of(), ()) == (
        Shift(begins=DAY + 72, ticks=10),
        Shift(begins=3 * DAY + 72, ticks=10),
    )


def test_a_saturday_counts_where_somebody_noted_it_between_open_days() -> None:
    week = Hours(week_on=MONDAY, minutes=120, shifts=((5, 600, 120),))
    assert shifts_of([week], days_of(2), ()) == (Shift(begins=5 * DAY + 40, ticks=8),)


def test_who_is_away_has_no_shift() -> None:
    week = Hours(week_on=MONDAY, minutes=2400)
    shifts = shifts_of([week], days_of(), [Span(from_on=day(1), until_on=day(3))])
    assert [shift.begins // DAY for shift in shifts] == [0, 4]


def test_shifts_noted_over_each_other_count_once() -> None:
    week = Hours(week_on=MONDAY, minutes=240, shifts=((0, 480, 120), (0, 540, 120)))
    assert shifts_of([week], days_of(), ()) == (
        Shift(begins=32, ticks=8),
        Shift(begins=40, ticks=4),
    )


def test_a_week_of_another_time_has_no_shifts() -> None:
    assert shifts_of([Hours(week_on=day(70), minutes=600)], days_of(), ()) == ()


def test_what_is_past_of_a_shift_is_cut_off() -> None:
    shifts = [Shift(begins=0, ticks=4), Shift(begins=10, ticks=4)]
    assert from_now(shifts, 12) == (Shift(begins=12, ticks=2),)


@pytest.mark.parametrize(
    ("minutes", "percent", "ticks"),
    [(60, 10_000, 4), (60, 5_000, 8), (61, 10_000, 5), (0, 10_000, 1), (60, 15_000, 3)],
)
def test_pace_and_attendance_stretch_book_minutes(minutes: int, percent: int, ticks: int) -> None:
    assert ticks_for(minutes, percent) == ticks


@given(st.integers(0, 5000))
def test_a_tick_and_its_moment_are_the_same(tick: int) -> None:
    assert tick_at(moment_of(tick, MONDAY), MONDAY) == tick


def test_the_shop_is_open_monday_to_friday() -> None:
    assert [one.weekday() for one in open_days(day(2), 2)] == [2, 3, 4, 0, 1, 2, 3, 4]
