"""The search as a whole: never worse than the greedy plan, always whole, whoever stops it."""

from __future__ import annotations

import pytest

from program.planning import search
from program.planning.aims import KEPT, WHAT
from program.planning.check import check_plan
from program.planning.greedy import greedy
from program.planning.hints import hint_of
from program.planning.problem import Case, PlanInput
from program.planning.selection import first, select
from program.planning.solver import Model
from program.planning.solving import Attention, Deadline, highest, solver
from tests.bench.generator import generate
from tests.program.planning.programs import seeds, week
from tests.program.planning.rules import Impatient
from tests.program.planning.test_greedy import with_quirks

NEED = WHAT[0]
NOBODY = Attention(None)


@pytest.mark.parametrize("seed", seeds(6, 60))
def test_a_plan_with_every_quirk_keeps_every_rule_and_beats_the_greedy_one(seed: int) -> None:
    plan_input = with_quirks(seed, cases=6)
    plan = select(plan_input, effort=2)
    assert check_plan(plan_input, plan) == []
    kept, need = (aim.measure(plan_input, greedy(plan_input)) for aim in (KEPT, NEED))
    assert (KEPT.measure(plan_input, plan.cases), plan.value) >= (kept, need)
    assert all(
        stage.value <= stage.bound if stage.name in {"kept", "need", "safety"} else
        stage.value >= stage.bound
        for stage in plan.stages
    )  # fmt: skip


@pytest.mark.parametrize("seed", seeds(2, 12))
def test_need_over_all_weeks_as_one_is_what_the_weeks_themselves_give(seed: int) -> None:
    plan_input = with_quirks(seed, cases=5)
    plan = select(plan_input)
    model = Model(plan_input, extras=False)
    kept = KEPT.expression(model)
    model.cp.add(kept >= KEPT.measure(plan_input, plan.cases))
    answer = highest(model, NEED.expression(model), solver(20))
    assert (plan.value, plan.proven) == (answer.value, True)


@pytest.mark.parametrize("seed", [pytest.param(n, marks=pytest.mark.slow) for n in range(3)])
def test_a_hundred_cases_are_proven(seed: int) -> None:
    plan_input = generate(100, seed)
    plan = select(plan_input)
    assert check_plan(plan_input, plan) == []
    assert plan.proven


@pytest.mark.parametrize("patience", [0, 1, 4])
def test_a_plan_that_was_stopped_is_whole_and_not_repeatable(patience: int) -> None:
    plan_input, watch = generate(20, 2), Impatient(patience)
    plan = select(plan_input, watch=watch)
    assert not plan.repeatable
    assert check_plan(plan_input, plan) == []
    assert plan.value >= first(plan_input).value
    assert plan.value <= plan.bound


def test_a_deadline_that_is_over_gives_the_first_plan_at_least() -> None:
    plan_input = generate(100)
    plan = select(plan_input, watch=Deadline(0))
    assert (plan.repeatable, plan.value) == (False, first(plan_input).value)
    assert check_plan(plan_input, plan) == []


def test_who_watches_to_the_end_hears_how_far_it_is_and_gets_the_same_plan() -> None:
    plan_input, watch = generate(12), Impatient(10**9)
    assert select(plan_input, effort=1, watch=watch) == select(plan_input, effort=1)
    percents = [percent for percent, _ in watch.told]
    assert percents == sorted(percents)
    assert percents[0] >= 0
    assert percents[-1] <= 100
    assert {"choosing cases", "choosing extras", "setting weeks"} <= {
        doing for _, doing in watch.told
    }


def test_without_any_effort_the_greedy_plan_stands_with_a_bound_that_holds() -> None:
    plan_input = generate(62)
    plan = select(plan_input, effort=1e-9)
    assert plan.value == first(plan_input).value
    assert plan.value <= plan.bound <= first(plan_input).bound
    assert check_plan(plan_input, plan) == []


@pytest.mark.parametrize("seed", range(3))
def test_the_first_plan_can_be_used_as_it_is(seed: int) -> None:
    plan_input = generate(100, seed)
    plan = first(plan_input)
    assert check_plan(plan_input, plan) == []
    assert plan.repeatable
    assert plan == first(plan_input)


def test_the_first_plan_names_promised_cases_that_do_not_fit() -> None:
    cases = tuple(Case(id=n, need_weight=1, uses={"minutes": 60}, stays=True) for n in "ab")
    plan = first(PlanInput(weeks=(week(minutes=100),), cases=cases))
    assert [(stage.name.value, stage.value, stage.bound) for stage in plan.stages][:2] == [
        ("kept", 1, 2),
        ("need", 1, 1),
    ]
    assert [problem.where for problem in plan.problems] == ["b"]


def test_of_many_cases_one_greedy_plan_is_enough(monkeypatch: pytest.MonkeyPatch) -> None:
    plan_input = generate(20, 2)
    prices = hint_of(plan_input)
    monkeypatch.setattr(search, "MANY", 0)
    assert search.greedy_best(plan_input, prices) == greedy(plan_input, prices.worth)
