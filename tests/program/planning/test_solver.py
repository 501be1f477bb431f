"""The model against HiGHS, which is given the same rules in another form (`oracle.py`).

Source: HiGHS through highspy, a mixed integer solver by others.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from program.planning.aims import WHAT
from program.planning.canonical import canonical
from program.planning.demand import bounded
from program.planning.problem import BAY_DAYS, LIFT_DAYS, Case, PlanInput
from program.planning.selection import select
from program.planning.solver import Model, Relief, unions
from program.planning.solving import Answer, highest, solver
from tests.program.planning.oracle import Oracle
from tests.program.planning.programs import floor, program, seeds, week

NEED, NOTHING = WHAT[0], Relief()


def most_need(plan_input: PlanInput, relief: Relief = NOTHING) -> Answer:
    model = Model(canonical(plan_input), extras=False, relief=relief)
    return highest(model, NEED.expression(model), solver(60))


@pytest.mark.parametrize("seed", range(12))
def test_another_solver_given_payments_for_each_fund_brings_as_much_home(seed: int) -> None:
    plan_input = program(seed, cases=20, weeks=1, quirks=False)
    assert BAY_DAYS in bounded(plan_input)
    plan = select(plan_input)
    assert (plan.value, plan.proven) == (Oracle(plan_input).most_need(), True)


@pytest.mark.parametrize("seed", seeds(4, 50))
def test_another_solver_over_weeks_with_lifts_and_places_brings_as_much_home(seed: int) -> None:
    plan_input = floor(seed, program(seed, cases=20, weeks=2 + seed % 3, quirks=False))
    assert LIFT_DAYS in bounded(plan_input)
    found = most_need(plan_input)
    assert (found.value, found.proven) == (Oracle(plan_input).most_need(), True)


def test_unions_of_payer_sets_are_each_there_once() -> None:
    a, b, c = (frozenset(name) for name in "abc")
    assert unions([a, b, c, a | b]) == [a, b, c, a | b, a | c, b | c, a | b | c]


def test_more_may_be_added_of_the_resources_named_and_of_no_other() -> None:
    rows = PlanInput(
        weeks=(week(minutes=60, places=9),),
        cases=tuple(Case(id=n, need_weight=1, uses={"minutes": 40, "places": 5}) for n in "ab"),
    )
    assert most_need(rows).value == 1
    assert most_need(rows, Relief(resources=frozenset({"minutes"}))).value == 1
    assert most_need(rows, Relief(resources=frozenset(bounded(rows)))).value == 2


def test_cars_that_are_here_may_stand_beyond_the_places_and_then_none_may_come() -> None:
    cases = (
        Case(id="a", need_weight=1, stands={"places": 2}),
        Case(id="b", need_weight=1, stands={"places": 1}, comes=True),
    )
    crowded = PlanInput(weeks=(week(places=1),), cases=cases)
    assert most_need(crowded).value == 1
    later = replace(crowded, weeks=(week(places=1), week(1, places=1)))
    assert most_need(later).value == 2
    assert most_need(replace(later, pinned_out=frozenset("a"))).value == 0


def test_the_same_input_makes_the_same_model() -> None:
    plan_input = canonical(floor(1, program(1)))
    one, other = (Model(plan_input, extras=True).cp.proto for _ in range(2))
    assert str(one) == str(other)
