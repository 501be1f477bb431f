"""Shifts by weekday and time; the clock against Python's own."""

from __future__ import annotations

import datetime as dt
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shared.people.hours import (
    DAYS,
    Shift,
    from_rows,
    in_order,
    in_words,
    minutes_of,
    parse,
    spans_of,
    total,
)

TIMES = st.times().map(lambda time: time.replace(second=0, microsecond=0, tzinfo=None))


def test_shifts_stand_in_the_order_of_the_week_whatever_was_typed_first() -> None:
    found = parse(" tue 8-16 ;Mon 17:30 - 20:30; Su 9–10, 8-9;")
    assert in_words(found) == "Mon 17:30-20:30; Tue 8:00-16:00; Sun 8:00-9:00; Sun 9:00-10:00"
    assert total(found) == 180 + 480 + 120
    assert from_rows([list(shift.row) for shift in found]) == found


@pytest.mark.parametrize(
    ("typed", "row"),
    [
        ("Mon 5:30pm to 8:30 PM", (0, 1050, 180)),
        ("Mon 12am-12pm", (0, 0, 720)),
        ("Monday 0-24", (0, 0, 1440)),
        ("Fri. 23:59-24:00", (4, 1439, 1)),
    ],
)
def test_times_are_typed_as_people_write_them(typed: str, row: tuple[int, int, int]) -> None:
    assert [shift.row for shift in parse(typed)] == [row]


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ("Mon", "“Mon” has no time. Type such as Mon 17:30-20:30."),
        ("Mon 8-9,", "“” is no time. Type such as 17:30-20:30."),
        ("Mon 8", "“8” is no time. Type such as 17:30-20:30."),
        ("Mon 8-25", "“8-25” is no time. Type such as 17:30-20:30."),
        ("Mon 8-24:01", "“8-24:01” is no time. Type such as 17:30-20:30."),
        ("Mon 8-13pm", "“8-13pm” is no time. Type such as 17:30-20:30."),
        ("Mon 8:60-9", "“8:60-9” is no time. Type such as 17:30-20:30."),
        ("Mon -3-5", "“-3-5” is no time. Type such as 17:30-20:30."),
        ("Mon 20:30-17:30", "Monday: 20:30-17:30 ends before it begins."),
        ("Mon 8-8", "Monday: 8-8 ends before it begins."),
        ("T 8-9", "“T” is no day of the week. Type such as Mon 17:30-20:30."),
        ("8-9", "“8-9” is no day of the week. Type such as Mon 17:30-20:30."),
        ("Mon 8-12; Mon 11:59-13", "Monday: 8:00-12:00 and 11:59-13:00 overlap."),
        ("Mon 8-12, 9-10, 10-11", "Monday: 8:00-12:00 and 9:00-10:00 overlap."),
        ("Mon 8-9;" * 60, "These are more than 400 characters."),
    ],
)
def test_what_is_no_week_is_refused(typed: str, sentence: str) -> None:
    with pytest.raises(ValueError, match=f"^{re.escape(sentence)}$"):
        parse(typed)


def test_a_day_without_times_has_no_shift() -> None:
    assert (spans_of(2, ""), spans_of(2, "  "), parse(""), in_words(())) == ([], [], (), "")


@given(st.lists(st.tuples(st.integers(0, 6), TIMES, TIMES), max_size=5))
def test_what_is_written_is_read_again_and_no_day_has_more_than_24_hours(
    typed: list[tuple[int, dt.time, dt.time]],
) -> None:
    shifts = [
        Shift(
            weekday=day,
            begins=first.hour * 60 + first.minute,
            minutes=(last.hour - first.hour) * 60 + last.minute - first.minute,
        )
        for day, first, last in typed
        if first < last
    ]
    try:
        found = in_order(shifts)
    except ValueError:
        return
    assert parse(in_words(found)) == found
    for day in range(7):
        assert total(shift for shift in found if shift.weekday == day) <= 24 * 60


@given(TIMES)
def test_a_time_is_the_same_on_a_clock_of_12_hours(time: dt.time) -> None:
    """Against `strftime`, which knows noon and midnight."""
    if time.hour == time.minute == 0:
        return
    [shift] = parse(f"Mon 0-{time.strftime('%I:%M %p')}")
    assert shift.ends == time.hour * 60 + time.minute


@pytest.mark.parametrize(("typed", "minutes"), [("0", 0), ("7.25", 435), ("168:00", 10_080)])
def test_hours_on_any_day_are_a_number_or_a_clock(typed: str, minutes: int) -> None:
    assert minutes_of(typed) == minutes


@pytest.mark.parametrize("typed", ["-1", "168.5", "7:60", "seven", "1e3", "168:01"])
def test_more_than_a_week_or_less_than_nothing_is_refused(typed: str) -> None:
    sentence = f"“{typed}” is not a number of hours in a week."
    with pytest.raises(ValueError, match=f"^{re.escape(sentence)}$"):
        minutes_of(typed)


def test_the_week_begins_on_monday_as_python_counts() -> None:
    assert [dt.date(2026, 11, 30 - 7 + day).strftime("%A") for day in range(7)] == list(DAYS)
