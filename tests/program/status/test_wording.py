from __future__ import annotations

import datetime as dt
import re
from itertools import product

import pytest

from program.cases.next_step import Facts
from program.households.stages import Stage
from program.status.wording import barriers, report
from shared.outbox.contact import Channel, MaySay, Rule
from tests.factories import TODAY
from vehicles.custody.conditions import Step

LATER = TODAY + dt.timedelta(days=11)
EARLIER = TODAY - dt.timedelta(days=1)
HOUSE_WORDS = re.compile(r"\b(case|tier|dangerous|deficiency|VIN|plate)\b", re.IGNORECASE)


def served(car: Step = Step.REPAIR, **fields: object) -> Facts:
    return Facts(stage=Stage.BEING_SERVED, car=car, today=TODAY, **fields)  # type: ignore[arg-type]


def test_a_car_in_repair_has_its_place_its_next_thing_and_its_date() -> None:
    found = report(served(), home_by_on=LATER, next_word_on=TODAY)
    assert str(found.headline) == "Your car is being repaired."
    assert [str(sentence) for sentence in found.next] == [
        "When the repair is done we check the car and drive it. Then you fetch it."
    ]
    assert (found.home_by_on, found.next_word_on, found.caution) == (LATER, TODAY, None)
    assert [str(thing) for thing in found.bring] == [
        "Your driver license",
        "The insurance card",
        "About 40 minutes: we show you what was done",
    ]


def test_days_that_are_over_are_not_told() -> None:
    found = report(served(), home_by_on=EARLIER, next_word_on=EARLIER)
    assert (found.home_by_on, found.next_word_on) == (None, None)


def test_a_car_that_is_back_has_no_date_left() -> None:
    facts = Facts(stage=Stage.BACK_ON_ROAD, car=Step.HANDED_BACK, today=TODAY)
    assert report(facts, home_by_on=LATER).home_by_on is None


def test_a_question_is_acknowledged_first_and_the_place_stays() -> None:
    found = report(served(question_on=TODAY))
    assert str(found.headline) == "Your car is being repaired."
    assert str(found.next[0]) == "We have your question and will answer it."


@pytest.mark.parametrize(
    ("car", "sentence"),
    [
        (Step.REPAIR, "Your car is not safe to drive now. It stays with us until it is."),
        (Step.EXPECTED, "Don't drive your car. Call us: we talk about a tow."),
    ],
)
def test_an_open_item_of_the_first_rank_warns_wherever_the_car_is(car: Step, sentence: str) -> None:
    assert str(report(served(car, open_by_tier=(1, 0, 0, 0, 0))).caution) == sentence
    assert report(served(car, open_by_tier=(0, 3, 1, 1, 1))).caution is None


def test_the_string_shows_what_is_done_and_what_comes() -> None:
    states = [step.state for step in report(served()).steps]
    assert states == ["done", "done", "done", "done", "now", "next", "next"]
    checked = [step.state for step in report(served(Step.FINAL_INSPECTION)).steps]
    assert checked == ["done", "done", "done", "done", "done", "now", "next"]
    over = Facts(stage=Stage.FOLLOWED_UP, today=TODAY)
    assert {step.state for step in report(over).steps} == {"done"}


def test_who_left_the_way_sees_no_string() -> None:
    assert report(Facts(stage=Stage.WITHDRAWN, today=TODAY)).steps == ()


def test_no_house_word_and_always_a_headline_in_any_stage_and_step() -> None:
    for stage, car, tiers in product(Stage, [None, *Step], [(), (1, 1)]):
        found = report(
            Facts(stage=stage, car=car, today=TODAY, open_by_tier=tiers, days_waiting=40)
        )
        caution = [found.caution] if found.caution else []
        labels = [step.label for step in found.steps]
        words = " ".join(
            str(say) for say in (found.headline, *found.next, *found.bring, *caution, *labels)
        )
        assert HOUSE_WORDS.findall(words) == []
        assert str(found.headline) != ""


def test_no_page_before_somebody_asked_or_against_the_rule() -> None:
    mail = Rule(channel=Channel.EMAIL)
    assert barriers(mail, asked=True) == []
    assert [str(reason) for reason in barriers(mail, asked=False)] == [
        "Nobody has asked yet how they may safely be reached."
    ]
    quiet = Rule(channel=Channel.PHONE, says=MaySay.CALL_BACK, barred=True)
    assert [str(reason) for reason in barriers(quiet, asked=True)] == [
        "Contact could put a person in danger.",
        "They do not want it told how the car is doing.",
    ]


def test_a_household_may_have_a_page_after_it_asked_for_no_more_mail() -> None:
    assert barriers(Rule(channel=Channel.EMAIL, opted_out=True), asked=True) == []
