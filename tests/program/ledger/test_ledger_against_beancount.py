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
from program.ledger.queries import held, held_on
from program.ledger.tallies import tallies
from tests.program.ledger.drawn import drawn_books, pure, write
from tests.program.ledger.making import CHART, make_transfer, transfers

if TYPE_CHECKING:
    from collections.abc import Mapping

    from program.ledger.ledger import Balances, Transfer

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


def exported(rows: list[Transfer], found: Mapping[date, Balances], off_by: int = 0) -> str:
    """Return transfers as beancount's text, each cell with a balance line for each morning.

    `found`: what is held as each of those days begins.
    """
    lines = ['option "tolerance_multiplier" "0"']
    cells = sorted({(t.fund, code) for t in rows for code in (t.debit, t.credit)})
    lines += [f"2025-01-01 open {account(code, fund)} USD" for fund, code in cells]
    for entry in entries(rows):
        for transfer in entry.transfers:
            lines += [
                f'{transfer.on} * "{entry.key}"',
                f"  {account(transfer.debit, transfer.fund)}  {dollars(transfer.cents)} USD",
                f"  {account(transfer.credit, transfer.fund)}  {dollars(-transfer.cents)} USD",
            ]
    lines += [
        f"{morning} balance {account(code, fund)}  "
        f"{dollars(held.cells.get((fund, code), 0) + off_by)} USD"
        for morning, held in found.items()
        for fund, code in cells
    ]
    return "\n".join(lines) + "\n"


def errors_in(text: str) -> list[str]:
    _, errors, _ = loader.load_string(text)
    return [error.message for error in errors]


@settings(max_examples=25)
@given(st.lists(transfers(), max_size=30))
def test_beancount_finds_every_balance_to_the_cent(rows: list[Transfer]) -> None:
    assert errors_in(exported(rows, {AFTER: balances(rows)})) == []


def test_beancount_would_see_a_single_cent() -> None:
    rows = [make_transfer(on=AFTER - timedelta(days=9))]
    assert len(errors_in(exported(rows, {AFTER: balances(rows)}, off_by=1))) == 2


def summed(rows: list[Transfer], before: date) -> dict[tuple[str, str], int]:
    """Add up whole numbers, one by one, with nothing of the ledger's own code."""
    cells: dict[tuple[str, str], int] = {}
    for row in rows:
        if row.on < before:
            cells[row.fund, row.debit] = cells.get((row.fund, row.debit), 0) + row.cents
            cells[row.fund, row.credit] = cells.get((row.fund, row.credit), 0) - row.cents
    return {cell: cents for cell, cents in cells.items() if cents}


@pytest.mark.slow
@pytest.mark.django_db
def test_a_year_of_50_000_transfers_is_the_same_to_four_that_add_it_up() -> None:
    """The kept tables, plain whole numbers, the pure ledger and beancount, at each month's end."""
    rows = pure(drawn_books())
    program = write(drawn_books())
    mornings = [date(2026, month, 1) for month in range(2, 13)] + [AFTER]
    kept = {day: held_on(program, day - timedelta(days=1)) for day in mornings}
    assert len(rows) == 50_000
    assert {day: dict(found.cells) for day, found in kept.items()} == {
        day: summed(rows, day) for day in mornings
    }
    assert held(program) == balances(rows) == kept[AFTER]
    assert errors_in(exported(rows, kept)) == []
    assert [tally.wrong for tally in tallies(program)] == [()] * 8
