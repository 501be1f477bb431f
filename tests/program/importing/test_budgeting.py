from __future__ import annotations

import datetime as dt
from typing import Any

import pytest

from program.importing.budgeting import SHEET, check, months
from program.importing.known import Facts, World
from program.importing.rows import Row
from program.ledger.restrictions import Fund

FUNDS = {
    "g1": Fund(code="GEN", name="general fund"),
    "g2": Fund(code="OLD", name="old fund", closed_on=dt.date(2025, 12, 31)),
}


def row(number: int = 2, **values: Any) -> Row:
    defaults = {"year_of": dt.date(2026, 1, 1), "account": "6010", "amount_usd": 120_00}
    return Row(sheet=SHEET, number=number, ref=f"bl{number}", values=defaults | values)


def told(*rows: Row, **facts: Any) -> list[tuple[int, str, str]]:
    world = World(rows={}, facts=Facts(funds=FUNDS, **facts))
    return [(one.row, one.column, one.sentence) for one in check(rows, world)]


def test_an_amount_is_spread_and_months_stand_as_they_are() -> None:
    assert months(row(amount_usd=100_00)) == (834,) * 4 + (833,) * 8
    assert months(row(amount_usd=None, m03_usd=5_00)) == (0, 0, 500, *[0] * 9)


def test_an_amount_beside_months_is_their_sum() -> None:
    assert told(row(m01_usd=100_00, m02_usd=20_00)) == []
    sentence = "The months make $1.00, amount_usd is $120.00."
    assert told(row(m01_usd=1_00)) == [(2, "amount_usd", sentence)]


def test_a_row_without_an_amount_is_refused() -> None:
    assert told(row(amount_usd=None)) == [(2, "amount_usd", "The row has no amount.")]
    assert told(row(amount_usd=0)) == []


def test_more_than_the_ledger_holds_is_refused() -> None:
    sentence = "$12,000,000,000.00 is more than this ledger can hold."
    each = {f"m{n:02}_usd": 10**11 for n in range(1, 13)}
    assert told(row(amount_usd=None, **each)) == [(2, "amount_usd", sentence)]


@pytest.mark.parametrize("account", ["1010", "3110", "9010"])
def test_only_income_and_costs_have_a_budget(account: str) -> None:
    (found,) = told(row(account=account))
    assert found[:2] == (2, "account")
    assert found[2].endswith("is neither income nor a cost.")


def test_income_has_no_function() -> None:
    sentence = "Account 4010 Gifts of money from people is income; only costs have a function."
    assert told(row(account="4010", function="program")) == [(2, "function", sentence)]
    assert told(row(function="management")) == []


def test_a_year_has_a_line_once() -> None:
    rows = [row(2), row(3, year_of=dt.date(2026, 12, 31)), row(4, fund="g1"), row(5)]
    rows.append(row(6, year_of=dt.date(2027, 1, 1)))
    same = "Row 2 is of the same year, account, fund and function."
    assert told(*rows) == [(3, "account", same), (5, "account", same)]


def test_a_line_that_was_typed_is_not_imported_again() -> None:
    sentence = "The budget of 2026 has a line of this account, fund and function already."
    there = frozenset({(2026, "6010", "GEN", "")})
    assert told(row(), budget=there) == []
    assert told(row(fund="g1"), budget=there) == [(2, "account", sentence)]


def test_a_year_begins_in_the_month_that_the_board_has_set() -> None:
    june, july = dt.date(2026, 6, 30), dt.date(2026, 7, 1)
    assert told(row(2, year_of=june), row(3, year_of=july), first_month=7) == []
    assert len(told(row(2, year_of=june), row(3, year_of=july), first_month=1)) == 1


def test_a_fund_that_was_closed_before_the_year_is_refused() -> None:
    sentence = "The old fund was closed on 2025-12-31, before the year."
    assert told(row(fund="g2")) == [(2, "fund", sentence)]
    assert told(row(fund="g2", year_of=dt.date(2025, 5, 1))) == []


def test_a_cell_that_could_not_be_read_is_told_once() -> None:
    broken = Row(
        sheet=SHEET,
        number=2,
        ref="bl2",
        values={"year_of": dt.date(2026, 1, 1), "account": "6010", "amount_usd": None},
        broken=frozenset({"amount_usd"}),
    )
    assert told(broken) == []
