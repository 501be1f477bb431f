from __future__ import annotations

from dataclasses import replace

import pytest

from program.planning.aims import KEPT, WHAT, WHEN
from program.planning.canonical import canonical
from program.planning.plan import Plan, PlannedCase
from program.planning.problem import Case, PlanInput
from program.planning.selection import select
from tests.program.planning.programs import floor, program, seeds, week


@pytest.mark.parametrize("seed", seeds(3, 20))
def test_what_the_solver_reached_is_what_the_plan_measures(seed: int) -> None:
    plan_input = floor(seed, program(seed, cases=8))
    dearer = replace(plan_input, bay_day_minutes=300, prior=select(plan_input))
    plan = select(dearer)
    measured = {
        aim.name: aim.measure(canonical(dearer), plan.cases) for aim in (KEPT, *WHAT, *WHEN)
    }
    assert {stage.name: stage.value for stage in plan.stages} == {
        stage.name: measured[stage.name] for stage in plan.stages
    }


def planned(name: str, start: int, home: int) -> PlannedCase:
    uses = {(home, "bay_days"): 1, (home, "lift_days"): 1}
    return PlannedCase(case_id=name, start_week=start, home_week=home, item_ids=(), uses=uses)


def test_changes_count_cases_first_and_weeks_apart() -> None:
    cases = tuple(Case(id=name, need_weight=2) for name in "abc")
    prior = Plan(cases=(planned("a", 0, 0), planned("b", 0, 1)), stages=())
    rows = PlanInput(weeks=(week(), week(1)), cases=cases, prior=prior)
    after = (planned("b", 1, 1), planned("c", 0, 0))
    values = {aim.name.value: aim.measure(rows, after) for aim in (*WHAT, *WHEN)}
    assert values == {
        "need": 4,
        "safety": 0,
        "cash": 0,
        "changes": 2,
        "early": 2,
        "moved": 1,
        "stay": 4,
    }
