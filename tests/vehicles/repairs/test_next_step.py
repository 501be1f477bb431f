"""What comes next on a stay, step by step."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest
from django.urls import reverse

from vehicles.repairs.next_step import StayFacts, next_of_stay

BEFORE = StayFacts(asked=True, may_look=True, tagged=True, walked=True)
AFTER = replace(BEFORE, depth="full", may_repair=True)


@pytest.mark.parametrize(
    ("facts", "known", "sentence"),
    [
        (StayFacts(), {}, "Next: ask whose the car is and what stands against it."),
        (
            StayFacts(),
            {"asked": True},
            "Next: an owner says yes. Until then look, but take nothing apart.",
        ),
        (BEFORE, {"tagged": False}, "Next: tag the keys and list what lies in the car."),
        (BEFORE, {"walked": False}, "Next: walk round the car and mark what is seen."),
        (BEFORE, {}, "Next: the 20-minute look."),
        (AFTER, {"left": 12}, "Next: 12 points of the sheet are left to read."),
        (
            AFTER,
            {"left": 12, "findings": 2, "is_open": True},
            "Next: 12 points of the sheet are left to read.",
        ),
        (
            AFTER,
            {"left": 12, "findings": 2},
            "Next: the repair items that clear the findings.",
        ),
        (AFTER, {"findings": 2, "items": 3}, "Next: the repair. Open items: 3."),
        (
            AFTER,
            {"items": 3, "may_repair": False, "stopped": True},
            "The work has stopped: it goes beyond what was authorized.",
        ),
        (
            AFTER,
            {"items": 3, "may_repair": False},
            "Next: an owner says yes to the repair.",
        ),
        (AFTER, {}, "Nothing is open. Next: the final sheet, before the car leaves."),
    ],
)
def test_one_thing_comes_next(facts: StayFacts, known: dict[str, Any], sentence: str) -> None:
    found = next_of_stay(replace(facts, **known))
    assert str(found.sentence) == sentence
    assert reverse(found.page, args=[1]).startswith(("/cars/1/", "/decisions/stay/1/"))


def test_a_car_with_consents_of_before_is_not_asked_again() -> None:
    facts = StayFacts(may_look=True)
    assert next_of_stay(facts).page == "custody:keep_keys"
