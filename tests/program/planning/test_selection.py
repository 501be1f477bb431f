from __future__ import annotations

from dataclasses import replace
from random import Random
from typing import Any

import pytest

from program.planning.check import check_plan
from program.planning.plan import Plan, PlannedCase, StageName
from program.planning.problem import Case, Fund, Item, PartNeed, PlanInput, Supply
from program.planning.selection import _finished, select
from shared.say import say
from tests.program.planning.programs import program, seeds, week
from tests.program.planning.trying import every_plan, tiny

SMALL: dict[str, Any] = {"cases": 7, "weeks": 3}


def reached(plan: Plan, name: StageName) -> int:
    return next(stage.value for stage in plan.stages if stage.name == name)


@pytest.mark.parametrize("seed", seeds(40, 200))
def test_no_plan_found_by_trying_all_reaches_more(seed: int) -> None:
    plan_input = tiny(seed)
    plan = select(plan_input)
    reached = {stage.name: stage for stage in plan.stages}
    assert (
        reached[StageName.NEED].value,
        reached[StageName.SAFETY].value,
        -reached[StageName.CASH].value,
    ) == max(every_plan(plan_input))
    assert all(stage.proven for stage in plan.stages)
    assert check_plan(plan_input, plan) == []


@pytest.mark.parametrize("seed", seeds(6, 20))
def test_a_plan_over_three_weeks_keeps_every_rule(seed: int) -> None:
    plan_input = program(seed, **SMALL)
    plan = select(plan_input)
    assert check_plan(plan_input, plan) == []
    assert [stage.name for stage in plan.stages if not stage.proven] == []


@pytest.mark.parametrize("seed", seeds(5, 20))
def test_more_money_never_brings_less_home(seed: int) -> None:
    cents = Random(seed).randint(1, 200_000)
    poor = program(seed, quirks=False, **SMALL)
    funds = tuple(
        replace(fund, available_cents=fund.available_cents + cents) for fund in poor.funds
    )
    assert select(replace(poor, funds=funds)).value >= select(poor).value


@pytest.mark.parametrize("seed", seeds(6, 20))
def test_the_order_of_the_rows_changes_nothing(seed: int) -> None:
    plan_input, draw = program(seed, **SMALL), Random(seed)
    rows: dict[str, Any] = {
        name: tuple(draw.sample(getattr(plan_input, name), len(getattr(plan_input, name))))
        for name in ("weeks", "cases", "items", "funds", "supplies")
    }
    mixed = replace(plan_input, **rows)
    assert select(mixed) == select(plan_input)


def test_the_same_input_gives_the_same_plan() -> None:
    assert select(program(3)) == select(program(3))


def test_a_big_job_spans_weeks_and_goes_home_in_its_last() -> None:
    plan = select(
        PlanInput(
            weeks=tuple(week(n, minutes=1_000, bay_days=5) for n in range(3)),
            cases=(Case(id="c", need_weight=1, uses={"minutes": 60}),),
            items=(Item(id="engine", case_id="c", tier=1, minutes=2_700),),
        )
    )
    planned = plan.cases[0]
    assert (planned.start_week, planned.home_week, planned.used("minutes")) == (0, 2, 2_760)
    assert planned.uses[1, "bay_days"] == 5


def test_no_bay_is_taken_before_the_parts_are_there() -> None:
    part = PartNeed(id="p", supply_ids=("late",))
    plan = select(
        PlanInput(
            weeks=(week(0, minutes=100), week(1, minutes=100)),
            cases=(Case(id="c", need_weight=1),),
            items=(Item(id="i", case_id="c", tier=0, minutes=50, parts=(part,)),),
            supplies=(Supply(id="late", week=1),),
        )
    )
    assert plan.cases[0].start_week == 1


def two_cars(**fields: Any) -> PlanInput:
    """Return two cars of which the hours hold one."""
    cases = (
        Case(id="a", need_weight=5, uses={"minutes": 60}),
        Case(id="b", need_weight=3, uses={"minutes": 60}),
    )
    return replace(PlanInput(weeks=(week(minutes=100),), cases=cases), **fields)


def test_a_pin_takes_a_case_in_or_out() -> None:
    assert select(two_cars()).case_ids == ("a",)
    assert select(two_cars(pinned_in=frozenset("b"))).case_ids == ("b",)
    assert select(two_cars(pinned_out=frozenset("a"))).case_ids == ("b",)


def test_a_promised_case_stays_in() -> None:
    a, b = two_cars().cases
    assert select(two_cars(cases=(a, replace(b, stays=True)))).case_ids == ("b",)


def test_one_car_that_was_started_stays_before_two_pins() -> None:
    a, b = two_cars().cases
    small = replace(b, uses={"minutes": 40})
    begun = replace(a, uses={"minutes": 100}, stays=True)
    rows = two_cars(cases=(begun, small, replace(small, id="c")), pinned_in=frozenset("bc"))
    plan = select(rows)
    assert plan.case_ids == ("a",)
    assert select(replace(rows, pinned_out=frozenset("a"))).case_ids == ("b", "c")
    assert check_plan(rows, plan) == []


def test_promised_cases_that_do_not_all_fit_are_named() -> None:
    a, b = (replace(case, stays=True) for case in two_cars().cases)
    plan = select(two_cars(cases=(a, b)))
    assert plan.case_ids == ("a",)
    assert [str(problem.sentence) for problem in plan.problems] == [
        "b was started, promised or pinned in, and doesn't fit."
    ]


def test_a_held_case_is_in_no_plan() -> None:
    a, b = two_cars().cases
    held = replace(a, hold=say("waits for a decision"))
    assert select(two_cars(cases=(held, b))).case_ids == ("b",)


def test_between_equal_cases_the_approved_plan_decides() -> None:
    a, b = (replace(case, need_weight=5) for case in two_cars().cases)
    prior = select(two_cars(cases=(a, b), pinned_in=frozenset("b")))
    assert select(two_cars(cases=(a, b), prior=prior)).case_ids == ("b",)


def test_approved_weeks_stay_where_nothing_is_won_by_moving() -> None:
    plan_input = program(5, **SMALL)
    prior = select(plan_input)
    again = select(replace(plan_input, prior=prior))
    assert again.cases == prior.cases


def test_the_reserve_for_supplements_is_not_spent() -> None:
    cases, fund = (Case(id="c", need_weight=1),), Fund(id="g", label="g", available_cents=114)
    items = (Item(id="i", case_id="c", tier=0, cash_cents=100),)
    plan_input = PlanInput(weeks=(week(),), cases=cases, items=items, funds=(fund,))
    assert select(plan_input).case_ids == ()
    enough = replace(fund, available_cents=115)
    assert select(replace(plan_input, funds=(enough,))).case_ids == ("c",)


def test_extras_stay_inside_their_allowance() -> None:
    items = (
        Item(id="must", case_id="c", tier=0, cash_cents=500),
        Item(id="x", case_id="c", tier=2, points=9, cash_cents=60),
        Item(id="y", case_id="c", tier=3, points=8, cash_cents=50),
    )
    plan_input = PlanInput(
        weeks=(week(),),
        cases=(Case(id="c", need_weight=1),),
        items=items,
        funds=(Fund(id="g", label="g", available_cents=1_000),),
        extras_cents=100,
    )
    assert select(plan_input).cases[0].item_ids == ("must", "x")


def test_money_set_aside_earlier_is_not_paid_again() -> None:
    item = Item(id="i", case_id="c", tier=0, cash_cents=500, set_aside_cents=480)
    plan_input = PlanInput(
        weeks=(week(),),
        cases=(Case(id="c", need_weight=1),),
        items=(item,),
        funds=(Fund(id="g", label="g", available_cents=23),),
    )
    assert select(plan_input).cash_cents == 20


def test_a_week_without_work_yields_an_empty_plan() -> None:
    plan = select(PlanInput(weeks=(week(),), cases=()))
    assert (plan.case_ids, plan.value, plan.proven) == ((), 0, True)


def test_bills_that_pass_the_money_are_a_fault_that_is_told() -> None:
    plan_input = PlanInput(
        weeks=(week(),),
        cases=(Case(id="c", need_weight=1),),
        items=(Item(id="i", case_id="c", tier=0, cash_cents=1),),
    )
    cases = (PlannedCase(case_id="c", start_week=0, home_week=0, item_ids=("i",)),)
    with pytest.raises(ValueError, match=r"^The planner's bills pass the money it has; this is"):
        _finished(plan_input, cases, (), repeatable=True)
