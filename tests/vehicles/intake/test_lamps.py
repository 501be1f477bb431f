"""The list of warning lamps, and which of them keep a car where it stands."""

from __future__ import annotations

import pytest

from vehicles.intake.lamps import LAMPS, LampColor, lamp, stopping

# 49 CFR 571.101 and ISO 2575 (from memory): what must be shown in red, and what in amber.
RED = {"brake", "oil", "temperature", "charging", "belt"}
AMBER = {"abs", "stability", "engine", "engine_flashing", "tires"}


def test_each_lamp_has_a_code_and_a_name_of_its_own() -> None:
    assert len({one.code for one in LAMPS}) == len({str(one.name) for one in LAMPS}) == 22


def test_the_colors_are_those_of_the_standard() -> None:
    assert {lamp(code).color for code in RED} == {LampColor.RED}
    assert {lamp(code).color for code in AMBER} == {LampColor.AMBER}


def test_each_color_is_said_as_a_word() -> None:
    assert [str(color.label) for color in LampColor] == ["Red", "Amber"]


def test_each_meaning_is_a_sentence_that_fits_a_line_of_a_phone() -> None:
    texts = [str(one.means) for one in LAMPS]
    assert [text for text in texts if not text.endswith(".") or len(text) > 90] == []


def test_brake_oil_and_temperature_forbid_driving() -> None:
    # The program's list of cars that are never released has these three lit red.
    assert [one.code for one in stopping(["temperature", "abs", "brake", "oil"])] == [
        "brake",
        "oil",
        "temperature",
    ]


def test_a_flashing_engine_lamp_forbids_driving_and_a_steady_one_does_not() -> None:
    # Common practice, no source.
    assert (lamp("engine_flashing").stops, lamp("engine").stops) == (True, False)


def test_no_lamp_lit_forbids_nothing() -> None:
    assert stopping([]) == ()


def test_an_unknown_lamp_is_refused_with_those_there_are() -> None:
    with pytest.raises(ValueError, match=r"^“disco” is not a warning lamp. Use one of: brake, oil"):
        stopping(["disco"])
