from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from program.planning import joining
from program.planning.canonical import canonical
from program.planning.joining import (
    RELIEF_EFFORT,
    Bench,
    cents_into,
    fit,
    in_weeks,
    money_model,
    only,
)
from program.planning.plan import PlannedCase
from program.planning.problem import Case, Fund, PlanInput
from program.planning.solving import lowest, solver
from program.planning.trying import Change, ChangeKind
from tests.program.planning.garages import two_cars
from tests.program.planning.programs import week


def test_money_fills_what_is_to_be_kept_back_before_it_can_be_spent() -> None:
    fund = Fund(id="g", label="g", available_cents=100_00, floor_cents=150_00)
    assert cents_into(fund, 100_00, 15) == 50_00 + 115_00
    assert cents_into(fund, 0, 15) == 0


def bench(**fields: Any) -> Bench:
    """Return the question whether `b` of two cars may join `a`."""
    rows = canonical(two_cars(**fields))
    return Bench(plan_input=rows, kept=("a",), case_id="b")


def test_a_case_joins_the_others_once_what_it_lacks_is_there() -> None:
    money = Change(kind=ChangeKind.MONEY, amount=140_00)
    less = replace(money, amount=money.amount - 1)
    assert [bench().holds(changes) for changes in ([], [less], [money])] == [False, False, True]


def test_a_question_that_is_given_no_effort_stays_open() -> None:
    money = Change(kind=ChangeKind.MONEY, amount=140_00)
    assert replace(bench(), effort=0.0).holds([money]) is None


def test_what_is_asked_about_is_one_case_beside_the_kept_ones() -> None:
    asked = bench()
    assert (asked.wanted, asked.row.case) == (("a", "b"), asked.plan_input.cases[1])


def test_of_the_other_cases_only_the_cars_that_stand_here_stay() -> None:
    here = Case(id="c", need_weight=1, stands={"places": 1})
    comes = Case(id="d", need_weight=1, stands={"places": 1}, comes=True)
    rows = two_cars(cases=(*two_cars().cases, here, comes), pinned_in=frozenset({"a"}))
    left = only(rows, ["b"])
    assert ([case.id for case in left.cases], [item.id for item in left.items]) == (
        ["b", "c"],
        ["j"],
    )
    assert (left.pinned_in, left.pinned_out) == (frozenset(), frozenset({"c"}))


@pytest.mark.parametrize("fund_id", ["general", "money"])
def test_the_least_that_one_fund_has_to_spend_more_is_found(fund_id: str) -> None:
    funds = two_cars().funds[1:] if fund_id == "money" else two_cars().funds
    model, more = money_model(bench(funds=funds), fund_id)
    there = sum(fund.spendable_cents(15) for fund in funds)
    assert lowest(model, more, solver(RELIEF_EFFORT)).value == 300_00 - there


@pytest.mark.parametrize("near", [0, 48])
def test_a_car_that_is_in_the_way_gets_another_week(
    monkeypatch: pytest.MonkeyPatch, near: int
) -> None:
    monkeypatch.setattr(joining, "NEAR", near)
    cases = (
        Case(id="a", need_weight=1, uses={"minutes": 60}),
        Case(id="b", need_weight=1, uses={"minutes": 60}, earliest_week=1),
        Case(id="c", need_weight=1, uses={"minutes": 1}),
    )
    rows = PlanInput(weeks=(week(0, minutes=60), week(1, minutes=60)), cases=cases)
    late = PlannedCase(
        case_id="a", start_week=1, home_week=1, item_ids=(), uses={(1, "minutes"): 60}
    )
    assert in_weeks(rows, ["a", "b"], [late], 1.0).fits is True
    assert in_weeks(rows, ["a", "b", "c"], [late], 1.0).fits is False
    assert fit(rows, ["a", "b", "c"], [late], 1.0).fits is False
