from __future__ import annotations

import csv
import datetime as dt
import io

import pytest

from program.budget.queries import shown
from program.budget.sheet import budget_csv
from tests.factories import make_entry, make_fund, make_program
from tests.program.budget.lines import make_line

pytestmark = pytest.mark.django_db


def test_a_sheet_holds_every_row_with_its_months() -> None:
    fund = make_fund(code="=GEN")
    make_line(120_00, fund=fund)
    make_entry(("6010", "1010", 150_00, fund), ("1010", "4010", 5_00, fund), on=dt.date(2026, 2, 1))
    text = budget_csv(shown(make_program(), 2026))
    income, parts = csv.DictReader(io.StringIO(text, newline=""))
    assert (income["kind"], income["has_line"], income["actual"]) == ("income", "no", "5.00")
    assert parts["fund"] == "'=GEN"  # no spreadsheet takes it for a formula
    assert (parts["budget"], parts["left"], parts["year_end_difference"]) == (
        "120.00",
        "-30.00",
        "-50.00",
    )
    assert (parts["budget_2026-02"], parts["actual_2026-02"]) == ("10.00", "150.00")
    assert text.count("\r\n") == 3
