"""What a VIN says of itself on the page of a car.

Source: the number of a check digit of X is the example of 49 CFR 565.15 as commonly printed
(1M8GDM9AXKP042788), from memory; all others are invented and computed by `check_digit`.
"""

from __future__ import annotations

import pytest

from tests.factories import make_vehicle
from vehicles.intake.queries import check_vin

pytestmark = pytest.mark.django_db
KNOWN = "1M8GDM9AXKP042788"  # model year code K: 1989


def test_a_true_number_is_said_to_pass() -> None:
    found = check_vin(make_vehicle(vin=KNOWN, year=1989, vin_note=""))
    assert (found.passes, found.sentences) == (True, ("Its check digit is right.",))


def test_another_model_year_is_pointed_out() -> None:
    found = check_vin(make_vehicle(vin=KNOWN, year=2012, vin_note=""))
    assert found.sentences[1:] == ("It says model year 1989; 2012 is recorded.",)


def test_a_note_is_shown_with_the_number() -> None:
    found = check_vin(make_vehicle(vin=KNOWN, year=1989, vin_note="read on the door label"))
    assert found.sentences[1:] == ("Recorded with it: read on the door label.",)


def test_two_characters_swapped_are_said_with_the_likely_number() -> None:
    found = check_vin(make_vehicle(vin="1M8GDM9AXKP024788", vin_note=""))
    assert found.passes is False
    assert "does not pass its check digit" in found.sentences[0]
    assert KNOWN in found.sentences[0]


def test_an_old_number_is_explained() -> None:
    found = check_vin(make_vehicle(vin="136677A10012", year=1967, vin_note=""))
    assert (found.passes, found.sentences[0][:14]) == (False, "12 characters:")


def test_no_number_is_said_to_be_none() -> None:
    found = check_vin(make_vehicle(vin=""))
    assert (found.passes, found.sentences) == (False, ("No VIN is recorded.",))
