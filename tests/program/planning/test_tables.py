"""The tables of the week, cell by cell."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace

from program.planning.outcome import FundUse, Wanted, WeekUse
from program.planning.tables import FundTable, HomeTable, HoursTable, WantedTable
from tests.program.planning.test_pdf import home
from tests.vehicles.pages import words

MONDAY = dt.date(2026, 11, 30)


def cells(table: object) -> list[list[str]]:
    rows = table.rows  # type: ignore[attr-defined]  # django-tables2 has no types
    return [[_text(cell) for _, cell in row.items()] for row in rows]


def _text(cell: object) -> str:
    class Page:
        content = str(cell).encode()

    return words(Page())


def test_a_car_that_goes_home_fills_one_row() -> None:
    row = home("26-041", minutes=750, cash_cents=20_000)
    assert cells(HomeTable([row])) == [
        [
            "26-041",
            "Dana Haskell 2010 Nissan Sentra",
            "Both lower ball joints Why 26-041",
            "8",
            "12:30",
            "200.00",
            "general fund 200.00",
            "Dec 2 – Dec 4",
        ]
    ]


def test_a_car_with_nothing_left_to_pay_says_so() -> None:
    row = replace(home("26-041"), paid_by=(), cash_cents=0)
    assert cells(HomeTable([row]))[0][6] == "nothing left to pay"


def test_a_part_shows_whom_it_frees() -> None:
    part = Wanted(need_id=7, label="Radiator", sentence="One.", freed=("26-041",), weight=8)
    assert cells(WantedTable([part])) == [["Radiator One.", "26-041", "8", "–"]]


def test_a_fund_shows_what_is_left_of_it() -> None:
    fund = FundUse(
        code="GEN",
        name="general fund",
        free_cents=296_138,
        kept_cents=210_000,
        plan_cents=55_716,
        set_aside_cents=0,
    )
    assert cells(FundTable([fund])) == [
        ["General fund", "2,961.38", "2,100.00", "557.16", "304.22"],
    ]


def test_a_week_shows_its_hours() -> None:
    days = {"bay_days_there": 15, "bay_days_used": 6, "lift_days_there": 5, "lift_days_used": 3}
    week = WeekUse(starts_on=MONDAY, minutes_there=1723, minutes_used=1703, **days)
    assert cells(HoursTable([week])) == [
        ["November 30", "28:43", "28:23", "0:20", "6 of 15", "3 of 5"]
    ]
