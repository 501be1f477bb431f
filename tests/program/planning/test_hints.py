"""The bound and the prices of all weeks as one, against the solver and by hand."""

from __future__ import annotations

from dataclasses import replace

import pytest

from program.planning.hints import UNIT, hint_of
from program.planning.problem import Case, Fund, Item, PartNeed, PlanInput, Supply
from program.planning.selection import first, select
from tests.program.planning.programs import program, seeds, week
from tests.program.planning.test_greedy import with_quirks
from tests.program.planning.trying import every_plan, tiny


@pytest.mark.parametrize("seed", seeds(40, 200))
def test_no_plan_passes_the_bound(seed: int) -> None:
    plan_input = tiny(seed)
    assert max(every_plan(plan_input))[0] <= hint_of(plan_input).bound


@pytest.mark.parametrize("seed", seeds(4, 20))
def test_what_the_prices_settle_is_so_in_the_best_plan(seed: int) -> None:
    plan_input = program(seed, cases=9, quirks=False)
    plan = select(plan_input)
    sure = hint_of(plan_input).sure(plan.value)
    assert {name: name in plan.case_ids for name in sure} == sure


@pytest.mark.parametrize("seed", seeds(10, 60))
def test_the_bound_stands_with_every_quirk(seed: int) -> None:
    plan_input = with_quirks(seed, cases=6)
    plan = select(plan_input, effort=1)
    assert plan.value <= hint_of(plan_input).bound
    assert plan.value <= plan.bound


def test_the_bound_of_a_fractional_choice_is_rounded_down() -> None:
    """Source: Dantzig 1957, the knapsack by fractions (from memory): b, and two thirds of a."""
    rows = tuple(
        Case(id=name, need_weight=weight, uses={"minutes": minutes})
        for name, weight, minutes in [("a", 5, 90), ("b", 4, 40), ("c", 3, 55)]
    )
    hint = hint_of(PlanInput(weeks=(week(minutes=100),), cases=rows))
    assert hint.bound == 7
    assert hint.total / UNIT == pytest.approx(4 + 5 * 60 / 90, abs=1e-6)


def test_money_that_nobody_may_spend_brings_nobody_home() -> None:
    item = Item(id="i", case_id="c", tier=0, cash_cents=100)
    closed = Fund(id="g", label="g", available_cents=1_000, pays=frozenset())
    plan_input = PlanInput(
        weeks=(week(),), cases=(Case(id="c", need_weight=9),), items=(item,), funds=(closed,)
    )
    assert hint_of(plan_input).bound == 0
    assert hint_of(replace(plan_input, funds=(replace(closed, pays=None),))).bound == 9


def test_one_given_part_is_worth_one_car() -> None:
    part = PartNeed(id="p", supply_ids=("s",))
    items = tuple(
        Item(id=name, case_id=name, tier=0, parts=(replace(part, id=f"{name}/p"),)) for name in "ab"
    )
    cases = (Case(id="a", need_weight=9), Case(id="b", need_weight=4))
    supply = Supply(id="s")
    plan_input = PlanInput(weeks=(week(),), cases=cases, items=items, supplies=(supply,))
    assert hint_of(plan_input).bound == 9
    assert hint_of(replace(plan_input, supplies=(replace(supply, quantity=2),))).bound == 13


def test_a_case_held_back_brings_nothing() -> None:
    plan_input = PlanInput(
        weeks=(week(),), cases=(Case(id="c", need_weight=9),), pinned_out=frozenset("c")
    )
    assert hint_of(plan_input).bound == 0


def test_the_first_plan_says_how_far_the_best_may_be() -> None:
    rows = [("a", 10, 60), ("b", 9, 55), ("c", 8, 45)]
    cases = tuple(
        Case(id=name, need_weight=weight, uses={"minutes": minutes})
        for name, weight, minutes in rows
    )
    plan_input = PlanInput(weeks=(week(minutes=100),), cases=cases)
    plan = first(plan_input)
    assert (plan.value, plan.bound, plan.proven) == (17, 17, True)
    assert [stage.name.value for stage in plan.stages] == [
        "need", "safety", "cash", "changes", "early", "moved", "stay",
    ]  # fmt: skip
