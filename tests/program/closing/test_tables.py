"""How the months are listed."""

from __future__ import annotations

import pytest

from program.closing.queries import month_rows
from program.closing.tables import MonthTable
from tests.factories import TODAY, make_program
from tests.program.closing.months import OCTOBER, shut, treasurer

pytestmark = pytest.mark.django_db


def test_a_month_leads_to_its_page_and_says_who_shut_it() -> None:
    user = treasurer()
    shut(OCTOBER, user)
    row = MonthTable(month_rows(make_program(), 2026, TODAY)).rows[9]
    assert row.get_cell("name") == '<a href="/money/months/2026/10/">October 2026</a>'
    cells = [row.get_cell(name) for name in ("state", "ticked", "shut_by")]
    assert cells == ["shut", "7 of 7", user]
