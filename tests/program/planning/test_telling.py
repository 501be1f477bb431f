from __future__ import annotations

import pytest

from program.planning.telling import could_free, frees, one, same_as, saves, together, would_free


def test_a_part_stands_as_a_noun_and_a_code_keeps_its_capitals() -> None:
    assert [str(one(part)) for part in ("Radiator", "ABS sensor")] == [
        "One radiator",
        "One ABS sensor",
    ]


def test_parts_that_are_asked_for_together_stand_in_one_phrase() -> None:
    assert str(together(["Radiator", "Water pump", "Thermostat"])) == (
        "One radiator, one water pump and one thermostat together"
    )


def test_a_part_that_displaces_a_car_says_which() -> None:
    assert str(frees("Radiator", ["26-043"], ["26-041", "26-042"], 1)) == (
        "One radiator would free 26-043 in place of 26-041 and 26-042: 1 point more of need."
    )


def test_help_that_frees_more_than_any_part_says_so() -> None:
    assert str(would_free(one("evening"), ["26-043"], ["26-041"], 4, most=True)) == (
        "One evening would free more than any part: 26-043 in place of 26-041, "
        "4 points more of need."
    )


def test_a_bound_and_a_saving_are_no_promise_of_a_car() -> None:
    assert str(could_free(one("Radiator"), 8)) == (
        "One radiator could free 8 points more of need at most."
    )
    assert str(saves("Radiator", 310_00)) == "One radiator would save $310.00."


@pytest.mark.parametrize(
    ("cents", "proven", "sentence"),
    [
        (620_00, True, "The same as $620.00 in the tires fund."),
        (620_00, False, "The same as $620.00 in the tires fund, or less."),
        (None, True, "No money alone does it."),
        (None, False, "No money alone was found to do it."),
    ],
)
def test_money_that_does_the_same_says_how_sure_it_is(
    cents: int | None,
    proven: bool,  # noqa: FBT001 (a parameter of the test)
    sentence: str,
) -> None:
    assert str(same_as(cents, "tires fund", proven=proven)) == sentence
