"""How lines and outstanding movements are written."""

from __future__ import annotations

import re
from datetime import date
from decimal import Decimal
from typing import TYPE_CHECKING

import pytest
import time_machine

from program.bank.actions import finish, match_sure, reopen
from program.bank.gathering import LineView, line_views
from program.bank.queries import statements
from program.bank.reconciling import Item
from program.bank.tables import ItemTable, LineTable, StatementTable
from tests.factories import make_user
from tests.program.bank.banking import LAST, all_found, books, paid, statement

if TYPE_CHECKING:
    from program.models import BankStatement

pytestmark = pytest.mark.django_db


def cells(view: LineView) -> tuple[str, str]:
    row = LineTable([view]).rows[0]
    return str(row.get_cell("found")), str(row.get_cell("act"))


def test_a_line_is_accepted_as_it_is_shown() -> None:
    there = books()
    view = next(one for one in line_views(statement()) if one.cents == -100_00)
    found, act = cells(view)
    assert "sure</span>. The only entry of this amount, 1 day away." in found
    assert f'value="{view.pk}:{there["pay"].pk}"' in act


def test_a_slip_is_told_and_never_accepted() -> None:
    paid(1_50, date(2026, 10, 29), "Fee")
    paid(51_00, date(2026, 10, 29), "Other")
    view = next(one for one in line_views(statement()) if one.cents == -15_00)
    assert not view.acceptable
    assert "<button" not in cells(view)[1]


def test_what_is_old_says_how_old() -> None:
    old = Item(id=1, on=date(2026, 7, 1), cents=-500, what="Towing")
    table = ItemTable([old], caption="Outstanding", address="ledger:entry_page", on=LAST)
    assert "122 days old: ask who holds it." in str(table.rows[0].get_cell("what"))


@time_machine.travel("2026-11-30 15:00:00+00:00", tick=False)
def test_a_statement_says_how_it_was_finished() -> None:
    there = books()
    row = statement()
    assert state(row) == ("not yet", "")
    finish(statement=row, version=1, note="Papers follow.", by=make_user())
    assert state(row) == ("differs by −$248.60", "2026-11-30")
    reopen(statement=row, version=2, reason="A slip.", by=make_user())
    all_found(row, there)
    user = make_user()
    finish(statement=row, version=3, note="", by=user)
    assert state(row) == (f"{user}, Nov 30", "2026-11-30")


def state(row: BankStatement) -> tuple[str, str]:
    """Return how the list and its sheet say that a statement is reconciled."""
    table = StatementTable(statements(row.program))
    shown = re.sub(r"<[^>]+>", "", str(table.rows[0].get_cell("state"))).strip()
    return shown, list(table.as_values())[1][-1]


def test_lines_as_a_sheet_hold_the_banks_words_and_the_numbers_of_entries() -> None:
    there = books()
    row = statement()
    match_sure(statement=row, by=make_user())
    sheet = list(LineTable(line_views(row)).as_values())
    assert sheet[0] == ["Day", "The bank’s words", "Amount", "In the books", "Next"]
    assert sheet[1] == ["2026-10-02", "CHECK", Decimal("-36.40"), str(there["check"].pk), ""]
    assert sheet[2] == ["2026-10-19", "DEPOSIT", Decimal("400.00"), "", ""]
