"""The books as sheets."""

from __future__ import annotations

from datetime import date
from decimal import Decimal
from typing import Any

from hypothesis import given
from hypothesis import strategies as st

from program.ledger.chart import Kind, load
from program.ledger.ledger import Balances, Transfer, balances
from program.reports.book_sheets import (
    ENTRY_COLUMNS,
    HELD,
    Moved,
    entry_rows,
    opening_moves,
)
from tests.program.ledger.making import transfers

DAY = date(2026, 1, 1)


def moved(**fields: Any) -> Moved:
    whole: dict[str, Any] = {
        "entry": "form:1",
        "on": DAY,
        "what": "Rags",
        "debit": "6050",
        "credit": "1010",
        "cents": 1250,
        "fund": "GEN",
    }
    return Moved(**whole | fields)


def test_a_transfer_becomes_a_row_of_the_importers_sheet() -> None:
    row = moved(function="management", case="26-041", memo="two boxes", fact=True)
    [cells] = entry_rows([row], {"GEN": "g1"}, load())
    assert dict(zip(ENTRY_COLUMNS, cells, strict=True)) == {
        "ref": "t-1",
        "entry": "form:1",
        "on": DAY,
        "what": "Rags",
        "debit": "6050",
        "credit": "1010",
        "amount_usd": Decimal("12.50"),
        "fund": "g1",
        "function": "management",
        "case_number": "26-041",
        "memo": "two boxes",
        "fact": "yes",
    }


def test_money_that_plans_set_aside_is_left_out() -> None:
    rows = [moved(debit="9010", credit="9020"), moved(debit="9020", credit="9010"), moved()]
    assert [row[0] for row in entry_rows(rows, {"GEN": "g1"}, load())] == ["t-1"]


def test_what_was_imported_once_keeps_its_name() -> None:
    [row] = entry_rows([moved(entry="import:2026-11-14 gift")], {"GEN": "g1"}, load())
    assert row[1] == "2026-11-14 gift"


def test_a_fund_below_zero_opens_below_zero() -> None:
    held = Balances(cells={("GEN", "1010"): -500, ("GEN", "2010"): -700, ("GEN", "6010"): 1200})
    moves = opening_moves(held, {"GEN": False}, load(), on=DAY)
    assert [(one.debit, one.credit, one.cents, one.fact) for one in moves] == [
        ("3010", "1010", 500, True),
        ("3010", "2010", 700, True),
    ]


def test_restricted_money_opens_as_restricted_net_assets() -> None:
    held = Balances(cells={("PRU", "1010"): 500})
    [move] = opening_moves(held, {"PRU": True}, load(), on=DAY)
    assert (move.debit, move.credit, move.entry) == ("1010", "3020", "opening 2026-01-01")


@given(st.lists(transfers(), max_size=30))
def test_what_opens_is_all_that_was_held(held: list[Transfer]) -> None:
    chart = load()
    before = balances(one for one in held if one.debit in chart and one.credit in chart)
    funds = {fund: False for fund, _ in before.cells}
    opened = balances(
        Transfer(
            entry=one.entry,
            on=one.on,
            debit=one.debit,
            credit=one.credit,
            cents=one.cents,
            fund=one.fund,
        )
        for one in opening_moves(before, funds, chart, on=DAY)
    )
    kinds = {cell: cents for cell, cents in before.cells.items() if chart[cell[1]].kind in HELD}
    kept = {
        cell: cents
        for cell, cents in opened.cells.items()
        if chart[cell[1]].kind != Kind.NET_ASSETS
    }
    assert kept == kinds
