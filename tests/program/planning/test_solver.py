"""The model against HiGHS, which is given the same rules in another form (`oracle.py`).

Source: HiGHS through highspy, a mixed integer solver by others.
"""

from __future__ import annotations

from dataclasses import replace
from random import Random

import pytest

from program.planning import solver as module
from program.planning.aims import WHAT
from program.planning.canonical import canonical
from program.planning.check import check_plan
from program.planning.demand import bounded
from program.planning.problem import BAY_DAYS, LIFT_DAYS, Case, Fund, PlanInput
from program.planning.selection import select
from program.planning.solver import Model, Relief, all_unions, unions
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


def many_funds(seed: int) -> PlanInput:
    """Return a program of 14 funds, of which each item may be paid by some three."""
    draw, rows = Random(seed), program(seed, cases=12, weeks=1, quirks=False)
    pays = {item.id: draw.sample(range(14), 3) for item in rows.items}
    cents = sum(fund.available_cents for fund in rows.funds) // 14
    funds = tuple(
        Fund(
            id=f"f{n:02}",
            label=f"fund {n}",
            available_cents=draw.randint(cents // 2, cents * 2),
            restricted=True,
            pays=frozenset(name for name, own in pays.items() if n in own),
        )
        for n in range(14)
    )
    return replace(rows, funds=funds)


@pytest.mark.parametrize("seed", seeds(3, 20))
def test_fourteen_funds_of_overlapping_rules_pay_for_as_much(seed: int) -> None:
    rows = canonical(many_funds(seed))
    assert all_unions(payers_of(rows)) is None
    assert len(Model(rows, extras=False).cp.proto.constraints) < 1_000
    plan = select(rows)
    assert (plan.value, plan.proven) == (Oracle(rows).most_need(), True)
    assert check_plan(rows, plan) == []


def payers_of(rows: PlanInput) -> list[frozenset[str]]:
    return [
        frozenset(fund.id for fund in rows.funds if fund.may_pay(item.id)) for item in rows.items
    ]


@pytest.mark.parametrize("seed", seeds(4, 20))
def test_shares_of_funds_allow_what_rows_for_each_union_allow(
    seed: int, monkeypatch: pytest.MonkeyPatch
) -> None:
    rows = program(seed, cases=12, weeks=1, quirks=False)
    relief = Relief(cents=True)
    by_rows = most_need(rows), most_need(rows, relief)
    monkeypatch.setattr(module, "MOST_UNIONS", 0)
    assert (most_need(rows), most_need(rows, relief)) == by_rows


def test_too_many_unions_leave_the_sets_alone_and_all_as_one() -> None:
    sets = [frozenset(name) for name in "abcdefg"]
    assert unions(sets) == [*sets, frozenset("abcdefg")]


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
