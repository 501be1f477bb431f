from __future__ import annotations

from dataclasses import replace
from datetime import date

from program.planning.problem import Case, Fund, Item, PartNeed, Supply
from program.planning.revision import stale
from shared.say import say
from tests.program.planning.garages import facts, home, plan_of, texts
from tests.program.planning.programs import program, week


def test_facts_that_did_not_change_say_nothing() -> None:
    rows = program(3)
    assert stale(rows, replace(rows, cases=rows.cases[::-1], items=rows.items[::-1])) == ()


def test_changed_cases_and_pins_are_said_first() -> None:
    held = replace(facts().cases[0], hold=say("Its owner has to agree."))
    stays = replace(facts().cases[1], stays=True, need_weight=8)
    now = facts(cases=(held, stays, Case(id="d", need_weight=1)), pinned_in=frozenset({"b"}))
    assert texts(stale(facts(), now, gone={"c": say("it went home")})) == [
        "b was started or promised.",
        "b has a need of 8 points, not 9.",
        "c is out: it went home.",
        "a is held now. Its owner has to agree.",
        "d is new.",
        "b was taken in by a person.",
    ]


def test_changed_work_and_prices_are_said() -> None:
    item = facts().items[0]
    part = replace(item.parts[0], price_cents=85_00)
    now = facts(items=(replace(item, minutes=90, cash_cents=9_00, tier=0, parts=(part,)),))
    assert texts(stale(facts(), now)) == [
        "Radiator of a costs $85.00, not $70.00.",
        "Cooling of a costs $9.00 beside its parts, not $5.00.",
        "Cooling of a takes 1:30 hours of shop time, not 1:00 hours of shop time.",
        "Cooling of a was changed.",
    ]


def test_items_that_are_done_and_parts_that_came_are_said() -> None:
    now = facts(items=(), supplies=(Supply(id="t", label="two tires"),))
    assert texts(stale(facts(), now)) == [
        "Cooling of a is done or off the list.",
        "Radiator of Corbel Auto is gone.",
        "Two tires can be used now.",
    ]


def test_changed_money_hours_and_rules_are_said() -> None:
    poorer = replace(facts().funds[0], available_cents=380_00, floor_cents=50_00)
    now = facts(
        funds=(poorer,),
        weeks=(week(0, minutes=420), week(2, minutes=600)),
        supplies=(replace(facts().supplies[0], week=1),),
        reserve_percent=20,
        prior=plan_of(home("a")),
    )
    assert texts(stale(facts(), now, limit=99)) == [
        "General fund has $120.00 less.",
        "General fund keeps back $50.00.",
        "County grant pays for nothing any more.",
        "The week of November 30 has 3:00 hours of shop time less.",
        "The week of December 7 is no longer in the plan.",
        "The week of December 14 is new in the plan.",
        "Radiator of Corbel Auto comes later.",
        "Another plan was approved.",
        "The program's rules for plans were changed.",
    ]


def test_cases_that_are_free_again_are_said() -> None:
    first, second, third = facts().cases
    before = facts(
        cases=(replace(first, hold=say("It waits.")), replace(second, stays=True), third),
        pinned_in=frozenset({"a"}),
        pinned_out=frozenset({"b"}),
    )
    now = facts(
        cases=(first, second, replace(third, uses={"minutes": 30})), pinned_out=frozenset({"c"})
    )
    assert texts(stale(before, now)) == [
        "b is no longer promised.",
        "What c takes beside its repairs is different.",
        "a is no longer held.",
        "a is free to be chosen again.",
        "b is free to be chosen again.",
        "c was left out by a person.",
    ]


def test_the_work_of_a_case_that_is_gone_is_not_said_again() -> None:
    now = facts(cases=facts().cases[1:], items=())
    assert texts(stale(facts(), now)) == ["a is out: it is no longer open."]


def test_new_work_and_other_parts_are_said() -> None:
    item = facts().items[0]
    hose = PartNeed(id="h", label="hose")
    now = facts(items=(replace(item, parts=(hose,)), Item(id="k", case_id="b", tier=1)))
    assert texts(stale(facts(), now)) == [
        "Cooling of a lacks other parts now.",
        "K of b is new.",
    ]


def test_a_part_that_is_no_longer_sold_and_one_that_is_again_are_said() -> None:
    item = facts().items[0]
    unsold = facts(items=(replace(item, parts=(replace(item.parts[0], price_cents=None),)),))
    assert texts(stale(facts(), unsold)) == ["Radiator of a is not for sale any more."]
    assert texts(stale(unsold, facts())) == ["Radiator of a can be bought for $70.00."]


def test_a_fund_that_is_new_or_pays_for_other_work_is_said() -> None:
    general, grant = facts().funds
    other = replace(grant, pays=frozenset({"i"}), lapses_on=date(2026, 12, 31))
    gift = Fund(id="t", label="tires fund", available_cents=5_00)
    richer = replace(general, available_cents=600_00)
    assert texts(stale(facts(), facts(funds=(richer, other, gift)))) == [
        "General fund has $100.00 more.",
        "County grant may pay for other work than before.",
        "County grant lapses on another day.",
        "Tires fund is new.",
    ]


def test_a_week_that_is_open_on_other_days_is_said() -> None:
    first, second = facts().weeks
    now = facts(weeks=(replace(first, open_on=first.days[:3]), second))
    assert texts(stale(facts(), now)) == ["The week of November 30 is open on other days."]


def test_a_supply_that_comes_sooner_or_in_another_number_is_said() -> None:
    supply = facts().supplies[0]
    late = facts(supplies=(replace(supply, week=1),))
    two = facts(supplies=(replace(supply, quantity=2),))
    assert texts(stale(late, facts())) == ["Radiator of Corbel Auto comes sooner."]
    assert texts(stale(facts(), two)) == ["Radiator of Corbel Auto: 2 are there now."]


def test_a_long_list_of_changes_ends_with_how_many_more() -> None:
    now = facts(cases=tuple(Case(id=f"d{n}", need_weight=n) for n in range(4)), items=())
    assert texts(stale(facts(cases=(), items=()), now, limit=1)) == ["d3 is new.", "And 3 more."]
