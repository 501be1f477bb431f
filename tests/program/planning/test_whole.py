"""All weeks as one, and what a plan of the weeks can't fall below."""

from __future__ import annotations

import pytest

from program.planning.hints import hint_of
from program.planning.plan import PlannedCase, StageName
from program.planning.problem import Case, Item, PartNeed, PlanInput, Supply
from program.planning.selection import select
from program.planning.whole import LEAST, narrow, ready_weeks, whole
from tests.program.planning.programs import seeds, week
from tests.program.planning.test_greedy import with_quirks


def test_what_begins_later_is_held_to_the_later_weeks() -> None:
    cases = tuple(
        Case(id=name, need_weight=1, uses={"minutes": 60}, earliest_week=1) for name in "ab"
    )
    plan_input = PlanInput(weeks=(week(0, minutes=500), week(1, minutes=60)), cases=cases)
    assert whole(plan_input).weeks[0].capacity == {"minutes": 560, "minutes from week 1 on": 60}
    assert hint_of(plan_input).bound == 1


def test_a_car_is_ready_when_the_earliest_way_to_its_last_part_is() -> None:
    parts = {
        "bought": PartNeed(id="1", price_cents=5, buy_week=1),
        "given": PartNeed(id="2", price_cents=5, buy_week=3, supply_ids=("s",)),
        "nowhere": PartNeed(id="3"),
    }
    plan_input = PlanInput(
        weeks=tuple(map(week, range(4))),
        cases=(
            *(Case(id=name, need_weight=1) for name in parts),
            Case(id="later", need_weight=1, earliest_week=3),
        ),
        items=tuple(
            Item(id=name, case_id=name, tier=0, parts=(part,)) for name, part in parts.items()
        ),
        supplies=(Supply(id="s", week=2),),
    )
    assert ready_weeks(plan_input) == {"bought": 1, "given": 2, "nowhere": 4, "later": 3}


def test_what_comes_within_the_weeks_is_there_at_once_and_what_comes_after_never() -> None:
    parts = tuple(PartNeed(id=str(n), price_cents=5, buy_week=n) for n in range(4))
    plan_input = PlanInput(
        weeks=(week(0), week(1)),
        cases=(Case(id="c", need_weight=1),),
        items=(
            Item(id="i", case_id="c", tier=0, parts=parts),
            Item(id="j", case_id="c", tier=0),
        ),
        supplies=tuple(Supply(id=str(n), week=n) for n in range(4)),
    )
    long = whole(plan_input)
    assert [part.buy_week for part in long.items[0].parts] == [0, 0, 1, 1]
    assert [row.week for row in long.supplies] == [0, 0, 1, 1]
    assert long.items[1] == plan_input.items[1]


def test_narrowed_to_a_plan_a_week_holds_what_standing_cars_leave() -> None:
    plan_input = PlanInput(
        weeks=(week(spaces=1, minutes=60),),
        cases=(
            Case(id="a", need_weight=1),
            Case(id="b", need_weight=1, stands={"spaces": 1}),
        ),
        items=(Item(id="x", case_id="a", tier=3), Item(id="y", case_id="a", tier=3)),
    )
    a = PlannedCase(case_id="a", start_week=0, home_week=0, item_ids=("y",))
    rows = narrow(plan_input, (a,))
    assert [case.id for case in rows.cases] == ["a"]
    assert [item.id for item in rows.items] == ["y"]
    assert rows.weeks[0].capacity == {"spaces": 0, "minutes": 60}


def test_by_hand_what_cannot_be_home_early() -> None:
    """60 minutes hold a and half of b: 4 + 1 of the 6 are home after the first week."""
    cases = tuple(
        Case(id=name, need_weight=weight, uses={"minutes": minutes})
        for name, weight, minutes in [("a", 4, 40), ("b", 2, 40)]
    )
    rows = PlanInput(weeks=(week(0, minutes=60), week(1, minutes=60)), cases=cases)
    planned = [PlannedCase(case_id=name, start_week=0, home_week=0, item_ids=()) for name in "ab"]
    assert {name.value: least(rows, planned) for name, least in LEAST.items()} == {
        "early": 1,
        "moved": 0,
        "stay": 0,
    }


@pytest.mark.parametrize("seed", seeds(4, 20))
def test_no_plan_falls_below_what_was_worked_out_for_it(seed: int) -> None:
    plan_input = with_quirks(seed, cases=6)
    plan = select(plan_input, effort=1)
    rows = narrow(plan_input, plan.cases)
    values = {stage.name: stage.value for stage in plan.stages}
    for name in (StageName.EARLY, StageName.MOVED, StageName.STAY):
        assert LEAST[name](rows, plan.cases) <= values[name]
