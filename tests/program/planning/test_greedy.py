from __future__ import annotations

from dataclasses import replace
from random import Random

import pytest

from program.planning import greedy as module
from program.planning.check import check_plan
from program.planning.demand import bills
from program.planning.greedy import greedy
from program.planning.payments import pay
from program.planning.plan import Plan
from program.planning.problem import Case, Item, PlanInput, add_up
from program.planning.selection import select
from tests.program.planning.programs import program, seeds, week
from tests.program.planning.small import staffed


def with_quirks(seed: int, *, cases: int = 9) -> PlanInput:
    """Return a program with lifts, shared access, days outside, and cars that stand or come."""
    plan_input, draw = program(seed, cases=cases, weeks=4), Random(seed)
    items = [
        replace(
            item,
            on_lift=draw.random() < 0.3,
            outside_days=draw.choice((0, 0, 0, 2, 6)),
            bay_minutes=draw.choice((None, None, 0, item.minutes // 2, item.minutes + 300)),
            access=draw.choice(("", "wheels")),
            access_minutes=draw.choice((0, 20, 40)),
        )
        for item in plan_input.items
    ]
    rows = [
        replace(
            case,
            comes=draw.random() < 0.4,
            stands=draw.choice(({}, {"spaces": 1})),
            earliest_week=draw.choice((0, 0, 0, 1)),
        )
        for case in plan_input.cases
    ]
    more = {"lift_days": draw.randint(2, 6), "spaces": draw.randint(1, cases // 2)}
    weeks = [replace(week, capacity=add_up(week.capacity, more)) for week in plan_input.weeks]
    return replace(plan_input, items=tuple(items), cases=tuple(rows), weeks=tuple(weeks))


def broken_rules(plan_input: PlanInput) -> set[str]:
    """Return what the check says of a greedy plan, that nothing is paid yet left aside."""
    cases = greedy(plan_input)
    problems = check_plan(plan_input, Plan(cases=cases, stages=()))
    unpaid = {f"The bill of {item_id} is not paid exactly." for item_id in bills(plan_input, cases)}
    return {
        str(problem.sentence) for problem in problems if "has to stay" not in str(problem.sentence)
    } - unpaid


@pytest.mark.parametrize("seed", seeds(60, 400))
def test_the_greedy_plan_keeps_every_rule(seed: int) -> None:
    plan_input = with_quirks(seed)
    assert broken_rules(plan_input) == set()
    assert (
        pay(bills(plan_input, greedy(plan_input)), plan_input.funds, reserve_percent=15) is not None
    )


@pytest.mark.parametrize("seed", seeds(5, 20))
def test_the_greedy_plan_never_brings_more_home(seed: int) -> None:
    plan_input = program(seed, cases=9, weeks=3, quirks=False)
    weights = {case.id: case.need_weight for case in plan_input.cases}
    cases = greedy(plan_input)
    assert sum(weights[case.case_id] for case in cases) <= select(plan_input).value


def test_the_greedy_plan_can_miss_what_the_solver_finds() -> None:
    rows = [("a", 10, 60), ("b", 9, 55), ("c", 8, 45)]
    cases = tuple(
        Case(id=name, need_weight=weight, uses={"minutes": minutes})
        for name, weight, minutes in rows
    )
    plan_input = PlanInput(weeks=(week(minutes=100),), cases=cases)
    assert [case.case_id for case in greedy(plan_input)] == ["c", "b"][::-1]
    assert select(plan_input).value == 17


def test_what_a_case_is_worth_may_be_measured_otherwise() -> None:
    cases = tuple(Case(id=name, need_weight=1, uses={"minutes": 60}) for name in "ab")
    plan_input = PlanInput(weeks=(week(minutes=100),), cases=cases)
    assert [case.case_id for case in greedy(plan_input)] == ["a"]
    last_first = greedy(plan_input, lambda row: float(ord(row.case.id)))
    assert [case.case_id for case in last_first] == ["b"]


def test_what_found_no_place_leaves_its_money_to_others() -> None:
    items = (
        Item(id="a", case_id="big", tier=0, minutes=600),
        Item(id="b", case_id="small", tier=0, minutes=60),
    )
    plan_input = PlanInput(
        weeks=(week(0, minutes=400, bay_days=1), week(1, minutes=400, bay_days=1)),
        cases=(Case(id="big", need_weight=99), Case(id="small", need_weight=1)),
        items=items,
    )
    assert [case.case_id for case in greedy(plan_input)] == ["big"]
    short = replace(plan_input, weeks=(week(0, minutes=590, bay_days=1), week(1, minutes=10)))
    assert [case.case_id for case in greedy(short)] == ["small"]


def test_what_finds_no_room_in_the_last_round_waits(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(module, "ROUNDS", 1)
    cases = tuple(Case(id=name, need_weight=1, uses={"minutes": 60}) for name in "ab")
    plan_input = PlanInput(weeks=(week(minutes=100),), cases=cases)
    assert [case.case_id for case in greedy(plan_input)] == ["a"]


@pytest.mark.parametrize("seed", seeds(20, 200))
def test_hours_of_some_people_are_spent_in_the_week_of_their_work(seed: int) -> None:
    plan_input, _ = staffed(seed)
    plan = Plan(cases=greedy(plan_input), stages=())
    assert check_plan(plan_input, plan) == []
