"""What codes say of the checks of a model.

That the worse of two outcomes counts is common practice, no source.
"""

from __future__ import annotations

import pytest

from vehicles.diagnosis.fault_model import (
    Causes,
    Check,
    Effort,
    Fault,
    FaultModel,
    Outcome,
    Specialist,
)
from vehicles.diagnosis.spoken import speaks_to
from vehicles.shop.systems import System

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
