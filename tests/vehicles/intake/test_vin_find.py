"""A number found in what people paste and cameras read."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from vehicles.intake.vin import corrections, find


@pytest.mark.parametrize(
    ("pasted", "found"),
    [
        # Ways in which a number arrives; common practice, no source.
        ("VIN: 1m8gdm9a xkp0 42788", "1M8GDM9AXKP042788"),
        ("the car\n1M8-GDM9A\nXKP042788 stands here", "1M8GDM9AXKP042788"),
        ("*1M8GDM9AXKP042788*", "1M8GDM9AXKP042788"),
        ("VIN1M8GDM9AXKP042788", "1M8GDM9AXKP042788"),
        ("I1M8GDM9AXKP042788", "1M8GDM9AXKP042788"),  # the bar code of an imported car
        ("Miles 123456, VIN 1HGCM82633A0O4352, plate ABC1234", "1HGCM82633A004352"),
        ("1G4AH59H45G118342 or 1G4AH59H45G118341", "1G4AH59H45G118341"),  # the true one
        ("VIN 1M8GDM9AXKP042878.", "1M8GDM9AXKP042878"),  # wrong, for corrections
        ("I LOST MY CAR KEYS HERE", ""),
        ("WHERE THE OLD TRUCK IS", ""),
        ("", ""),
    ],
)
def test_a_number_is_found_in_pasted_text(pasted: str, found: str) -> None:
    assert find(pasted) == found


@given(st.text(max_size=200))
def test_what_is_found_in_any_text_can_be_shown_as_a_number(text: str) -> None:
    assert len(find(text)) in {0, 17}


@pytest.mark.parametrize("vin", ["1G4AH59H45G118341", "1M8GDM9AXKP042788", "KNDCE3LG2L5073161"])
def test_every_valid_number_is_found_among_words(vin: str) -> None:
    assert find(f"Title no. 4471\nVIN {vin[:9].lower()} {vin[9:]}\nMiles 61203") == vin


def test_characters_that_no_number_has_are_not_guessed_at() -> None:
    assert corrections("1M8GDM9AXKP04278*") == ()
