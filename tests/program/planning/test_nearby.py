"""Planning a few cases anew while all others stay."""

from __future__ import annotations

from dataclasses import replace

import pytest

from program.planning.aims import KEPT, WHAT
from program.planning.greedy import greedy
from program.planning.nearby import around, better_near
from program.planning.plan import PartSource, PlannedCase
from program.planning.problem import Case, Fund, Item, PlanInput, Supply
from program.planning.solving import Attention
from tests.program.planning.programs import seeds, week
from tests.program.planning.rules import broken
from tests.program.planning.test_greedy import with_quirks

NEED = WHAT[0]
NOBODY = Attention(None)


@pytest.mark.parametrize("seed", seeds(6, 40))
def test_what_is_planned_anew_beside_the_others_keeps_every_rule(seed: int) -> None:
    plan_input = with_quirks(seed)
    cases = greedy(plan_input)
    free = {case.id for case in plan_input.cases[seed % 2 :: 2]}
    after = better_near(plan_input, cases, free, [KEPT, NEED], effort=1, watch=NOBODY)
    assert broken(plan_input, after) == set()
    assert NEED.measure(plan_input, after) >= NEED.measure(plan_input, cases)
    stay = [case for case in cases if case.case_id not in free]
    assert [case for case in after if case.case_id not in free] == stay


def test_a_swap_near_a_plan_is_found() -> None:
    rows = [("a", 6, 90), ("b", 4, 40), ("c", 3, 60)]
    cases = tuple(Case(id=n, need_weight=w, uses={"minutes": m}) for n, w, m in rows)
    plan_input = PlanInput(weeks=(week(minutes=100),), cases=cases)
    a = PlannedCase(case_id="a", start_week=0, home_week=0, item_ids=(), uses={(0, "minutes"): 90})
    after = better_near(plan_input, (a,), {"a", "b", "c"}, [KEPT, NEED], effort=1, watch=NOBODY)
    assert [case.case_id for case in after] == ["b", "c"]
    same = better_near(plan_input, (a,), {"b", "c"}, [KEPT, NEED], effort=1, watch=NOBODY)
    assert same == (a,)


def test_what_others_have_been_promised_is_not_there_for_the_rest() -> None:
    items = tuple(Item(id=n, case_id=n, tier=0, cash_cents=400, minutes=60) for n in "ab")
    plan_input = PlanInput(
        weeks=(week(minutes=100),),
        cases=tuple(Case(id=n, need_weight=1) for n in "ab"),
        items=items,
        funds=(Fund(id="g", label="g", available_cents=1_150, floor_cents=100),),
        extras_cents=50,
    )
    a = greedy(replace(plan_input, pinned_out=frozenset("b")))
    left = around(plan_input, a, {"b"})
    assert (left.weeks[0].capacity["minutes"], left.funds[0].spendable_cents(0)) == (40, 513)
    assert (left.extras_cents, [item.id for item in left.items]) == (50, ["b"])


def test_parts_that_others_use_are_not_there_and_those_of_the_free_are() -> None:
    cases = tuple(
        PlannedCase(
            case_id=name,
            start_week=0,
            home_week=0,
            item_ids=(),
            parts=(PartSource(need_id=f"{name}/p", supply_id="s", cents=0),),
        )
        for name in "ab"
    )
    plan_input = PlanInput(
        weeks=(week(),),
        cases=tuple(Case(id=name, need_weight=1) for name in "ab"),
        supplies=(Supply(id="s", quantity=3),),
    )
    assert around(plan_input, cases, {"b"}).supplies == (Supply(id="s", quantity=2),)
    assert around(plan_input, cases, {"a", "b"}).supplies == (Supply(id="s", quantity=3),)


def test_a_car_that_stands_here_takes_its_space_whatever_is_planned_anew() -> None:
    plan_input = PlanInput(
        weeks=(week(spaces=2), week(1, spaces=2)),
        cases=(
            Case(id="a", need_weight=1, stands={"spaces": 1}),
            Case(id="b", need_weight=1, stands={"spaces": 1}, comes=True),
            Case(id="c", need_weight=1),
        ),
    )
    b = PlannedCase(case_id="b", start_week=1, home_week=1, item_ids=())
    left = around(plan_input, (b,), {"c"})
    assert [row.capacity for row in left.weeks] == [{"spaces": 1}, {"spaces": 0}]


def test_an_aim_that_nothing_can_move_leaves_the_plan() -> None:
    plan_input = PlanInput(weeks=(week(minutes=9),), cases=(Case(id="a", need_weight=1),))
    cases = greedy(plan_input)
    assert better_near(plan_input, cases, {"a"}, [KEPT], effort=1, watch=NOBODY) == cases
