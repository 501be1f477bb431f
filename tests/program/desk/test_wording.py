from __future__ import annotations

import datetime as dt

import pytest

from program.desk.wording import Slip, counted, due, heading, in_order, plan_leads
from shared.say import say
from tests.factories import TODAY


def slip(days: int, count: int = 1) -> Slip:
    return Slip(title=say("Do it"), due_on=TODAY + dt.timedelta(days=days), count=count)


def test_the_heading_counts_things_not_slips() -> None:
    assert str(heading([])) == "Nothing waits for you"
    assert str(heading([slip(0)])) == "One thing waits for you"
    assert str(heading([slip(0, 3), slip(1, 6)])) == "Nine things wait for you"
    assert str(heading([slip(0, 12)])) == "12 things wait for you"


def test_what_runs_out_first_stands_first() -> None:
    assert in_order([slip(3), slip(-1), slip(0)]) == [slip(-1), slip(0), slip(3)]


@pytest.mark.parametrize(
    ("days", "words"),
    [
        (-4, "4 days late"),
        (-1, "one day late"),
        (0, "today"),
        (2, "by Wednesday"),
        (9, "by Dec 9"),
    ],
)
def test_the_day_is_said_as_short_as_it_may_be(days: int, words: str) -> None:
    assert str(due(TODAY + dt.timedelta(days=days), TODAY)) == words


def said(cars: int, **fields: int) -> list[str]:
    last = TODAY + dt.timedelta(days=18) if cars else None
    counts = {"deciding": 0, "waiting": 0} | fields
    return [str(one) for one in plan_leads(cars, last, approved=True, **counts)]


def test_the_lead_says_what_the_plan_brings_and_what_it_leaves() -> None:
    assert said(8, deciding=3, waiting=1) == [
        "Eight cars can go home by Friday, December 18.",
        "Three need a decision.",
        "One waits.",
    ]
    assert said(1, deciding=1, waiting=12) == [
        "One car can go home by Friday, December 18.",
        "One needs a decision.",
        "12 wait.",
    ]
    assert said(0) == ["No car can go home in the weeks of the plan."]


def test_a_plan_that_waits_for_approval_says_so() -> None:
    leads = plan_leads(2, TODAY, approved=False, deciding=0, waiting=0)
    assert str(leads[-1]) == "This plan is not approved yet."


def test_counts_are_words_up_to_nine() -> None:
    assert [counted(count) for count in (1, 9, 10)] == ["One", "Nine", "10"]
