from __future__ import annotations

import pytest

from program.planning.check import check_plan
from program.planning.demand import bills
from program.planning.greedy import greedy
from program.planning.payments import pay
from program.planning.plan import Plan
from program.planning.problem import Case, PlanInput
from program.planning.selection import select
from tests.program.planning.programs import program, seeds, week


@pytest.mark.parametrize("seed", seeds(5, 20))
def test_the_greedy_plan_keeps_the_rules_and_never_brings_more_home(seed: int) -> None:
    plan_input = program(seed, cases=9, weeks=3, quirks=False)
    weights = {case.id: case.need_weight for case in plan_input.cases}
    cases = greedy(plan_input)
    problems = check_plan(plan_input, Plan(cases=cases, stages=()))
    unpaid = {f"The bill of {item_id} is not paid exactly." for item_id in bills(plan_input, cases)}
    assert {str(problem.sentence) for problem in problems} - unpaid == set()
    assert pay(bills(plan_input, cases), plan_input.funds, reserve_percent=15) is not None
    assert sum(weights[case.case_id] for case in cases) <= select(plan_input).value


def test_the_greedy_plan_stands_in_when_the_solver_has_no_time() -> None:
    plan_input = program(7, cases=60)
    plan = select(plan_input, effort=1e-9)
    assert plan.case_ids == tuple(case.case_id for case in greedy(plan_input))
    assert not plan.proven
    assert check_plan(plan_input, plan) == []


def test_the_greedy_plan_can_miss_what_the_solver_finds() -> None:
    rows = [("a", 10, 60), ("b", 9, 55), ("c", 8, 45)]
    cases = tuple(
        Case(id=name, need_weight=weight, uses={"minutes": minutes})
        for name, weight, minutes in rows
    )
    plan_input = PlanInput(weeks=(week(minutes=100),), cases=cases)
    assert [case.case_id for case in greedy(plan_input)] == ["c", "b"][::-1]
    assert select(plan_input).value == 17
