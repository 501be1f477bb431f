from __future__ import annotations

from typing import Any

import pytest

from program.budget.models import BudgetLine
from tests.factories import make_fund, make_program, make_user
from tests.program.budget.lines import make_line
from tests.refusals import assert_refused

pytestmark = pytest.mark.django_db


SENTENCE = "The year has a line of this account and fund already."


def line(**fields: Any) -> BudgetLine:
    defaults: dict[str, Any] = {"program": make_program(), "year": 2026, "account": "6010"}
    return BudgetLine(**defaults | fields, months=[0] * 12, cents=0)


def test_a_year_has_one_line_of_an_account_fund_and_function() -> None:
    fund = make_fund()
    make_line(fund=fund)
    assert_refused(line(fund=fund), "budget_line_once", SENTENCE)
    for other in ({"fund": make_fund()}, {"function": "management"}, {"year": 2027}):
        make_line(**{"fund": fund} | other)


def test_a_year_has_one_line_of_an_account_for_all_funds() -> None:
    make_line()
    assert_refused(line(), "budget_line_once_for_all", SENTENCE)
    for other in ({"fund": make_fund()}, {"function": "management"}, {"year": 2027}):
        make_line(**other)


def test_a_line_is_never_below_zero() -> None:
    row = BudgetLine(program=make_program(), year=2026, account="6010", months=[-1], cents=-1)
    assert_refused(row, "budget_not_negative", "A budget line can't be negative.")


def test_a_person_sees_the_lines_of_their_program() -> None:
    line = make_line()
    other = make_user(program=make_program(name="Other garage"))
    assert list(BudgetLine.objects.for_user(make_user())) == [line]
    assert list(BudgetLine.objects.for_user(other)) == []
    assert str(line) == "6010 in 2026"
