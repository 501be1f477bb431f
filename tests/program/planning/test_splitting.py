"""The planner over weeks, against every plan of small programs (`brute.py`), and rule by rule."""

from __future__ import annotations

from dataclasses import replace
from random import Random
from typing import TYPE_CHECKING, Any

import pytest

from program.planning.check import check_plan
from program.planning.plan import StageName
from program.planning.problem import Case, Fund, Item, PlanInput, Supply
from program.planning.selection import select
from tests.program.planning.brute import best
from tests.program.planning.programs import floor, program, proven, seeds, week
from tests.program.planning.small import small_program, staffed

if TYPE_CHECKING:
    from program.planning.plan import Plan, PlannedCase

ANA = "minutes of Ana"


@pytest.mark.parametrize("seed", seeds(25, 300))
def test_no_plan_found_by_trying_every_one_reaches_more(seed: int) -> None:
    plan_input = small_program(seed)
    plan = select(plan_input)
    reached = {stage.name: stage.value for stage in plan.stages}
    assert (reached[StageName.NEED], reached[StageName.SAFETY]) == best(plan_input)
    assert [stage.name for stage in plan.stages if not stage.proven] == []
    assert check_plan(plan_input, plan) == []


@pytest.mark.parametrize("seed", seeds(50, 400))
def test_no_plan_found_by_giving_minutes_to_each_person_reaches_more(seed: int) -> None:
    plan_input, staff = staffed(seed)
    plan = select(plan_input)
    reached = {stage.name: stage.value for stage in plan.stages}
    assert (reached[StageName.NEED], reached[StageName.SAFETY]) == best(plan_input, staff)
    assert [stage.name for stage in plan.stages if not stage.proven] == []
    assert check_plan(plan_input, plan) == []


@pytest.mark.parametrize("seed", seeds(10, 100))
def test_no_plan_of_one_week_found_by_trying_every_one_reaches_more(seed: int) -> None:
    plan_input = small_program(seed)
    plan_input = replace(plan_input, weeks=plan_input.weeks[:1])
    plan = select(plan_input)
    reached = {stage.name: stage.value for stage in plan.stages}
    assert (reached[StageName.NEED], reached[StageName.SAFETY]) == best(plan_input)
    assert check_plan(plan_input, plan) == []


@pytest.mark.parametrize("seed", seeds(10, 60))
def test_rows_in_another_order_give_the_same_plan_byte_for_byte(seed: int) -> None:
    plan_input, draw = small_program(seed), Random(seed)
    rows: dict[str, Any] = {
        name: tuple(draw.sample(getattr(plan_input, name), len(getattr(plan_input, name))))
        for name in ("weeks", "cases", "items", "funds", "supplies")
    }
    assert repr(select(replace(plan_input, **rows))) == repr(select(plan_input))


@pytest.mark.parametrize("seed", seeds(3, 20))
def test_a_plan_with_lifts_and_places_keeps_every_rule(seed: int) -> None:
    plan_input = floor(seed, program(seed, cases=9, quirks=False))
    assert check_plan(plan_input, proven(plan_input)) == []


@pytest.mark.parametrize("seed", seeds(2, 12))
def test_more_money_hours_or_gifts_never_bring_less_home(seed: int) -> None:
    poor = floor(seed, program(seed, cases=7, quirks=False))
    rich = Fund(id="more", label="more", available_cents=30_000)
    hours = [
        replace(row, capacity={name: there + 3 for name, there in row.capacity.items()})
        for row in poor.weeks
    ]
    parts = [
        replace(
            item, parts=tuple(replace(p, supply_ids=(*p.supply_ids, "gift")) for p in item.parts)
        )
        for item in poor.items
    ]
    gift = (*poor.supplies, Supply(id="gift", quantity=2))
    value = proven(poor).stages[0].value
    for more in (
        replace(poor, funds=(*poor.funds, rich)),
        replace(poor, weeks=tuple(hours)),
        replace(poor, items=tuple(parts), supplies=gift),
    ):
        assert proven(more).stages[0].value >= value


@pytest.mark.parametrize("seed", seeds(2, 12))
def test_other_names_change_no_value(seed: int) -> None:
    plan_input = floor(seed, program(seed, cases=7, quirks=False))
    assert proven(renamed(plan_input)).stages == proven(plan_input).stages


def renamed(rows: PlanInput) -> PlanInput:
    """Return the input with every id turned around, so that the rows stand in another order."""

    def other(name: str) -> str:
        return name[::-1]

    return replace(
        rows,
        cases=tuple(replace(case, id=other(case.id)) for case in rows.cases),
        items=tuple(
            replace(
                item,
                id=other(item.id),
                case_id=other(item.case_id),
                prerequisites=tuple(map(other, item.prerequisites)),
                parts=tuple(
                    replace(p, id=other(p.id), supply_ids=tuple(map(other, p.supply_ids)))
                    for p in item.parts
                ),
            )
            for item in rows.items
        ),
        funds=tuple(
            replace(
                fund,
                id=other(fund.id),
                pays=None if fund.pays is None else frozenset(map(other, fund.pays)),
            )
            for fund in rows.funds
        ),
        supplies=tuple(replace(row, id=other(row.id)) for row in rows.supplies),
    )


def one_car(*items: Item, weeks: int = 3, **capacity: int) -> PlanInput:
    """Return one car in weeks of five days, in a shop with hours enough."""
    there = {"minutes": 10_000, "bay_days": 20, **capacity}
    return PlanInput(
        weeks=tuple(week(n, **there) for n in range(weeks)),
        cases=(Case(id="c", need_weight=1),),
        items=items,
    )


def in_weeks(rows: PlanInput, **there: tuple[int, ...]) -> PlanInput:
    """Return the input with so much of a resource in each of its weeks."""
    weeks = (
        replace(row, capacity={**row.capacity, **{name: own[n] for name, own in there.items()}})
        for n, row in enumerate(rows.weeks)
    )
    return replace(rows, weeks=tuple(weeks))


def only(plan: Plan) -> PlannedCase:
    (planned,) = plan.cases
    return planned


def item(name: str, **fields: Any) -> Item:
    return Item(**{"id": name, "case_id": "c", "tier": 1, **fields})


def test_what_is_taken_off_once_is_counted_once() -> None:
    rows = (
        item("a", minutes=300, access="dash", access_minutes=100),
        item("b", minutes=200, access="dash", access_minutes=150, tier=3, points=5),
        item("d", minutes=100, access="dash", access_minutes=100, tier=3, points=4),
    )
    planned = only(proven(one_car(*rows, weeks=1, minutes=400)))
    assert (planned.item_ids, planned.used("minutes")) == (("a", "b", "d"), 400)
    assert only(proven(one_car(*rows, weeks=1, minutes=399))).item_ids == ("a", "d")


def test_of_several_things_done_as_well_the_longest_access_counts() -> None:
    rows = [item("a", minutes=100, access="dash", access_minutes=50)]
    rows += [
        item(name, minutes=200, access="dash", access_minutes=long, tier=3, points=1)
        for name, long in (("b", 120), ("d", 180), ("e", 20))
    ]
    assert only(proven(one_car(*rows, weeks=1, minutes=510))).item_ids == ("a", "b", "d", "e")
    assert only(proven(one_car(*rows, weeks=1, minutes=509))).used("minutes") < 510
    assert only(proven(one_car(*rows, weeks=1, minutes=330))).item_ids == ("a", "b", "d")
    assert only(proven(one_car(*rows, weeks=1, minutes=100))).used("minutes") == 100


def test_work_done_as_well_takes_what_it_needs_onto_the_lift() -> None:
    rows = (
        item("a", minutes=420),
        item("b", minutes=100, prerequisites=("a",), on_lift=True, tier=3, points=1),
        item("d", minutes=100, prerequisites=("a",), on_lift=True, tier=3, points=1),
    )
    assert only(proven(one_car(*rows, weeks=1, lift_days=1))).item_ids == ("a",)
    planned = only(proven(one_car(*rows, weeks=1, lift_days=2)))
    assert (planned.item_ids, planned.used("lift_days")) == (("a", "b", "d"), 2)


def test_no_lift_is_held_longer_than_the_work_on_it_takes() -> None:
    rows = (item("a", minutes=420, on_lift=True), item("b", minutes=6 * 420))
    planned = only(select(one_car(*rows, lift_days=5)))
    assert (planned.used("lift_days"), planned.used("bay_days")) == (1, 7)


def test_lift_days_are_those_of_the_lift_work_and_all_that_it_needs_before() -> None:
    rows = (
        item("a", minutes=400),
        item("b", minutes=400, prerequisites=("a",), on_lift=True),
        item("d", minutes=400),
    )
    assert only(proven(one_car(*rows, lift_days=2))).used("lift_days") == 2
    assert proven(one_car(*rows, weeks=1, lift_days=1)).cases == ()


def test_a_car_can_not_come_off_the_lift_and_go_up_again() -> None:
    rows = (item("a", minutes=5 * 420, on_lift=True), item("b", minutes=5 * 420))
    assert only(proven(in_weeks(one_car(*rows), lift_days=(3, 0, 5)))).uses[2, "lift_days"] == 5
    assert proven(in_weeks(one_car(*rows), lift_days=(3, 0, 4))).cases == ()


def test_days_outside_need_open_days_and_no_bay() -> None:
    rows = (item("a", minutes=420), item("b", outside_days=7, minutes=0))
    planned = only(proven(one_car(*rows, bay_days=1)))
    assert planned.home_week > planned.start_week
    assert planned.used("bay_days") <= 2
    assert proven(one_car(*rows, weeks=1)).cases == ()
    assert len(proven(one_car(rows[0], item("b", outside_days=4), weeks=1)).cases) == 1
    assert proven(one_car(rows[0], item("b", outside_days=5), weeks=1)).cases == ()


def test_a_car_between_its_first_and_last_week_holds_its_bay_unless_it_is_outside() -> None:
    held = in_weeks(one_car(item("a", minutes=11 * 420)), bay_days=(5, 4, 5))
    assert proven(held).cases == ()
    out = replace(held, items=(*held.items, item("b", outside_days=1)))
    assert only(proven(out)).uses[1, "bay_days"] == 4


def test_a_car_with_nothing_to_do_goes_home_untouched() -> None:
    extra = item("x", tier=3, minutes=420)
    planned = only(proven(one_car(extra, bay_days=0)))
    assert (planned.item_ids, planned.uses) == ((), {})
    assert planned.start_week == planned.home_week


def test_nothing_is_done_before_what_it_needs() -> None:
    """Gate item first, cause before effect: common practice, no source."""
    gate = item("gate", cash_cents=100)
    extra = item("x", tier=3, points=9)
    cause = item("cause", tier=4, minutes=60)
    rows = (gate, replace(extra, prerequisites=("cause",)), cause)
    poor = one_car(*rows, weeks=1, minutes=59)
    funds = (Fund(id="g", label="g", available_cents=115),)
    assert proven(poor).cases == ()
    assert only(proven(replace(poor, funds=funds))).item_ids == ("gate",)
    rich = one_car(*rows, weeks=1)
    assert only(proven(replace(rich, funds=funds))).item_ids == ("cause", "gate", "x")


@pytest.mark.parametrize(("later", "cases"), [(300, 1), (299, 0)])
def test_hours_of_some_people_are_spent_in_the_week_of_their_work(later: int, cases: int) -> None:
    """Ana has 300 minutes in each week, and 600 of hers can't lie in fewer minutes of all."""
    rows = (item("a", minutes=600, uses={ANA: 600}), item("b", minutes=240))
    given = in_weeks(one_car(*rows, weeks=2), **{"minutes": (900, later), ANA: (300, 300)})
    assert len(proven(given).cases) == cases


def test_each_kind_of_work_has_its_days_in_a_bay() -> None:
    """The final inspection alone needs no bay; Ana's work on the car does."""
    rows = in_weeks(
        one_car(item("a", minutes=420, uses={ANA: 420}), weeks=2),
        **{"bay_days": (1, 0), "minutes": (1_000, 1_000), ANA: (400, 400)},
    )
    inspected = replace(rows, cases=(Case(id="c", need_weight=1, uses={"minutes": 60}),))
    assert proven(inspected).cases == ()
    enough = in_weeks(inspected, **{ANA: (420, 0)})
    assert only(proven(enough)).used(ANA) == 420
