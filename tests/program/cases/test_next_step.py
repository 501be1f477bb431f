from __future__ import annotations

import re
from datetime import date, timedelta
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from program.cases.next_step import Facts, NextStep, next_step
from program.households.stages import OPEN, WAYS_OUT, Stage
from shared.accounts.roles import RoleKind
from vehicles.custody.conditions import Step

TODAY = date(2026, 11, 25)
days = st.none() | st.dates(TODAY - timedelta(days=60), TODAY + timedelta(days=60))
counts = st.integers(0, 3)
facts = st.builds(
    Facts,
    stage=st.sampled_from(Stage),
    today=st.just(TODAY),
    car=st.none() | st.sampled_from(Step),
    since_on=days,
    safe_contact_set=st.booleans(),
    consent_given=st.booleans(),
    unread_criteria=counts,
    open_by_tier=st.tuples(counts, counts, counts),
    needs_unserved=counts,
    in_plan=st.booleans(),
    home_until=days,
    question_on=days,
    promised_on=days,
    days_waiting=st.integers(0, 90),
    stopped=st.booleans(),
    supplement_on=days,
)
#: Look, section 12: words that a household never reads.
NEVER = re.compile(
    r"\b(case|tier|dangerous|deficiency|please|oops|successfully)\b|!", re.IGNORECASE
)


def step(stage: Stage, **fields: Any) -> NextStep:
    return next_step(Facts(stage=stage, today=TODAY, **fields))


@pytest.mark.parametrize(
    ("fields", "sentence"),
    [
        ({"stage": Stage.CALLED}, "Take the application."),
        ({"stage": Stage.APPLIED}, "Read the application and decide on it."),
        (
            {"stage": Stage.ACCEPTED, "consent_given": False},
            "Get the owner's signature before any work.",
        ),
        ({"stage": Stage.ACCEPTED}, "Set a day for the car to come in."),
        (
            {"stage": Stage.ACCEPTED, "car": Step.ASSESSMENT, "unread_criteria": 7},
            "Points of the inspection left to read: 7.",
        ),
        (
            {"stage": Stage.ACCEPTED, "car": Step.ASSESSMENT},
            "Close the inspection and write the estimate.",
        ),
        ({"stage": Stage.DECIDING}, "Decide whether the car is repaired, and sign."),
        ({"stage": Stage.WAITING}, "Take this into the next plan."),
        ({"stage": Stage.WAITING, "needs_unserved": 2}, "Parts to find: 2."),
        (
            {"stage": Stage.WAITING, "needs_unserved": 2, "in_plan": True},
            "Start the work as planned.",
        ),
        (
            {"stage": Stage.WAITING, "days_waiting": 30, "in_plan": True},
            "Decide again after 30 days: set aside, refer, or no.",
        ),
        (
            {"stage": Stage.BEING_SERVED, "car": Step.REPAIR, "open_by_tier": (1, 2, 9)},
            "Items that keep the car here: 3.",
        ),
        (
            {"stage": Stage.BEING_SERVED, "car": Step.AWAITING_PARTS, "needs_unserved": 1},
            "Parts to find: 1.",
        ),
        (
            {"stage": Stage.BEING_SERVED, "car": Step.FINAL_INSPECTION, "unread_criteria": 4},
            "Points of the final inspection left: 4.",
        ),
        (
            {"stage": Stage.BEING_SERVED, "car": Step.HANDED_BACK},
            "Note that this household is back on the road.",
        ),
        (
            {"stage": Stage.BEING_SERVED, "car": Step.SCRAPPED},
            "Decide what this household gets in place of the repair: call, then refer.",
        ),
        ({"stage": Stage.FOLLOWED_UP}, "Nothing is left to do."),
    ],
)
def test_each_stage_has_its_step(fields: dict[str, Any], sentence: str) -> None:
    assert str(step(**fields).staff) == sentence


def test_safe_contact_comes_before_everything() -> None:
    found = step(Stage.CALLED, safe_contact_set=False, promised_on=date(2026, 11, 1))
    assert str(found.staff) == "Ask how and when this household may safely be reached."
    assert found.by_on == TODAY


def test_a_promise_that_is_over_comes_before_a_question() -> None:
    found = step(Stage.WAITING, promised_on=date(2026, 11, 24), question_on=date(2026, 11, 20))
    assert str(found.staff) == "Call: Nov 24 was promised and is over."


def test_a_promise_for_today_still_holds() -> None:
    assert str(step(Stage.WAITING, promised_on=TODAY).staff) == "Take this into the next plan."


def test_a_question_is_answered_in_two_business_days() -> None:
    found = step(Stage.BEING_SERVED, car=Step.REPAIR, question_on=date(2026, 11, 20))
    assert (str(found.staff), found.by_on) == ("Answer the question of Nov 20.", date(2026, 11, 24))


def test_a_stage_without_a_day_of_its_own_takes_the_table_s() -> None:
    assert step(Stage.APPLIED, since_on=date(2026, 11, 20)).by_on == date(2026, 12, 4)


def test_a_planned_repair_ends_with_the_window() -> None:
    home = date(2026, 12, 11)
    assert step(Stage.BEING_SERVED, car=Step.REPAIR, home_until=home).by_on == home


def test_a_household_back_on_the_road_is_called_after_thirty_days() -> None:
    found = step(Stage.BACK_ON_ROAD, since_on=date(2026, 11, 2))
    assert (found.who, found.by_on) == (RoleKind.CASEWORKER, date(2026, 12, 2))


def test_a_no_is_not_told_by_the_page() -> None:
    found = step(Stage.DECLINED)
    assert str(found.household) == "We will call you about your car."
    assert str(found.staff).startswith("Call and say why, then send the letter")


@pytest.mark.parametrize("car", [None, Step.EXPECTED, Step.RETURNED_UNREPAIRED])
def test_a_car_out_of_care_that_is_not_safe_must_not_be_driven(car: Step | None) -> None:
    found = step(Stage.WAITING, car=car, open_by_tier=(1, 0))
    assert str(found.caution) == "Don't drive your car. Call us: we talk about a tow."


def test_a_car_in_care_needs_no_caution() -> None:
    assert step(Stage.BEING_SERVED, car=Step.REPAIR, open_by_tier=(1, 0)).caution is None


def test_a_car_without_open_danger_needs_no_caution() -> None:
    assert step(Stage.WAITING, open_by_tier=(0, 4)).caution is None


@given(facts)
def test_a_household_reads_plain_words_without_places_to_fill(found: Facts) -> None:
    step_ = next_step(found)
    said = [sentence for sentence in (step_.household, step_.caution) if sentence]
    assert [sentence.values for sentence in said] == [()] * len(said)
    assert [NEVER.findall(str(sentence)) for sentence in said] == [[]] * len(said)


@given(facts)
def test_every_open_stage_has_a_sentence_a_person_and_a_day(found: Facts) -> None:
    step_ = next_step(found)
    assert str(step_.staff).endswith(".")
    assert (step_.by_on is not None) >= (found.stage in OPEN)
    assert step_.who in {
        RoleKind.COORDINATOR,
        RoleKind.CASEWORKER,
        RoleKind.LEAD_TECHNICIAN,
        RoleKind.TECHNICIAN,
    }


@given(facts)
def test_the_same_facts_give_the_same_step(found: Facts) -> None:
    assert next_step(found) == next_step(found)


@pytest.mark.parametrize("stage", WAYS_OUT)
def test_a_household_that_left_is_not_asked_how_to_reach_it(stage: Stage) -> None:
    assert step(stage, safe_contact_set=False) == step(stage)


def test_a_car_returned_with_something_dangerous_open_is_not_driven() -> None:
    left = step(Stage.DECIDING, car=Step.RETURNED_UNREPAIRED, dangerous=True)
    assert str(left.caution) == "Don't drive your car. Call us: we talk about a tow."
    assert step(Stage.DECIDING, car=Step.RETURNED_UNREPAIRED).caution is None
    assert step(Stage.BEING_SERVED, car=Step.REPAIR, dangerous=True).caution is None


def test_work_that_stopped_asks_for_a_supplement_today() -> None:
    found = step(Stage.BEING_SERVED, car=Step.REPAIR, stopped=True)
    assert str(found.staff) == (
        "The work has stopped: ask for a supplement, or take work off the list."
    )
    assert (found.who, found.by_on) == (RoleKind.LEAD_TECHNICIAN, TODAY)
    assert str(found.household) == "We found more to do on your car. We ask you before we do it."


def test_a_supplement_is_answered_within_two_business_days_of_the_asking() -> None:
    """Common practice, no source: a Friday's supplement is answered on Tuesday."""
    friday = date(2026, 11, 20)
    found = step(Stage.BEING_SERVED, car=Step.REPAIR, stopped=True, supplement_on=friday)
    assert str(found.staff) == "Answer the supplement: the owner and the budget both say yes or no."
    assert (found.who, found.by_on) == (RoleKind.COORDINATOR, date(2026, 11, 24))


def test_a_lost_car_asks_for_no_supplement() -> None:
    found = step(Stage.BEING_SERVED, car=Step.SCRAPPED, stopped=True, supplement_on=TODAY)
    assert found.who is RoleKind.CASEWORKER
