from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

import pytest

from program.planning.check import check_plan
from program.planning.plan import PartSource, Payment, Plan, PlannedCase
from program.planning.problem import Case, Fund, Item, PartNeed, PlanInput, Supply
from program.planning.selection import select
from shared.say import say
from tests.program.planning.programs import week

if TYPE_CHECKING:
    from collections.abc import Callable

ANA, BEN = "minutes of Ana", "minutes of Ben"
GIVEN = PlanInput(
    weeks=(week(0, minutes=500, bay_days=2), week(1, minutes=500, bay_days=2)),
    cases=(Case(id="c", need_weight=1, uses={"minutes": 60}, stays=True),),
    items=(
        Item(id="a", case_id="c", tier=0, cash_cents=100, minutes=100),
        Item(
            id="b",
            case_id="c",
            tier=1,
            minutes=50,
            prerequisites=("a",),
            parts=(PartNeed(id="p", price_cents=30, supply_ids=("s",)),),
        ),
    ),
    funds=(
        Fund(id="g", label="General", available_cents=200),
        Fund(id="r", label="Gift", available_cents=900, restricted=True, pays=frozenset("b")),
    ),
    supplies=(Supply(id="s"),),
)


def changed(change: Callable[[PlannedCase], PlannedCase]) -> list[str]:
    plan = select(GIVEN)
    cases = tuple(change(case) for case in plan.cases)
    return [str(problem.sentence) for problem in check_plan(GIVEN, replace(plan, cases=cases))]


def test_a_plan_as_computed_has_no_problem() -> None:
    assert changed(lambda case: case) == []


@pytest.mark.parametrize(
    ("fields", "sentence"),
    [
        ({"item_ids": ("b",)}, "a must be done before c goes home."),
        ({"item_ids": ("b",)}, "b is done without what it needs before."),
        ({"item_ids": ("a", "b", "z")}, "z is not an item of c."),
        ({"parts": ()}, "The part p has to have one source."),
        ({"start_week": 2}, "c has no week to start or to go home."),
        (
            {"uses": {(0, "minutes"): 20, (0, "bay_days"): 1}},
            "c takes 210 of minutes, and the plan gives 20.",
        ),
        ({"uses": {(1, "minutes"): 210, (1, "bay_days"): 1}}, "c is worked on outside its weeks."),
        ({"uses": {(0, "minutes"): 210, (0, "bay_days"): 9}}, "c can't stand in a bay for 9 days."),
        (
            {"uses": {(0, "minutes"): 210, (0, "bay_days"): 4}},
            "The week of November 30 takes 4 bay days, and 2 are there.",
        ),
        ({"payments": (Payment(fund_id="r", item_id="a", cents=100),)}, "r may not pay a."),
        (
            {"payments": (Payment(fund_id="g", item_id="a", cents=99),)},
            "The bill of a is not paid exactly.",
        ),
        (
            {"payments": (Payment(fund_id="g", item_id="a", cents=190),)},
            "General has no $1.90 to spend.",
        ),
    ],
)
def test_a_plan_changed_by_hand_is_caught(fields: dict[str, Any], sentence: str) -> None:
    assert sentence in changed(lambda case: replace(case, **fields))


FLOOR = PlanInput(
    weeks=tuple(week(n, minutes=9_000, bay_days=9, lift_days=9, places=2) for n in range(3)),
    cases=(
        Case(id="c", need_weight=1, stands={"places": 1}, comes=True),
        Case(id="d", need_weight=1, stands={"places": 2}),
    ),
    items=(
        Item(id="a", case_id="c", tier=0, minutes=840, on_lift=True, access="x", access_minutes=60),
        Item(id="b", case_id="c", tier=0, minutes=420, access="x", access_minutes=90),
    ),
)
FULL = {(0, "bay_days"): 1, (1, "bay_days"): 5, (2, "bay_days"): 1}
WORK = {(0, "minutes"): 400, (1, "minutes"): 400, (2, "minutes"): 400}


def floor_problems(
    uses: dict[tuple[int, str], int], rows: PlanInput = FLOOR, **fields: Any
) -> list[str]:
    c = PlannedCase(case_id="c", start_week=0, home_week=2, item_ids=("a", "b"), uses=WORK | uses)
    d = PlannedCase(case_id="d", start_week=0, home_week=0, item_ids=())
    found = check_plan(rows, Plan(cases=(replace(c, **fields), d), stages=()))
    return [str(problem.sentence) for problem in found]


LIFT = {(0, "lift_days"): 1, (1, "lift_days"): 1}
CROWDED = "The week of November 30 takes 3 places, and 2 are there."


@pytest.mark.parametrize(
    ("uses", "sentences"),
    [
        (FULL | LIFT, []),
        (FULL, ["c takes 2 of lift_days, and the plan gives 0."]),
        (FULL | {(0, "lift_days"): 2}, ["c is on a lift and in no bay."]),
        (
            FULL | {(0, "lift_days"): 1, (2, "lift_days"): 1},
            ["c comes off its lift before it can roll."],
        ),
        (
            FULL | LIFT | {(0, "minutes"): 460},
            [
                "c takes 1200 of minutes, and the plan gives 1260.",
                "c has more work than days in a bay.",
            ],
        ),
        (
            FULL | LIFT | {(1, "bay_days"): 4},
            ["c leaves its bay before its last week."],
        ),
        (
            FULL | LIFT | {(2, "minutes"): 0, (2, "bay_days"): 0, (1, "minutes"): 800},
            ["c is not worked on in its first or its last week."],
        ),
    ],
)
def test_a_lift_a_bay_and_shared_access_are_counted_anew(
    uses: dict[tuple[int, str], int], sentences: list[str]
) -> None:
    assert floor_problems(uses) == [*sentences, CROWDED]


def test_a_car_that_comes_finds_no_place_beside_the_cars_that_are_here() -> None:
    later = {(week + 1, name): used for (week, name), used in (FULL | LIFT | WORK).items()}
    rows = replace(FLOOR, weeks=(*FLOOR.weeks, week(3, **FLOOR.weeks[0].capacity)))
    assert floor_problems({**later, (0, "minutes"): 0}, rows, start_week=1, home_week=3) == []


def test_cars_that_are_here_beyond_the_places_are_no_fault_of_the_plan() -> None:
    crowded = replace(FLOOR, cases=(replace(FLOOR.cases[1], stands={"places": 5}),), items=())
    assert check_plan(crowded, Plan(cases=(), stages=())) == []


@pytest.mark.parametrize(
    ("days", "sentences"),
    [
        (5, []),
        (4, ["c leaves its bay before its last week."]),
        (12, []),
        (13, ["c is outside for 13 days, and its weeks don't hold them."]),
    ],
)
def test_days_outside_are_held_by_the_weeks_and_leave_the_bay(
    days: int, sentences: list[str]
) -> None:
    out = Item(id="o", case_id="c", tier=1, outside_days=days)
    uses = {
        (0, "bay_days"): 1,
        (1, "minutes"): 0,
        (2, "bay_days"): 2,
        (2, "lift_days"): 2,
        (2, "minutes"): 800,
    }
    rows = replace(FLOOR, items=(*FLOOR.items, out))
    assert floor_problems(uses, rows, item_ids=("a", "b", "o")) == [*sentences, CROWDED]


def test_a_part_that_comes_after_the_start_is_caught() -> None:
    late = replace(GIVEN, supplies=(Supply(id="s", week=1),))
    found = [str(problem.sentence) for problem in check_plan(late, select(GIVEN))]
    assert found == ["The part p comes after its car takes a bay."]


def test_a_case_that_has_to_stay_is_missed() -> None:
    problems = check_plan(GIVEN, Plan(cases=(), stages=()))
    assert [str(problem.sentence) for problem in problems] == ["c has to stay in the plan."]


def test_a_supply_given_twice_is_caught() -> None:
    part = PartNeed(id="q", supply_ids=("s",))
    more = replace(GIVEN.items[0], id="x", prerequisites=(), cash_cents=0, minutes=0, parts=(part,))
    both = replace(GIVEN, items=(*GIVEN.items, more), supplies=(Supply(id="s", quantity=2),))
    plan = select(both)
    single = replace(both, supplies=(Supply(id="s"),))
    found = [str(problem.sentence) for problem in check_plan(single, plan)]
    assert found == ["The supply s is given twice."]


@pytest.mark.parametrize(
    ("fields", "sentence"),
    [
        ({"case_id": "y"}, "y is no case of the input."),
        ({"payments": (Payment(fund_id="y", item_id="a", cents=1),)}, "y is no fund of the input."),
        (
            {"parts": (PartSource(need_id="p", supply_id="y", cents=0),)},
            "y is no supply of the input.",
        ),
        (
            {"parts": (PartSource(need_id="p", supply_id=None, cents=29),)},
            "The part p can't be bought at that price.",
        ),
        (
            {"parts": (PartSource(need_id="q", supply_id=None, cents=0),)},
            "The part q has to have one source.",
        ),
    ],
)
def test_a_name_or_a_price_that_the_input_lacks_is_caught(
    fields: dict[str, Any], sentence: str
) -> None:
    assert sentence in changed(lambda case: replace(case, **fields))


def test_a_supply_that_fits_another_part_is_caught() -> None:
    given = replace(GIVEN, supplies=(Supply(id="s"), Supply(id="t")))
    wrong = (PartSource(need_id="p", supply_id="t", cents=0),)
    plan = select(given)
    plan = replace(plan, cases=tuple(replace(case, parts=wrong) for case in plan.cases))
    found = [str(problem.sentence) for problem in check_plan(given, plan)]
    assert found == ["The supply t doesn't fit."]


def test_a_case_that_nobody_may_plan_is_caught() -> None:
    held = replace(GIVEN.cases[0], hold=say("It waits for a person."), stays=False)
    plan = select(GIVEN)
    found = [str(problem.sentence) for problem in check_plan(replace(GIVEN, cases=(held,)), plan)]
    assert found == ["c may not be planned."]


def test_extras_beyond_their_allowance_are_caught() -> None:
    extra = Item(id="x", case_id="c", tier=3, points=5, cash_cents=50)
    rich = replace(GIVEN, items=(*GIVEN.items, extra))
    plan = select(rich)
    found = check_plan(replace(rich, extras_cents=49), plan)
    assert [str(one.sentence) for one in found] == ["The extras pass their allowance of $0.49."]
