from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import Any

import pytest

from program.planning.explain import pin_cost, why_not
from program.planning.problem import Case, Fund, Item, PartNeed, PlanInput, Supply
from program.planning.reasons import lost_without, why_in
from program.planning.selection import select
from program.planning.trying import apply
from shared.say import Say, say
from tests.program.planning.programs import program, seeds, week


@pytest.mark.parametrize("seed", seeds(3, 20))
def test_the_smallest_addition_brings_the_case_in_and_keeps_the_others(seed: int) -> None:
    plan_input = program(seed, cases=8, quirks=False)
    plan = select(plan_input)
    weights = {case.id: case.need_weight for case in plan_input.cases}
    for case_id in sorted(set(weights) - set(plan.case_ids)):
        why = why_not(plan_input, plan, case_id)
        if why.addition is None:
            continue
        wanted = frozenset((*plan.case_ids, case_id))
        after = select(replace(apply(plan_input, why.changes), pinned_in=wanted))
        assert wanted <= set(after.case_ids)


@pytest.mark.parametrize("seed", seeds(3, 20))
def test_a_swap_loses_exactly_what_the_plan_with_the_case_pinned_in_loses(seed: int) -> None:
    plan_input = program(seed, cases=8, quirks=False)
    plan = select(plan_input)
    for case_id in sorted({case.id for case in plan_input.cases} - set(plan.case_ids)):
        swap = why_not(plan_input, plan, case_id).swap
        pinned = select(replace(plan_input, pinned_in=frozenset({case_id})))
        if swap is None:
            assert case_id not in pinned.case_ids
        else:
            assert pinned.value == plan.value - swap.loss


def rogue(**fields: Any) -> PlanInput:
    """Return a car that lacks money for its exhaust pipe: 140 dollars, reserve included."""
    pipe = PartNeed(id="pipe", label="exhaust pipe", price_cents=300_00)
    return replace(
        PlanInput(
            weeks=(week(minutes=600),),
            cases=(Case(id="26-046", need_weight=6),),
            items=(
                Item(id="i", case_id="26-046", label="Exhaust", tier=0, minutes=120, parts=(pipe,)),
            ),
            funds=(
                Fund(id="general", label="General", available_cents=205_00),
                Fund(
                    id="gift",
                    label="Pruitt gift",
                    available_cents=900_00,
                    restricted=True,
                    pays=frozenset(),
                    rule=say("Only brakes."),
                ),
            ),
        ),
        **fields,
    )


def lacks(plan_input: PlanInput, case_id: str = "26-046") -> str:
    return str(why_not(plan_input, select(plan_input), case_id).lacks)


def test_a_case_that_lacks_money_is_told_how_much_and_who_may_pay() -> None:
    why = why_not(rogue(), select(rogue()), "26-046")
    assert str(why.lacks) == "lacks $140.00"
    assert [str(reason) for reason in why.reasons] == [
        "Exhaust costs $300.00.",
        "General may pay it, and $178.26 is free there.",
        "Pruitt gift: Only brakes.",
    ]


def test_a_case_that_lacks_a_part_nobody_sells_is_told_the_part() -> None:
    part = PartNeed(id="n", label="radiator")
    items = (replace(rogue().items[0], parts=(part,)),)
    assert lacks(rogue(items=items)) == "lacks one radiator"


def test_a_case_that_lacks_hours_is_told_how_many() -> None:
    rows = rogue(weeks=(week(minutes=90),), items=(replace(rogue().items[0], parts=()),))
    assert lacks(rows) == "lacks 0:30 hours of shop time"


def test_a_case_longer_than_all_weeks_is_told_that_it_never_fits() -> None:
    items = (replace(rogue().items[0], minutes=7 * 420, parts=()),)
    rows = rogue(weeks=(week(minutes=9_000, bay_days=50),), items=items)
    why = why_not(rows, select(rows), "26-046")
    assert str(why.lacks) == "needs 7 days in a bay, and these weeks have 5"
    assert why.addition is None


def test_a_held_case_gives_the_reason_it_is_held_for() -> None:
    hold = say("waits for the owner's consent")
    cases = (replace(rogue().cases[0], hold=hold),)
    assert lacks(rogue(cases=cases)) == "waits for the owner's consent"


def test_a_case_pinned_out_that_would_fit_is_told_so() -> None:
    rows = rogue(pinned_out=frozenset({"26-046"}), items=())
    assert lacks(rows) == "fits, and another choice was made"
    assert pin_cost(rows, select(rows)) == 6


def test_a_case_that_goes_home_is_not_explained() -> None:
    rows = rogue(items=())
    with pytest.raises(ValueError, match=r"^26-046 is no case that waits in this plan\.$"):
        why_not(rows, select(rows), "26-046")


def test_every_sentence_is_kept_apart_from_its_values() -> None:
    why = why_not(rogue(), select(rogue()), "26-046")
    assert why.lacks.msgid == "lacks {things}"
    assert all(isinstance(reason, Say) for reason in why.reasons)


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
