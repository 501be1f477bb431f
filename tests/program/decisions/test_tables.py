from __future__ import annotations

import pytest

from program.decisions.tables import LineTable, SupplementTable, waits_for
from tests.program.decisions.story import (
    budget_says,
    estimated,
    make_over,
    make_supplement,
    owner_says,
)

pytestmark = pytest.mark.django_db


def test_a_row_says_whose_answer_is_missing() -> None:
    assert waits_for(owner_says(make_supplement())) == "the budget"
    assert waits_for(budget_says(make_supplement())) == "the owner"


def test_the_spreadsheet_has_plain_values() -> None:
    row = make_supplement()
    head, line = list(SupplementTable([row]).as_values())
    assert head == ["Case", "Car", "Why", "More", "Waits for", "Asked", "Answer by"]
    assert line[0] == row.authorization.case.number
    assert (str(line[3]), line[4]) == ("50.00", "the owner and the budget")


def test_the_shares_of_an_estimate_add_up_to_its_80_percent_point() -> None:
    _, stay, _ = make_over()
    newest = estimated(stay)
    table = LineTable(list(newest.lines.order_by("pk")))
    assert sum(row.record.p80_cents for row in table.rows) == newest.p80_cents
