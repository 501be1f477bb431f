from __future__ import annotations

from dataclasses import replace
from datetime import date

from program.planning.changes import compare
from program.planning.plan import PartSource, Payment, PlannedCase
from program.planning.problem import Case
from shared.say import say
from tests.program.planning.garages import facts, home, plan_of, texts
from tests.program.planning.programs import week

NOTHING = "Nothing changed: the same cars, weeks, money and parts."


def test_who_is_new_and_who_waits_again_is_said_most_need_first() -> None:
    found = compare(plan_of(home("a"), home("c")), plan_of(home("b", 1)), facts())
    assert texts(found) == [
        "b is new: it goes home in the week of December 7.",
        "c waits again: b goes home in its place.",
        "a waits again: b goes home in its place.",
    ]


def test_a_case_that_is_no_longer_open_is_told_why_where_that_is_known() -> None:
    rows = facts(cases=facts().cases[1:2])
    gone = {"a": say("it went home on Friday, November 27")}
    assert texts(compare(plan_of(home("a"), home("c")), plan_of(), rows, gone=gone)) == [
        "a is out of the plan: it went home on Friday, November 27.",
        "c is out of the plan: it is no longer open.",
    ]


def test_a_case_that_is_held_left_out_or_too_much_says_so() -> None:
    held = replace(facts().cases[1], hold=say("Its owner has to agree."))
    rows = facts(cases=(facts().cases[0], held, facts().cases[2]), pinned_out=frozenset({"c"}))
    assert texts(compare(plan_of(home("a"), home("b"), home("c")), plan_of(), rows)) == [
        "b is held. Its owner has to agree.",
        "c waits again: a person left it out.",
        "a waits again: it no longer fits.",
    ]


def test_weeks_are_compared_by_their_days_and_not_by_their_place() -> None:
    earlier = (replace(week(), starts_on=date(2026, 11, 23)), week(0))
    same = compare(plan_of(home("a", 1)), plan_of(home("a")), facts(), before_weeks=earlier)
    assert texts(same) == [NOTHING]
    moved = compare(plan_of(home("a")), plan_of(home("a")), facts(), before_weeks=earlier)
    assert texts(moved) == [
        "a goes home in the week of November 30, not in the week of November 23."
    ]


def test_other_funds_and_other_parts_are_said() -> None:
    def paid(fund: str, supply: str | None) -> PlannedCase:
        payment = Payment(fund_id=fund, item_id="i", cents=5_00)
        source = PartSource(need_id="n", supply_id=supply, cents=0 if supply else 70_00)
        return home("a", payments=(payment,), parts=(source,))

    before, after = paid("g", None), paid("r", "s")
    assert texts(compare(plan_of(before), plan_of(after), facts())) == [
        "a is now paid from the county grant.",
        "Radiator of a now comes from: radiator of Corbel Auto.",
    ]
    assert (
        texts(compare(plan_of(after), plan_of(before), facts()))[1]
        == "Radiator of a is now bought."
    )


def test_a_long_list_ends_with_how_many_more() -> None:
    rows = facts(cases=tuple(Case(id=f"c{n}", need_weight=n) for n in range(9)))
    found = texts(compare(plan_of(), plan_of(*(home(f"c{n}") for n in range(9))), rows, limit=2))
    assert (len(found), found[0][:2], found[-1]) == (3, "c8", "And 7 more.")


def test_a_case_that_waits_for_several_others_names_all_of_them() -> None:
    found = compare(plan_of(home("a")), plan_of(home("b"), home("c")), facts())
    assert texts(found)[-1] == "a waits again: b and c go home now."
