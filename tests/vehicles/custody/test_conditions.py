from __future__ import annotations

import re

import pytest

from vehicles.custody.conditions import (
    IN_CARE,
    MOVES,
    Mobility,
    Step,
    is_comeback,
    may_move,
    move,
)

WAYS_OUT = {Step.HANDED_BACK, Step.RETURNED_UNREPAIRED, Step.SCRAPPED, Step.ABANDONED}


def reached_from(step: Step) -> set[Step]:
    found = {step}
    for _ in Step:
        found |= {to for now in found for to in MOVES[now]}
    return found


def test_every_step_stands_in_the_table() -> None:
    assert set(MOVES) == set(Step)


def test_no_step_leads_to_itself_or_twice_to_the_same() -> None:
    assert all(now not in nexts and len(set(nexts)) == len(nexts) for now, nexts in MOVES.items())


def test_only_the_final_inspection_leads_to_a_hand_back() -> None:
    assert [step for step in Step if may_move(step, Step.HANDED_BACK)] == [Step.FINAL_INSPECTION]


def test_a_car_gets_from_expected_to_everywhere() -> None:
    assert reached_from(Step.EXPECTED) == set(Step)


def test_a_car_in_care_can_always_leave_unrepaired() -> None:
    assert all(may_move(step, Step.RETURNED_UNREPAIRED) for step in IN_CARE)


def test_no_car_in_care_is_stuck() -> None:
    assert all(reached_from(step) & WAYS_OUT for step in IN_CARE)


def test_scrapped_is_the_only_end_without_a_way_back() -> None:
    assert [step for step in Step if not MOVES[step]] == [Step.SCRAPPED]


def test_the_final_inspection_sends_a_car_back_to_repair() -> None:
    assert move(Step.FINAL_INSPECTION, Step.REPAIR) is Step.REPAIR


def test_a_handed_back_car_returns_to_assessment_as_a_comeback() -> None:
    assert move(Step.HANDED_BACK, Step.ASSESSMENT) is Step.ASSESSMENT
    assert is_comeback(Step.HANDED_BACK, Step.ASSESSMENT)


def test_a_new_stay_for_another_complaint_is_no_comeback() -> None:
    assert may_move(Step.HANDED_BACK, Step.EXPECTED)
    assert not is_comeback(Step.HANDED_BACK, Step.EXPECTED)


def test_a_move_that_is_not_allowed_lists_those_that_are() -> None:
    sentence = (
        "A car can’t go from “Awaiting parts” to “Handed back”. It may go to: In assessment, "
        "In repair, At another shop, Returned unrepaired, Scrapped, Abandoned."
    )
    with pytest.raises(ValueError, match=f"^{re.escape(sentence)}$"):
        move(Step.AWAITING_PARTS, Step.HANDED_BACK)


def test_a_scrapped_car_stays_scrapped() -> None:
    sentence = "A car can’t go from “Scrapped” to “In repair”. It stays there."
    with pytest.raises(ValueError, match=f"^{re.escape(sentence)}$"):
        move(Step.SCRAPPED, Step.REPAIR)


def test_every_step_and_mobility_has_its_own_words() -> None:
    labels = [one.label for one in (*Step, *Mobility)]
    assert len(set(labels)) == len(Step) + len(Mobility) == 14
