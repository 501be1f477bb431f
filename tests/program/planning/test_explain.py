from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from program.planning.explain import pin_cost, why_not
from program.planning.problem import Case, Fund, Item, PartNeed, PlanInput
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


def test_a_search_without_effort_is_not_told_as_a_proof() -> None:
    why = why_not(rogue(), select(rogue()), "26-046", effort=0.0)
    assert str(why.lacks) == (
        "was not found to fit within these weeks with the effort spent; it may fit"
    )
    assert (why.verified, why.addition) == (False, None)


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
