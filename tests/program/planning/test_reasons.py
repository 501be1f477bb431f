from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import Any

import pytest

from program.planning.plan import PlannedCase
from program.planning.problem import Case, Fund, Item, PartNeed, PlanInput, Supply
from program.planning.reasons import lost_without, why_in
from program.planning.selection import select
from tests.program.planning.programs import week


def served(**fields: Any) -> PlanInput:
    """Return three cars in two weeks: a rack comes in the second, a grant lapses, hours are few."""
    rack = PartNeed(id="n", label="Steering rack", supply_ids=("s",))
    tire = PartNeed(id="t", label="tire", price_cents=80_00)
    return replace(
        PlanInput(
            weeks=(week(0, minutes=120), week(1, minutes=300)),
            cases=(
                Case(id="26-041", need_weight=9, stays=True),
                Case(id="26-042", need_weight=5),
                Case(id="26-043", need_weight=3),
            ),
            items=(
                Item(id="a", case_id="26-041", tier=0, minutes=90, parts=(tire,)),
                Item(id="b", case_id="26-042", tier=0, minutes=60, parts=(rack,)),
                Item(id="c", case_id="26-043", tier=0, minutes=60, cash_cents=30_00),
            ),
            funds=(
                Fund(
                    id="grant",
                    label="county grant",
                    available_cents=57_50,
                    restricted=True,
                    pays=frozenset("a"),
                    lapses_on=date(2026, 12, 31),
                ),
                Fund(id="general", label="general fund", available_cents=500_00),
            ),
            supplies=(Supply(id="s", label="rack of Corbel Auto", week=1),),
        ),
        **fields,
    )


def reasons(case_id: str, **fields: Any) -> list[str]:
    rows = served(**fields)
    return [str(sentence) for sentence in why_in(rows, select(rows), case_id).sentences]


def test_a_case_that_goes_home_is_told_what_pays_and_why_that_fund() -> None:
    assert reasons("26-041") == [
        "Its work was started, or its day was promised: it stays in.",
        "It brings 9 points of need home for $80.00 and 1:30 hours of shop time.",
        "Nothing that it takes is scarce in these weeks.",
        "County grant pays $50.00: it lapses on December 31, and goes first.",
        "General fund pays $30.00: it may pay for anything, and is kept for last.",
        "Tire: bought for $80.00.",
        "It goes home in the week of November 30.",
    ]


def test_a_case_that_waits_for_a_part_is_told_which_part_and_when_it_comes() -> None:
    assert reasons("26-042")[-3:] == [
        "Steering rack: given, from rack of Corbel Auto.",
        "It goes home in the week of December 7.",
        "Steering rack arrives in the week of December 7, and no car takes a bay before.",
    ]


def test_a_case_that_comes_later_is_told_what_is_used_up() -> None:
    assert reasons("26-043")[-2:] == [
        "It goes home in the week of December 7.",
        "The week of November 30 has 0:30 hours of shop time left.",
    ]


def test_a_case_that_may_not_begin_or_was_taken_in_is_told_so() -> None:
    late = tuple(replace(case, earliest_week=1, stays=False) for case in served().cases)
    said = reasons("26-043", cases=late, pinned_in=frozenset({"26-043"}))
    assert (said[0], said[-1]) == (
        "A person took it in.",
        "It can't begin before the week of December 7.",
    )


def test_what_would_be_lost_without_a_case_is_solved_again() -> None:
    rows = served()
    answer = lost_without(rows, select(rows), "26-043")
    assert (answer.displaced, answer.gain) == (("26-043",), -3)
    assert answer.value == select(replace(rows, pinned_out=frozenset({"26-043"}))).value


def test_a_case_that_waits_goes_home_for_no_reason() -> None:
    rows = served(pinned_out=frozenset({"26-043"}))
    with pytest.raises(ValueError, match=r"^26-043 is no case that goes home by this plan\.$"):
        why_in(rows, select(rows), "26-043")


def test_where_money_is_scarce_cases_are_ordered_by_need_for_what_they_take() -> None:
    funds = (Fund(id="general", label="general fund", available_cents=110_00),)
    said = reasons("26-042", funds=funds, weeks=(week(0, minutes=120), week(1, minutes=60)))
    assert said[1] == "By need for what is scarce it stands 2 of 2 that go home."


def test_a_case_that_takes_nothing_is_said_to_cost_nothing() -> None:
    rows = PlanInput(weeks=(week(0, minutes=60),), cases=(Case(id="a", need_weight=2),))
    assert [str(sentence) for sentence in why_in(rows, select(rows), "a").sentences] == [
        "It brings 2 points of need home for nothing that is scarce.",
        "Nothing that it takes is scarce in these weeks.",
        "It goes home in the week of November 30.",
    ]


def test_restricted_money_is_told_to_go_before_open_money() -> None:
    grant = replace(served().funds[0], lapses_on=None)
    funds = (grant, served().funds[1])
    assert reasons("26-041", funds=funds)[3] == (
        "County grant pays $50.00: it is restricted to work such as this, "
        "and used before open money."
    )
    anything = (replace(grant, pays=None), served().funds[1])
    rows = served(funds=anything)
    paid = why_in(rows, select(rows), "26-041").paid
    assert [(row.fund_id, str(row.sentence)) for row in paid][:1] == [
        ("grant", "County grant pays $50.00: it is restricted, and used before open money.")
    ]


def test_a_case_that_takes_two_weeks_says_both() -> None:
    rows = PlanInput(
        weeks=(week(0, minutes=60), week(1, minutes=60)),
        cases=(Case(id="a", need_weight=2, uses={"minutes": 100}),),
    )
    assert [str(sentence) for sentence in why_in(rows, select(rows), "a").weeks] == [
        "Work begins in the week of November 30, and it goes home in the week of December 7."
    ]


def test_a_case_that_comes_later_though_nothing_is_used_up_is_told_so() -> None:
    rows = PlanInput(
        weeks=(week(0, minutes=100), week(1, minutes=100)),
        cases=(Case(id="a", need_weight=2, uses={"minutes": 40}),),
    )
    later = PlannedCase(
        case_id="a", start_week=1, home_week=1, item_ids=(), uses={(1, "minutes"): 40}
    )
    plan = replace(select(rows), cases=(later,))
    assert [str(sentence) for sentence in why_in(rows, plan, "a").weeks] == [
        "It goes home in the week of December 7.",
        "The week of November 30 can't hold it beside the cars that go before it.",
    ]
