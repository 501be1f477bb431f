from __future__ import annotations

from dataclasses import replace

from program.planning.demand import (
    Demand,
    Work,
    barred,
    bill,
    bills,
    bounded,
    demands,
    forced,
    forced_worth,
    parts_of,
    standing,
)
from program.planning.plan import PartSource, PlannedCase
from program.planning.problem import Case, Item, PartNeed, PlanInput
from shared.say import say
from tests.program.planning.programs import program, week

PART = PartNeed(id="p", price_cents=30)
ITEM = Item(id="a", case_id="c", tier=0, cash_cents=100, set_aside_cents=110, parts=(PART,))


def test_what_an_early_item_needs_before_must_be_done_too() -> None:
    gate = Item(id="a", case_id="c", tier=1, prerequisites=("b",))
    before = Item(id="b", case_id="c", tier=4, prerequisites=("d",))
    rest = (Item(id="d", case_id="c", tier=3), Item(id="e", case_id="c", tier=2))
    demand = Demand(Case(id="c", need_weight=1), (gate, before, *rest))
    assert [item.id for item in demand.must] == ["a", "b", "d"]
    assert [item.id for item in demand.extras] == ["e"]


def test_bay_days_are_counted_for_the_whole_car_and_rounded_up() -> None:
    items = tuple(Item(id=name, case_id="c", tier=0, minutes=300) for name in "ab")
    bench = Item(id="d", case_id="c", tier=0, minutes=90, bay_minutes=0)
    demand = Demand(Case(id="c", need_weight=1, uses={"minutes": 60}), (*items, bench))
    assert demand.totals({"a", "b", "d"}, 420) == {"bay_days": 2, "minutes": 750}
    assert demand.free_minutes({"a", "b", "d"}) == 150


def test_a_bill_is_what_goes_beyond_the_money_set_aside() -> None:
    assert bill(ITEM, {"p": 30}) == 20
    assert bill(ITEM, {}) == 0
    rows = PlanInput(weeks=(), cases=(Case(id="c", need_weight=1),), items=(ITEM,))
    source = PartSource(need_id="p", supply_id=None, cents=30)
    planned = PlannedCase(case_id="c", start_week=0, home_week=0, item_ids=("a",), parts=(source,))
    assert bills(rows, [planned]) == {"a": 20}
    assert parts_of([ITEM]) == {"p": PART}


def test_a_hold_or_a_pin_out_is_stronger_than_a_promise() -> None:
    cases = (
        Case(id="a", need_weight=1, stays=True),
        Case(id="b", need_weight=1, stays=True, hold=say("waits")),
        Case(id="c", need_weight=1, stays=True),
        Case(id="d", need_weight=1),
    )
    rows = PlanInput(
        weeks=(week(minutes=1), week(1, lift=1)),
        cases=cases,
        pinned_in=frozenset("d"),
        pinned_out=frozenset("c"),
    )
    assert forced(rows) == {"a", "d"}
    assert forced_worth(rows) == {"a": 2, "d": 1}
    assert [case.id for case in cases if barred(rows, case)] == ["b", "c"]
    assert bounded(rows) == ("lift", "minutes")


def test_shared_access_and_the_stay_on_a_lift_are_counted_for_the_whole_car() -> None:
    items = (
        Item(id="a", case_id="c", tier=0, minutes=300, access="hub", access_minutes=60),
        Item(id="b", case_id="c", tier=1, minutes=200, access="hub", access_minutes=90),
        Item(id="d", case_id="c", tier=1, minutes=50, prerequisites=("a",), on_lift=True),
        Item(id="e", case_id="c", tier=3, minutes=70, outside_days=2),
    )
    demand = Demand(Case(id="c", need_weight=1), items)
    assert demand.totals("abde", 100) == {"bay_days": 6, "lift_days": 4, "minutes": 560}
    assert demand.totals("ab", 100) == {"bay_days": 5, "minutes": 440}
    assert (demand.outside_days("abde"), demand.outside_days("ab")) == (2, 0)


def test_a_car_that_is_here_stands_until_it_went_home_and_one_that_comes_from_its_start_on() -> (
    None
):
    cases = tuple(
        Case(id=name, need_weight=1, stands={"places": 2}, comes=comes)
        for name, comes in [("a", False), ("b", False), ("d", True), ("e", True)]
    )
    rows = PlanInput(weeks=tuple(week(n, places=3) for n in range(4)), cases=cases)
    planned = [
        PlannedCase(case_id=name, start_week=1, home_week=2, item_ids=()) for name in ("a", "d")
    ]
    assert [list(row.standing_weeks(None, 4)) for row in demands(rows)] == [[0, 1, 2, 3]] * 2 + [
        []
    ] * 2
    assert standing(rows, planned, coming=False) == {
        (0, "places"): 4,
        (1, "places"): 4,
        (2, "places"): 4,
        (3, "places"): 2,
    }
    assert standing(rows, planned, coming=True) == {(1, "places"): 2, (2, "places"): 2}


def test_what_may_be_done_by_some_people_stands_by_the_hours_it_takes() -> None:
    ana, both = "minutes of Ana", "minutes of Ana or Ben"
    case = Case(id="1", need_weight=1, uses={"minutes": 45, both: 30})
    items = (
        Item(id="a", case_id="1", tier=0, minutes=90, bay_minutes=60, uses={ana: 70, both: 70}),
        Item(id="b", case_id="1", tier=0, minutes=20),
    )
    assert Demand(case, items).kinds({"a", "b"}) == {
        (): Work(minutes=55, free=35),
        (ana, both): Work(minutes=70, free=30),
        (both,): Work(minutes=30, free=30),
    }


def test_demand_is_counted_once_for_each_input() -> None:
    rows = program(1)
    assert demands(rows) is demands(rows)
    assert demands(replace(rows)) == demands(rows)
