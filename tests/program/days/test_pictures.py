"""The days as a picture."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, Any

from program.days.pictures import days_board
from program.days.sheet import Line
from program.days.states import BookingKind
from tests.program.days.shops import day, open_days

if TYPE_CHECKING:
    from shared.charts import Chart


def line(number: int, last: int | None = None, **fields: Any) -> Line:
    end = day(number if last is None else last)
    defaults: dict[str, Any] = {
        "case": "26-043",
        "title": "Brakes",
        "kind": BookingKind.WORK,
        "bay": "Bay 1",
        "person": "Sten Voss",
        "begins_at": dt.datetime.combine(day(number), dt.time(8)),
        "ends_at": dt.datetime.combine(end, dt.time(12)),
    }
    return Line(**defaults | fields)


def drawn(*args: Any) -> Chart:
    chart = days_board(*args)
    assert chart is not None
    return chart


def test_a_car_is_one_tag_over_its_days_with_all_who_work_on_it() -> None:
    chart = drawn(open_days(), ["Bay 1"], [line(0), line(1, person="Rosalind Amadi")])
    assert chart.rows == (("Bay 1", "26-043 Rosalind Sten", "Nov 30", "2"),)


def test_days_apart_are_two_tags() -> None:
    chart = drawn(open_days(), ["Bay 1"], [line(0), line(3)])
    assert [(row[2], row[3]) for row in chart.rows] == [("Nov 30", "1"), ("Dec 3", "1")]


def test_a_car_in_another_shop_has_a_row_of_its_own() -> None:
    away = line(1, 2, bay="", person="", kind=BookingKind.AWAY)
    chart = drawn(open_days(), ["Bay 1"], [away])
    assert chart.rows == (("Elsewhere", "26-043", "Dec 1", "2"),)


def test_a_drive_without_a_bay_is_not_drawn_and_empty_bays_are() -> None:
    chart = drawn(open_days(), ["Bay 1", "Bay 2"], [line(0, bay="")])
    assert (chart.rows, str(chart.title)) == ((), "2 bays. Nothing is booked.")


def test_work_that_goes_on_next_week_ends_with_the_picture() -> None:
    chart = drawn(open_days(), ["Bay 1"], [line(3, 9)])
    assert chart.rows == (("Bay 1", "26-043 Sten", "Dec 3", "2"),)


def test_without_a_bay_there_is_no_picture() -> None:
    assert days_board(open_days(), [], [line(0, bay="")]) is None
