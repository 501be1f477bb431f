"""How urgent codes are, and what is said before they are believed.

The rules (battery first, record before clearing) and the battery's 12.4 V are common practice, no
source.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from vehicles.codes.kinds import Lamp
from vehicles.codes.trouble_codes import Severity
from vehicles.codes.urgency import Signs, first_words, signs_of, urgency, volts_of
from vehicles.intake.lamps import lamp

GOOD_BATTERY = Signs(battery_volts=Fraction("12.6"))


@pytest.mark.parametrize(
    "sign",
    [
        {"lamp": Lamp.FLASHING},
        {"smoke": True},
        {"fuel_smell": True},
        {"overheating": True},
        {"brakes_lost": True},
        {"steering_lost": True},
    ],
)
def test_each_sign_of_danger_raises_a_severity_by_one_step(sign: dict[str, Any]) -> None:
    signs = Signs(**sign)
    assert urgency(Severity.FIX, signs) is Severity.STOP
    assert urgency(Severity.ADVISORY, signs) is Severity.SOON
    assert urgency(None, signs) is Severity.FIX


def test_a_steady_lamp_raises_nothing() -> None:
    assert urgency(Severity.SOON, Signs(lamp=Lamp.STEADY)) is Severity.SOON
    assert urgency(None, Signs()) is None


def test_several_signs_are_one_step_and_each_is_named() -> None:
    signs = Signs(lamp=Lamp.FLASHING, smoke=True, battery_volts=Fraction(13))
    assert urgency(Severity.SOON, signs) is Severity.FIX
    assert str(first_words(["P0301"], signs)[-1]) == (
        "Every code counts one step worse: the check-engine lamp flashes, smoke."
    )


RECORD = (
    "Write down the codes and the freeze frame before anybody clears them: "
    "clearing also resets the readiness monitors."
)


def test_codes_are_recorded_before_they_are_cleared() -> None:
    assert list(map(str, first_words(["P0420"], GOOD_BATTERY))) == [RECORD]
    assert first_words([], Signs()) == ()


@pytest.mark.parametrize(
    ("volts", "first"),
    [
        (None, "Battery first: its state is unknown."),
        ("12.39", "Battery first: 12.39 V at rest is weak."),
        ("11", "Battery first: 11 V at rest is weak."),
    ],
)
def test_a_weak_or_unknown_battery_comes_before_the_codes(volts: str | None, first: str) -> None:
    signs = Signs(battery_volts=Fraction(volts) if volts else None)
    assert list(map(str, first_words(["P0562", "U0101", "P0420"], signs))) == [
        RECORD,
        first,
        "Codes set on a weak battery are believed after it is charged and they return.",
        "This goes most of all for P0562, U0101.",
    ]


def test_a_battery_of_12_4_volts_is_not_weak() -> None:
    assert len(first_words(["U0100"], Signs(battery_volts=Fraction("12.4")))) == 1


def test_the_pointer_is_said_over_the_list() -> None:
    assert str(first_words(["P0700"], GOOD_BATTERY)[1]) == (
        "P0700 only points: read the transmission module for the real code."
    )


def test_lit_warning_lamps_are_signs() -> None:
    assert signs_of(["engine", "temperature"]) == Signs(lamp=Lamp.STEADY, overheating=True)
    assert signs_of(["engine", "engine_flashing"]) == Signs(lamp=Lamp.FLASHING)
    assert signs_of(["brake", "power_steering_red"]) == Signs(brakes_lost=True, steering_lost=True)
    assert signs_of(["oil", "airbag"]) == Signs()


def test_lamps_that_are_signs_are_lamps_of_the_arrival() -> None:
    for code in ("engine", "engine_flashing", "temperature", "brake", "power_steering_red"):
        assert lamp(code).code == code


def test_volts_are_read_with_or_without_their_unit() -> None:
    assert [volts_of(typed) for typed in ("12.6", " 12600 mV ", "0", "20 V")] == [
        Fraction("12.6"),
        Fraction("12.6"),
        0,
        20,
    ]
    assert volts_of("  ") is None


def test_a_battery_is_weak_only_once_it_was_measured() -> None:
    assert [Signs(battery_volts=volts_of(one)).battery_weak for one in ("", "12.39", "12.4")] == [
        False,
        True,
        False,
    ]
