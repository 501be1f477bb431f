"""The plan's pictures."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

import pytest

from program.planning.outcome import Stay
from program.planning.pictures import bay_board, fund_picture, households, open_days
from tests.factories import TODAY
from tests.program.planning.sheets import week

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("monday")]


def test_the_days_go_from_monday_to_the_last_friday() -> None:
    sheet = week()
    assert (sheet.first_on, sheet.last_on.isoformat()) == (TODAY, "2026-12-18")
    days = open_days(sheet)
    assert (len(days), days[0], days[-1]) == (15, sheet.first_on, sheet.last_on)
    assert {day.weekday() for day in days} == {0, 1, 2, 3, 4}


def test_the_board_shows_each_stay_with_the_name_it_is_given() -> None:
    stay = Stay(case_id="26-041", bay="Bay 1", first_on=TODAY, last_on=TODAY)
    sheet = replace(week(), stays=(stay,))
    assert households(sheet) == {"26-041": "Haskell"}
    named = str(bay_board(sheet, households(sheet)).title)
    assert named.startswith("1 bays. 26-041 Haskell in Bay 1 from ")
    assert "Haskell" not in str(bay_board(sheet, {}).title)


def test_the_board_goes_on_to_the_last_stay() -> None:
    last_on = TODAY + dt.timedelta(days=24)
    stay = Stay(case_id="26-041", bay="Bay 1", first_on=TODAY, last_on=last_on)
    days = open_days(replace(week(), stays=(stay,)))
    assert (len(days), days[-1]) == (20, TODAY + dt.timedelta(days=25))


def test_the_money_is_drawn_and_said() -> None:
    sheet = week()
    left = sheet.funds[0].left_cents
    assert str(fund_picture(sheet).title) == f"Free money by fund: General fund {left / 100:,.2f}"
