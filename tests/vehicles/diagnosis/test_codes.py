"""What codes say of the checks of a model, and what is said before they are believed.

The rules (battery first, record before clearing, the worse of two outcomes) are common practice,
no source; the battery's 12.4 V likewise.
"""

from __future__ import annotations

from fractions import Fraction
from typing import Any

import pytest

from vehicles.codes.kinds import Lamp
from vehicles.diagnosis.codes import Signs, first_words, speaks_to, urgency
from vehicles.diagnosis.fault_model import (
    Causes,
    Check,
    Effort,
    Fault,
    FaultModel,
    Outcome,
    Specialist,
)
from vehicles.diagnosis.trouble_codes import Severity
from vehicles.shop.systems import System

GOOD_BATTERY = Signs(battery_volts=Fraction("12.6"))
LEVELS = tuple(Outcome(code=code, label=code.capitalize()) for code in ("normal", "low", "empty"))


def check(code: str, **codes: tuple[str, ...]) -> Check:
    return Check(
        code=code,
        title=code.capitalize(),
        method="",
        outcomes=LEVELS,
        sound=(0.9, 0.05, 0.05),
        given={},
        codes=codes,
    )


def model(code: str, *checks: Check) -> FaultModel:
    return FaultModel(
        code=code,
        title=code,
        version="1",
        causes=Causes.ONE,
        faults=(Fault(code="one", title="One", system=System.ENGINE, weight=1.0),),
        checks=checks,
        specialist=Specialist(title="Specialist", effort=Effort()),
        system=System.ENGINE,
    )


OVERHEATS = model("overheats", check("level", low=("P0128",), empty=("P0217",)), check("fan"))


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


def test_a_code_stands_for_the_outcome_that_a_check_names() -> None:
    (one,) = speaks_to(["P0128"], [OVERHEATS])["overheats"]
    assert (one.check, one.outcome, one.codes, one.against) == ("level", "low", ("P0128",), ())
    assert (one.offered, one.pending) == (False, False)
    assert str(one.sentence) == "P0128: “Low” at “Level”."


def test_of_two_outcomes_the_worse_counts_and_the_other_is_said() -> None:
    (one,) = speaks_to(["P0128", "P0217"], [OVERHEATS])["overheats"]
    assert (one.outcome, one.codes) == ("empty", ("P0217",))
    assert one.against == (("low", ("P0128",)),)
    assert str(one.sentence) == (
        "P0217: “Empty” at “Level”. P0128 says less; the worse one counts."
    )


def test_a_full_scan_without_its_codes_offers_the_sound_outcome_and_takes_nothing() -> None:
    (one,) = speaks_to(["P0420"], [OVERHEATS], full_scan=True)["overheats"]
    assert (one.check, one.outcome, one.offered, one.codes) == ("level", "normal", True, ())
    assert str(one.sentence) == (
        "All modules were read and no code speaks against “Normal” at “Level”. Take it only "
        "if no codes were cleared and the battery was not off since the complaint began."
    )


def test_without_a_full_scan_missing_codes_say_nothing() -> None:
    assert speaks_to(["P0420"], [OVERHEATS]) == {}


def test_a_code_that_is_only_pending_says_so() -> None:
    (one,) = speaks_to(["P0128"], [OVERHEATS], pending=["P0128"])["overheats"]
    assert one.pending


def test_a_failure_type_is_met_by_the_plain_code_but_not_by_another() -> None:
    plain, own = (
        model("plain", check("a", low=("C0035",))),
        model("own", check("a", low=("C0035-0F",))),
    )
    assert set(speaks_to(["C0035-0F"], [plain, own])) == {"plain", "own"}
    assert set(speaks_to(["C0035-11"], [plain, own])) == {"plain"}
    assert set(speaks_to(["C0035"], [plain, own])) == {"plain"}


def test_what_is_no_code_is_refused() -> None:
    with pytest.raises(ValueError, match="“rough” is not a trouble code"):
        speaks_to(["rough"], [OVERHEATS])
