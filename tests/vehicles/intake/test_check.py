"""What a typed VIN says at once.

Source: 1M8GDM9AXKP042788 is the example of a check digit X as commonly printed with 49 CFR 565.15,
from memory; 11111111111111111 passes by the weights of 49 CFR 565.15(c), which sum to 89 = 8 x 11
+ 1.
"""

from __future__ import annotations

import re

import pytest

from vehicles.intake.check import VinState, look, refuse

KNOWN = "1M8GDM9AXKP042788"
SWAPPED = "1M8GDM9AXKP042878"
FOREIGN = "WF0AXXGAJA7U12345"  # invented; a European number whose position 9 is no check digit


def said(text: str) -> list[str]:
    return [str(one) for one in look(text).sentences]


def test_a_true_number_says_its_maker_region_and_year() -> None:
    assert said(KNOWN) == [
        "Its check digit is right.",
        "1M8: a maker who is not on our short list, North America.",
        "Model year 1989.",
    ]
    assert said("2T1BURHE4FC300009")[1:] == [
        "2T1: registered by Toyota, North America.",
        "Model year 2015.",
    ]


def test_a_number_is_found_in_a_pasted_text() -> None:
    assert look(f"Hello, the VIN is {KNOWN.lower()}, thank you").vin == KNOWN


def test_nothing_typed_says_nothing() -> None:
    assert (look("  ").state, look("").sentences) == (VinState.EMPTY, ())


def test_two_swapped_characters_are_suggested_first() -> None:
    found = look(SWAPPED)
    assert (found.state, found.usable, found.corrections[0]) == (VinState.WRONG, False, KNOWN)
    assert said(SWAPPED) == [
        f"{SWAPPED} does not pass its check digit: character 9 is X, the others ask for 0."
    ]


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ("1M8GDM9AXKP0427881", "A VIN has 17 characters; this has 18."),
        ("1M8GDM9AXKPO42788", "A VIN never has the letter O: 1M8GDM9AXKPO42788."),
        ("1M8GDM9AXKQ042788", "A VIN never has the letter Q: 1M8GDM9AXKQ042788."),
        ("IM8GDM9AXKP042788", "A VIN never has the letter I: IM8GDM9AXKP042788."),
        ("1M8GDM9AXKP04278é", "A VIN has only plain letters and digits; “é” is neither."),
        (
            "there is no number at all in this",
            "No VIN is in this text. It has 17 letters and digits.",
        ),
    ],
)
def test_what_is_no_vin_is_said_in_a_sentence(typed: str, sentence: str) -> None:
    assert said(typed) == [sentence]


def test_an_old_or_foreign_number_is_usable_with_a_reason() -> None:
    old, foreign = look("136677A10012"), look(FOREIGN)
    assert (old.state, foreign.state) == (VinState.UNUSUAL, VinState.UNUSUAL)
    assert refuse(FOREIGN, "built in Cologne") == FOREIGN


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ("", "A car without a VIN needs a reason."),
        (FOREIGN, f"{FOREIGN} has no true check digit: say why it is right all the same."),
        (
            SWAPPED,
            f"{said(SWAPPED)[0]} Likely meant: {KNOWN}.",
        ),
    ],
)
def test_a_car_is_not_received_silently_under_it(typed: str, sentence: str) -> None:
    with pytest.raises(ValueError, match=f"^{re.escape(sentence)}$"):
        refuse(typed, " ")


def test_a_wrong_number_is_refused_whatever_the_reason() -> None:
    with pytest.raises(ValueError, match="A VIN has 17 characters; this has 18"):
        refuse("1M8GDM9AXKP0427881", "it says so")


def test_a_year_that_is_not_sure_is_left_to_a_person() -> None:
    assert (look("1" * 17).state, look("1" * 17).year) == (VinState.TRUE, 2001)
    heavy = look("1M8GDMXA8KP042789")  # position 7 is a letter: 2019, not 1989
    assert (heavy.state, heavy.year) == (VinState.TRUE, 2019)
    assert said("1M8GDMXA8KP042789")[-1] == "Model year 2019."


@pytest.mark.parametrize(
    ("number", "sentence"),
    [  # both pass the check digit; invented
        # Position 7 asks for 2031, which has not come: 49 CFR 565.15(b), from memory.
        ("1M8GDMLA01P042788", "Model year 2001 or 2031: the title or the door label says which."),
        # 0 is no year code: 49 CFR 565.15, table VII, from memory.
        ("1M8GDM6A80P042788", "It does not say the model year: the title does."),
    ],
)
def test_a_number_that_does_not_settle_the_year_says_so(number: str, sentence: str) -> None:
    assert look(number).state == VinState.TRUE
    assert (said(number)[-1], look(number).year) == (sentence, None)
