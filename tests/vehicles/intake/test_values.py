"""Which answers on arrival are questioned; the limits are the program's own."""

from __future__ import annotations

import datetime as dt
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from vehicles.intake.values import MOST_DAYS_BACK, ArrivalAnswers, Before, refusals

TODAY = dt.date(2026, 12, 1)
LAST = Before(odometer_mi=100_000, on=dt.date(2026, 6, 2), left_on=dt.date(2026, 6, 9))
WEEKS = 26  # from the day of the last reading to TODAY


def told(**answers: Any) -> ArrivalAnswers:
    known: dict[str, Any] = {"arrived_on": TODAY, "complaint": "It grinds."}
    return ArrivalAnswers(**known | answers)


def odometer(read: int | None, before: Before | None = LAST, **answers: Any) -> str:
    found = refusals(told(odometer_mi=read, **answers), before, TODAY)
    return found.get("odometer_because", "")


def test_a_reading_is_never_less_than_before_without_a_reason() -> None:
    assert odometer(99_999) == (
        "The odometer showed 100,000 on Tuesday, June 2, 2026; 99,999 is less."
        " Read it again, or say why."
    )
    assert odometer(99_999, odometer_because="new cluster") == ""
    assert odometer(100_000) == ""


def test_a_huge_jump_is_questioned() -> None:
    most = 100_000 + 2_000 + 1_500 * WEEKS
    assert odometer(most) == ""
    assert odometer(most + 1) == (
        "The odometer showed 100,000 on Tuesday, June 2, 2026; 141,001 is 41,001 more."
        " Read it again, or say why."
    )


def test_a_first_reading_is_questioned_only_where_it_is_very_much() -> None:
    assert odometer(400_000, None) == ""
    assert odometer(400_001, None) == (
        "400,001 miles is very much. Read it again, or say why it is right."
    )


def test_an_odometer_that_is_not_read_needs_a_reason() -> None:
    assert odometer(None) == "The odometer is not read: say why."
    assert odometer(None, odometer_because="the battery is dead") == ""


def test_the_day_is_neither_to_come_nor_long_ago_nor_before_it_left() -> None:
    ago = TODAY - dt.timedelta(days=MOST_DAYS_BACK)
    assert refusals(told(arrived_on=ago, odometer_mi=1), None, TODAY) == {}
    assert refusals(told(arrived_on=TODAY + dt.timedelta(1), odometer_mi=1), None, TODAY) == {
        "arrived_on": "Wednesday, December 2, 2026, has not come yet."
    }
    assert refusals(told(arrived_on=ago - dt.timedelta(1), odometer_mi=1), None, TODAY) == {
        "arrived_on": "Tuesday, September 1, 2026, is more than 90 days back."
        " Stays of long ago come in with a sheet."
    }
    left = Before(left_on=TODAY)
    early = told(arrived_on=TODAY - dt.timedelta(1), odometer_mi=1)
    assert refusals(early, left, TODAY) == {
        "arrived_on": "It left on Tuesday, December 1, 2026; it can’t have come before that."
    }


@given(read=st.integers(0, 999_999), last=st.integers(0, 999_999))
def test_less_than_before_is_always_questioned(read: int, last: int) -> None:
    found = odometer(read, Before(odometer_mi=last, on=TODAY))
    assert ("is less" in found) == (read < last)
