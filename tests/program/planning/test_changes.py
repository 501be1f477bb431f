from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING, Any

from program.planning.changes import compare
from program.planning.plan import PartSource, Payment, Plan, PlannedCase
from program.planning.problem import Case, Fund, Item, PartNeed, PlanInput, Supply
from program.planning.revision import stale
from shared.say import say
from tests.program.planning.programs import program, week

if TYPE_CHECKING:
    from collections.abc import Iterable

    from shared.say import Say

NOTHING = "Nothing changed: the same cars, weeks, money and parts."


def facts(**fields: Any) -> PlanInput:
    part = PartNeed(id="n", label="radiator", price_cents=70_00, supply_ids=("s",))
    return replace(
        PlanInput(
            weeks=(week(0, minutes=600), week(1, minutes=600)),
            cases=(
                Case(id="a", need_weight=3),
                Case(id="b", need_weight=9),
                Case(id="c", need_weight=5),
            ),
            items=(
                Item(
                    id="i",
                    case_id="a",
                    label="Cooling",
                    tier=1,
                    minutes=60,
                    cash_cents=5_00,
                    parts=(part,),
                ),
            ),
            funds=(
                Fund(id="g", label="general fund", available_cents=500_00),
                Fund(id="r", label="county grant", available_cents=500_00, restricted=True),
            ),
            supplies=(Supply(id="s", label="radiator of Corbel Auto"),),
        ),
        **fields,
    )


def home(case_id: str, home_week: int = 0, **fields: Any) -> PlannedCase:
    return PlannedCase(case_id=case_id, start_week=0, home_week=home_week, item_ids=(), **fields)


def plan(*cases: PlannedCase) -> Plan:
    return Plan(cases=cases, stages=())


def texts(sentences: Iterable[Say]) -> list[str]:
    return [str(sentence) for sentence in sentences]


def test_who_is_new_and_who_waits_again_is_said_most_need_first() -> None:
    found = compare(plan(home("a"), home("c")), plan(home("b", 1)), facts())
    assert texts(found) == [
        "b is new: it goes home in the week of December 7.",
        "c waits again: b goes home in its place.",
        "a waits again: b goes home in its place.",
    ]


def test_a_case_that_is_no_longer_open_is_told_why_where_that_is_known() -> None:
    rows = facts(cases=facts().cases[1:2])
    gone = {"a": say("it went home on Friday, November 27")}
    assert texts(compare(plan(home("a"), home("c")), plan(), rows, gone=gone)) == [
        "a is out of the plan: it went home on Friday, November 27.",
        "c is out of the plan: it is no longer open.",
    ]


def test_a_case_that_is_held_left_out_or_too_much_says_so() -> None:
    held = replace(facts().cases[1], hold=say("Its owner has to agree."))
    rows = facts(cases=(facts().cases[0], held, facts().cases[2]), pinned_out=frozenset({"c"}))
    assert texts(compare(plan(home("a"), home("b"), home("c")), plan(), rows)) == [
        "b is held. Its owner has to agree.",
        "c waits again: a person left it out.",
        "a waits again: it no longer fits.",
    ]


def test_weeks_are_compared_by_their_days_and_not_by_their_place() -> None:
    earlier = (replace(week(), starts_on=date(2026, 11, 23)), week(0))
    same = compare(plan(home("a", 1)), plan(home("a")), facts(), before_weeks=earlier)
    assert texts(same) == [NOTHING]
    moved = compare(plan(home("a")), plan(home("a")), facts(), before_weeks=earlier)
    assert texts(moved) == [
        "a goes home in the week of November 30, not in the week of November 23."
    ]


def test_other_funds_and_other_parts_are_said() -> None:
    def paid(fund: str, supply: str | None) -> PlannedCase:
        payment = Payment(fund_id=fund, item_id="i", cents=5_00)
        source = PartSource(need_id="n", supply_id=supply, cents=0 if supply else 70_00)
        return home("a", payments=(payment,), parts=(source,))

    before, after = paid("g", None), paid("r", "s")
    assert texts(compare(plan(before), plan(after), facts())) == [
        "a is now paid from the county grant.",
        "Radiator of a now comes from: radiator of Corbel Auto.",
    ]
    assert texts(compare(plan(after), plan(before), facts()))[1] == "Radiator of a is now bought."


def test_a_long_list_ends_with_how_many_more() -> None:
    rows = facts(cases=tuple(Case(id=f"c{n}", need_weight=n) for n in range(9)))
    found = texts(compare(plan(), plan(*(home(f"c{n}") for n in range(9))), rows, limit=2))
    assert (len(found), found[0][:2], found[-1]) == (3, "c8", "And 7 more.")


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
        prior=plan(home("a")),
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
