"""The search as a whole: never worse than the greedy plan, always whole, whoever stops it."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from program.planning.aims import KEPT, WHAT
from program.planning.check import check_plan
from program.planning.demand import bills
from program.planning.greedy import greedy
from program.planning.nearby import around, better_near
from program.planning.payments import pay
from program.planning.placing import Placer
from program.planning.plan import Plan, PlannedCase
from program.planning.problem import Case, Fund, Item, PlanInput
from program.planning.selection import first, select
from program.planning.solver import Model
from program.planning.solving import Attention, Deadline, highest, solver
from tests.bench.generator import generate
from tests.program.planning.programs import seeds, week
from tests.program.planning.test_greedy import with_quirks

if TYPE_CHECKING:
    from collections.abc import Collection

NEED = WHAT[0]
NOBODY = Attention(None)


class Impatient:
    """Stops when asked for the n-th time; remembers what it was told."""

    def __init__(self, patience: int) -> None:
        self.patience = patience
        self.told: list[tuple[int, str]] = []

    def tell(self, percent: int, doing: str) -> None:
        self.told.append((percent, doing))

    def stop(self) -> bool:
        self.patience -= 1
        return self.patience < 0


def broken(plan_input: PlanInput, cases: Collection[PlannedCase]) -> set[str]:
    """Return the rules that cases break which are not paid yet."""
    problems = check_plan(plan_input, Plan(cases=tuple(cases), stages=()))
    owed = bills(plan_input, cases)
    unpaid = {f"The bill of {item_id} is not paid exactly." for item_id in owed}
    assert pay(owed, plan_input.funds, reserve_percent=plan_input.reserve_percent) is not None
    found = {str(problem.sentence) for problem in problems} - unpaid
    return {sentence for sentence in found if "has to stay" not in sentence}


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


@pytest.mark.parametrize("seed", seeds(6, 40))
def test_extras_that_find_room_break_no_rule(seed: int) -> None:
    plan_input = replace(with_quirks(seed), extras_cents=20_000)
    placer = Placer(plan_input, lambda row: float(row.case.need_weight), NOBODY)
    before = greedy(plan_input)
    after = placer.with_extras(before, ())
    assert broken(plan_input, after) == set()
    assert [case.case_id for case in after] == [case.case_id for case in before]
    assert sum(len(case.item_ids) for case in after) >= sum(len(case.item_ids) for case in before)


def test_extras_are_done_where_hours_and_money_are_left() -> None:
    items = (
        Item(id="must", case_id="c", tier=0, minutes=60),
        Item(id="x", case_id="c", tier=2, points=9, minutes=60, prerequisites=("y",)),
        Item(id="y", case_id="c", tier=3, points=1, minutes=30),
        Item(id="z", case_id="c", tier=2, points=30, cash_cents=1),
    )
    plan_input = PlanInput(
        weeks=(week(minutes=150),), cases=(Case(id="c", need_weight=1),), items=items
    )
    placer = Placer(plan_input, lambda _: 1.0, NOBODY)
    assert placer.with_extras(greedy(plan_input), ())[0].item_ids == ("must", "x", "y")
