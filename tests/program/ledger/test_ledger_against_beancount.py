"""The ledger against beancount, an independent double-entry engine; skipped where it is absent.

Its tolerance of half a unit of the last digit is switched off, so that a single cent counts.
"""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal
from typing import TYPE_CHECKING

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from program.ledger.chart import Kind
from program.ledger.ledger import balances, entries
from tests.program.ledger.making import CHART, make_transfer, transfers

if TYPE_CHECKING:
    from program.ledger.ledger import Transfer

loader = pytest.importorskip("beancount.loader", reason="beancount is not installed")
ROOTS = {
    Kind.ASSET: "Assets",
    Kind.LIABILITY: "Liabilities",
    Kind.NET_ASSETS: "Equity",
    Kind.INCOME: "Income",
    Kind.EXPENSE: "Expenses",
    Kind.MEMO: "Equity",
}
AFTER = date(2027, 1, 1)


def account(code: str, fund: str) -> str:
    return f"{ROOTS[CHART[code].kind]}:A{code}:{fund}"


def dollars(cents: int) -> Decimal:
    return Decimal(cents) / 100


def exported(held: list[Transfer], off_by: int = 0) -> str:
    """Return the transfers as beancount's text, with a balance line for each fund and account."""
    lines = ['option "tolerance_multiplier" "0"']
    cells = {(t.fund, code) for t in held for code in (t.debit, t.credit)}
    lines += [f"2025-01-01 open {account(code, fund)} USD" for fund, code in sorted(cells)]
    for entry in entries(held):
        for transfer in entry.transfers:
            lines += [
                f'{transfer.on} * "{entry.key}"',
                f"  {account(transfer.debit, transfer.fund)}  {dollars(transfer.cents)} USD",
                f"  {account(transfer.credit, transfer.fund)}  {dollars(-transfer.cents)} USD",
            ]
    found = balances(held)
    lines += [
        f"{AFTER} balance {account(code, fund)}  {dollars(found.account(code, fund) + off_by)} USD"
        for fund, code in sorted(cells)
    ]
    return "\n".join(lines) + "\n"


@settings(max_examples=25)
@given(st.lists(transfers(), max_size=30))
def test_beancount_finds_every_balance_to_the_cent(held: list[Transfer]) -> None:
    _, errors, _ = loader.load_string(exported(held))
    assert [error.message for error in errors] == []


def test_beancount_would_see_a_single_cent() -> None:
    held = [make_transfer(on=AFTER - timedelta(days=9))]
    _, errors, _ = loader.load_string(exported(held, off_by=1))
    assert len(errors) == 2
