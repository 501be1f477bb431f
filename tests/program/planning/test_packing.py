"""Placing into weeks: the rules of each kind, one by one."""

from __future__ import annotations

from typing import Any

import pytest

from program.planning.check import check_plan
from program.planning.demand import demands
from program.planning.packing import Weeks, fill
from program.planning.plan import Plan, PlannedCase
from program.planning.problem import Case, Item, PlanInput
from program.planning.stays import load_of
from tests.program.planning.programs import week


def one_car(*items: Item, weeks: int = 3, case: Case | None = None, **there: int) -> PlanInput:
    capacity = {"minutes": 5_000, "bay_days": 5} | there
    return PlanInput(
        weeks=tuple(week(number, **capacity) for number in range(weeks)),
        cases=(case or Case(id="c", need_weight=1),),
        items=items,
    )


def placed(plan_input: PlanInput, *, ready: int = 0) -> PlannedCase | None:
    """Return the only case once it is placed; the check has found nothing wrong with it."""
    row = demands(plan_input)[0]
    load = load_of(plan_input, row, {item.id for item in row.items}, ready=ready)
    found = fill(Weeks(plan_input), [load])
    assert check_plan(plan_input, Plan(cases=tuple(found), stages=())) == []
    return found[0] if found else None


def an_item(**fields: Any) -> Item:
    values: dict[str, Any] = {"id": "i", "case_id": "c", "tier": 0, "minutes": 420}
    return Item(**values | fields)


@pytest.mark.parametrize(
    ("fields", "start", "home"),
    [
        ({}, 0, 0),
        ({"minutes": 420 * 7}, 0, 1),
        ({"minutes": 420 * 5, "outside_days": 2}, 0, 1),
        ({"outside_days": 4}, 0, 0),
        ({"outside_days": 12}, 0, 2),
        ({"minutes": 60, "bay_minutes": 420 * 6}, 0, 1),
        ({"minutes": 5_500, "bay_minutes": 0}, 0, 1),
    ],
)
def test_a_case_goes_home_in_the_week_in_which_its_work_ends(
    fields: dict[str, Any], start: int, home: int
) -> None:
    planned = placed(one_car(an_item(**fields)))
    assert planned is not None
    assert (planned.start_week, planned.home_week) == (start, home)


def test_work_that_the_weeks_do_not_hold_is_not_placed() -> None:
    assert placed(one_car(an_item(minutes=420 * 16))) is None
    assert placed(one_car(an_item(outside_days=15))) is None


def test_no_case_begins_before_it_is_ready() -> None:
    planned = placed(one_car(an_item()), ready=2)
    assert planned is not None
    assert planned.start_week == 2


def test_a_bay_is_held_without_hours_rather_than_left() -> None:
    """In the second week no hours are there; the car can't be moved and stays in its bay."""
    plan_input = PlanInput(
        weeks=tuple(
            week(number, minutes=minutes, bay_days=5)
            for number, minutes in enumerate((2_100, 0, 2_100))
        ),
        cases=(Case(id="c", need_weight=1),),
        items=(an_item(minutes=420 * 7),),
    )
    planned = placed(plan_input)
    assert planned is not None
    assert [planned.uses.get((number, "bay_days"), 0) for number in range(3)] == [5, 5, 2]


def test_a_lift_is_held_until_the_work_on_it_ends() -> None:
    item = an_item(minutes=420 * 7, on_lift=True)
    planned = placed(one_car(item, lift_days=5))
    assert planned is not None
    assert [planned.uses.get((number, "lift_days"), 0) for number in range(3)] == [5, 2, 0]
    assert placed(one_car(item, lift_days=2)) is None


def test_a_car_does_not_come_off_its_lift_before_it_can_roll() -> None:
    lifts = (5, 2, 5)
    plan_input = PlanInput(
        weeks=tuple(
            week(number, minutes=5_000, bay_days=5, lift_days=there)
            for number, there in enumerate(lifts)
        ),
        cases=(Case(id="c", need_weight=1),),
        items=(an_item(minutes=420 * 12, on_lift=True),),
    )
    assert placed(plan_input) is None


def test_a_car_that_comes_takes_its_space_from_its_first_week_on() -> None:
    case = Case(id="c", need_weight=1, stands={"spaces": 1}, comes=True)
    assert placed(one_car(an_item(), case=case, spaces=1)) is not None
    assert placed(one_car(an_item(), case=case, spaces=0)) is None


def test_a_car_that_is_here_leaves_its_space_once_it_is_home() -> None:
    here = Case(id="a", need_weight=1, uses={"minutes": 100}, stands={"spaces": 1})
    comes = Case(id="b", need_weight=1, uses={"minutes": 100}, stands={"spaces": 1}, comes=True)
    plan_input = PlanInput(
        weeks=tuple(week(number, minutes=200, spaces=1) for number in range(2)), cases=(here, comes)
    )
    loads = [load_of(plan_input, row, ()) for row in demands(plan_input)]
    found = fill(Weeks(plan_input), loads)
    assert [(case.case_id, case.home_week) for case in found] == [("a", 0), ("b", 1)]


def test_cases_are_begun_so_that_hours_and_bays_run_out_together() -> None:
    items = [
        Item(id=f"{name}/i", case_id=name, tier=0, minutes=minutes, bay_minutes=420)
        for name, minutes in [("a", 100), ("b", 100), ("c", 400), ("d", 400)]
    ]
    plan_input = PlanInput(
        weeks=tuple(week(number, minutes=500, bay_days=2) for number in range(2)),
        cases=tuple(Case(id=name, need_weight=1) for name in "abcd"),
        items=tuple(items),
    )
    loads = [load_of(plan_input, row, {row.items[0].id}) for row in demands(plan_input)]
    found = {case.case_id: case.home_week for case in fill(Weeks(plan_input), loads)}
    assert sorted(found) == ["a", "b", "c", "d"]
    assert found["a"] != found["b"]


def test_what_no_week_holds_is_not_left_to_the_last() -> None:
    """One bay, two weeks: the long job has to be begun first, though it stands last in line."""
    items = [
        Item(id="a/i", case_id="a", tier=0, minutes=420 * 4),
        Item(id="b/i", case_id="b", tier=0, minutes=420 * 6),
    ]
    plan_input = PlanInput(
        weeks=tuple(week(number, minutes=2_100, bay_days=5) for number in range(2)),
        cases=tuple(Case(id=name, need_weight=1) for name in "ab"),
        items=tuple(items),
    )
    loads = [load_of(plan_input, row, {row.items[0].id}) for row in demands(plan_input)]
    assert [case.case_id for case in fill(Weeks(plan_input), loads)] == ["b", "a"]


@pytest.mark.parametrize(("minutes", "home"), [(300, 1), (240, None)])
def test_hours_of_some_people_are_spent_in_the_week_of_their_work(
    minutes: int, home: int | None
) -> None:
    """Ana's 600 minutes take 300 in each week; 240 minutes of anybody's can't be hers."""
    ana = "minutes of Ana"
    plan_input = PlanInput(
        weeks=(
            week(0, minutes=600, bay_days=5, **{ana: 300}),
            week(1, minutes=minutes, bay_days=5, **{ana: 300}),
        ),
        cases=(Case(id="c", need_weight=1),),
        items=(an_item(minutes=600, uses={ana: 600}), an_item(id="j", minutes=240)),
    )
    planned = placed(plan_input)
    assert (planned and planned.home_week) == home
    if planned:
        assert [planned.uses[n, ana] for n in range(2)] == [300, 300]
        assert planned.uses[1, "minutes"] >= 300
