"""What codes say of the checks of a model.

That the worse of two outcomes counts is common practice, no source.
"""

from __future__ import annotations

from dataclasses import replace

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
from vehicles.diagnosis.spoken import Spoken, Told, ToldCheck, merged, reasons, speaks_to
from vehicles.diagnosis.values import Step
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


CATALYST = replace(
    model("catalyst", check("a", low=("P0420",)), check("b", low=("P0301",))), words=("P0420",)
)
MISFIRE = model("misfire", check("a", low=("P0301",), empty=("P0300",)), check("b", low=("P0171",)))
BRAKES = model("brakes", check("a", low=("C0035",)))
MODELS = {one.code: one for one in (BRAKES, MISFIRE, CATALYST)}


def test_a_complaint_that_has_the_code_among_its_words_comes_first() -> None:
    found = reasons(["P0301", "P0171", "P0420"], MODELS)
    assert {code: str(reason) for code, reason in found.items()} == {
        "catalyst": "P0420, P0301 speak to it.",
        "misfire": "P0301, P0171 speak to it.",
    }
    assert list(found) == ["catalyst", "misfire"]


def test_a_code_that_says_less_than_another_speaks_too() -> None:
    assert str(reasons(["P0301", "P0300"], MODELS)["misfire"]) == "P0300, P0301 speak to it."
    assert str(reasons(["P0301"], MODELS)["misfire"]) == "P0301 speaks to it."


def test_no_code_speaks_to_nothing() -> None:
    assert reasons([], MODELS) == {}


def test_words_and_codes_are_merged_by_their_places() -> None:
    assert merged(["w", "x"], ["x", "y"], ["a", "w", "x", "y"]) == ["x", "w", "y", "a"]
    assert merged(["w"], ["y"], ["y", "w"]) == ["w", "y"]
    assert merged([], [], ["b", "a"]) == ["b", "a"]


def told(*spoken: Spoken, step: Step | None = None) -> Told:
    rows = tuple(ToldCheck(spoken=one, step=step, recorded="", against=()) for one in spoken)
    return Told(scan=1, weak=False, words=(), rows=rows)


def test_offered_and_pending_outcomes_are_not_ticked() -> None:
    heard = speaks_to(
        ["P0128", "C0035"],
        [
            model(
                "one",
                check("a", low=("P0128",)),
                check("b", low=("C0035",)),
                check("c", low=("P0217",)),
            )
        ],
        full_scan=True,
        pending=["C0035"],
    )["one"]
    assert [one.check for one in heard] == ["a", "b", "c"]
    assert told(*heard).ticked == ("a",)
    assert [one.spoken.check for one in told(*heard).open] == ["a", "b", "c"]


def test_what_is_recorded_already_is_not_open() -> None:
    heard = speaks_to(["P0128"], [OVERHEATS])["overheats"]
    one = told(*heard, step=Step(check="level", outcome="normal"))
    assert (one.open, one.ticked) == ((), ())
    assert one.row("level") == one.rows[0]
    assert one.row("fan") is None
