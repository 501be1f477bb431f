from __future__ import annotations

import datetime as dt
from typing import Any

import pytest
from django.core.exceptions import ValidationError

from program.budget.actions import add_line, change_line, copy_year, remove_line
from program.budget.models import BudgetLine
from program.budget.states import Start
from program.budget.variance import spread
from shared.models import Event
from tests.factories import make_entry, make_fund, make_program, make_user
from tests.program.budget.lines import make_line

pytestmark = pytest.mark.django_db

NOVEMBER = (*[0] * 10, 500, 0)


def added(**fields: Any) -> BudgetLine:
    defaults: dict[str, Any] = {
        "program": make_program(),
        "year": 2026,
        "account": "6010",
        "fund": None,
        "function": "",
        "months": spread(120_00),
        "by": make_user(),
    }
    return add_line(**defaults | fields)


def changed(line: BudgetLine, **fields: Any) -> BudgetLine:
    defaults: dict[str, Any] = {
        "version": line.version,
        "account": line.account,
        "fund": line.fund,
        "function": line.function,
        "months": tuple(line.months),
        "by": make_user(),
    }
    return change_line(line=line, **defaults | fields)


def test_a_line_is_added_with_its_sum_and_a_word_in_the_log() -> None:
    fund = make_fund(code="GEN")
    line = added(fund=fund, function="program")
    assert (line.cents, line.months, line.version) == (120_00, [10_00] * 12, 1)
    event = Event.objects.about("budgetline", line.pk).get()
    assert event.what == "A line of the budget of 2026 was added: 6010, GEN, program, $120.00."


@pytest.mark.parametrize(
    ("fields", "sentence"),
    [
        ({"account": "9999"}, "There is no account 9999."),
        ({"account": "1010"}, "1010 Checking account is neither income nor a cost."),
        (
            {"account": "4010", "function": "program"},
            "4010 Gifts of money from people is income; only costs have a function.",
        ),
        ({"months": (-1, *[0] * 11)}, "−$0.01 in month 1 is below zero."),
        (
            {"months": (10**11,) * 12},
            "$12,000,000,000.00 is more than this ledger can hold.",
        ),
        ({"year": 3026}, "A budget is of a year from 1990 to 2100, not 3026."),
        ({"months": (1, 2)}, "A year has 12 months, not 2."),
    ],
)
def test_what_can_be_no_line_is_refused(fields: dict[str, Any], sentence: str) -> None:
    with pytest.raises(ValidationError) as refusal:
        added(**fields)
    assert refusal.value.messages == [sentence]
    assert not BudgetLine.objects.exists()


def test_a_second_line_of_the_same_is_refused() -> None:
    added()
    with pytest.raises(ValidationError) as refusal:
        added()
    assert refusal.value.messages == ["The year has a line of this account and fund already."]


def test_a_fund_that_was_closed_before_the_year_has_no_line_in_it() -> None:
    fund = make_fund(name="old fund", closed_on=dt.date(2026, 3, 1))
    added(fund=fund)
    with pytest.raises(ValidationError) as refusal:
        added(fund=fund, year=2027)
    assert refusal.value.messages == ["The old fund was closed on 2026-03-01, before the year."]


def test_a_change_says_which_fields_it_was() -> None:
    line = changed(added(), months=NOVEMBER, function="program")
    line.refresh_from_db()
    assert (line.months, line.cents, line.function, line.version) == (
        list(NOVEMBER),
        500,
        "program",
        2,
    )
    event = Event.objects.about("budgetline", line.pk).first()
    assert event is not None
    assert event.fields == ["function", "months"]
    assert event.what == "The line was changed: 6010, program, $5.00."


def test_a_change_of_nothing_leaves_no_trace() -> None:
    line = added()
    changed(line)
    assert Event.objects.about("budgetline", line.pk).count() == 1
    assert BudgetLine.objects.get().version == 1


def test_a_line_that_somebody_else_changed_stays_as_it_is() -> None:
    line = added()
    changed(line, months=NOVEMBER)
    sentence = "Somebody else changed this line meanwhile. Look at it again, then decide."
    with pytest.raises(ValidationError) as refusal:
        changed(line, months=(0,) * 12, version=1)
    assert refusal.value.messages == [sentence]
    with pytest.raises(ValidationError) as refusal:
        remove_line(line=line, version=1, by=make_user())
    assert refusal.value.messages == [sentence]
    assert BudgetLine.objects.get().cents == 500


def test_a_line_is_removed_once_and_the_log_keeps_what_it_said() -> None:
    line = added()
    kept = BudgetLine.objects.get()
    remove_line(line=kept, version=1, by=make_user())
    event = Event.objects.about("budgetline", line.pk).first()
    assert event is not None
    assert event.what == "A line of the budget of 2026 was removed: 6010, $120.00."
    with pytest.raises(ValidationError) as refusal:
        remove_line(line=kept, version=1, by=make_user())
    assert refusal.value.messages == ["Somebody else removed this line meanwhile."]


def copied(start: Start, percent: int = 0) -> int:
    return copy_year(
        program=make_program(), year=2027, start=start, percent=percent, by=make_user()
    )


def test_a_budget_is_begun_from_the_budget_before_raised_by_a_percentage() -> None:
    fund = make_fund()
    make_line(fund=fund, function="program", months=(0, 100_01, *[0] * 10))
    make_line(33, account="6050")
    assert copied(Start.BUDGET, 3) == 2
    first, second = BudgetLine.objects.filter(year=2027)
    assert (first.fund, first.function, first.months) == (fund, "program", [0, 103_01, *[0] * 10])
    assert (second.account, second.cents) == ("6050", 34)
    event = Event.objects.get(kind="program")
    assert event.what == "The budget of 2027 was begun from the budget of 2026: 2 lines."


def test_a_budget_is_begun_from_the_ledger_by_account_and_fund() -> None:
    fund, day = make_fund(), dt.date(2026, 2, 3)
    make_entry(("6010", "1010", 70_00, fund), ("1010", "4010", 90_00, fund), on=day)
    make_entry(("1010", "6010", 20_00, fund), on=day.replace(month=5))
    make_entry(("1010", "6050", 5_00, fund), on=day)
    assert copied(Start.ACTUAL) == 2
    income, parts = BudgetLine.objects.filter(year=2027)
    assert (income.account, income.fund, income.months) == ("4010", fund, [0, 90_00, *[0] * 10])
    assert (parts.account, parts.months) == ("6010", [0, 50_00, *[0] * 10])


def test_a_copy_leaves_lines_that_are_there_and_closed_funds_alone() -> None:
    closed = make_fund(closed_on=dt.date(2026, 12, 1))
    make_line(100)
    make_line(200, fund=closed)
    make_line(777, year=2027)
    make_line(300, account="6050")
    assert copied(Start.BUDGET) == 1
    assert sorted(BudgetLine.objects.filter(year=2027).values_list("cents", flat=True)) == [
        300,
        777,
    ]
    with pytest.raises(ValidationError) as refusal:
        copied(Start.BUDGET)
    assert refusal.value.messages == [
        "The budget of 2026 has nothing that 2027 doesn’t have already."
    ]
