"""How lines and outstanding movements are written."""

from __future__ import annotations

from datetime import date

import pytest

from program.bank.gathering import LineView, line_views
from program.bank.reconciling import Item
from program.bank.tables import ItemTable, LineTable
from tests.program.bank.banking import LAST, books, paid, statement

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
