from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from program.importing.check import check
from program.importing.known import Facts, Known
from program.importing.rows import Key
from tests.program.importing.samples import example, sheet, templates, told

if TYPE_CHECKING:
    from program.importing.check import Checked

#: What proves a leaking hose in the shipped model: likely by figures, and seen wet.
LEAK = (("when", "standing"), ("pressure-test", "outside"), ("hoses-look", "wet"))
NOT_ENDED = {"ended": "", "ended_by": "", "ended_how": ""}


def checked(**rows: list[dict[str, str]]) -> Checked:
    contents = templates(**{name: sheet(name, found) for name, found in rows.items()})
    return check(contents, Facts())


def faults(**rows: list[dict[str, str]]) -> list[tuple[str, int, str, str]]:
    return told(checked(**rows))


def seen(*pairs: tuple[str, str]) -> list[dict[str, str]]:
    return [
        example("observations", ref=f"ob{number}", check=code, outcome=outcome)
        for number, (code, outcome) in enumerate(pairs, start=1)
    ]


@pytest.mark.parametrize(
    ("name", "cells", "column", "sentence"),
    [
        (
            "diagnoses",
            {"complaint": "overheat"},
            "complaint",
            "No fault model “overheat” is shipped. Likely meant: overheats.",
        ),
        ("diagnoses", {"by": "p9"}, "by", "There is no row “p9” in people."),
        (
            "diagnoses",
            {"begun": "2026-11-04"},
            "begun",
            "2026-11-04 is before the car came in, 2026-11-05.",
        ),
        (
            "diagnoses",
            {"ended_how": "specialist"},
            "ended_because",
            "ended_because is empty, though ended_how is specialist.",
        ),
        (
            "diagnoses",
            {"ended_how": ""},
            "ended_how",
            "ended_how is empty, though ended is filled.",
        ),
        (
            "observations",
            {"check": "hose-look"},
            "check",
            "“Overheats” has no check “hose-look”. Likely meant: hoses-look.",
        ),
        (
            "observations",
            {"outcome": "damp"},
            "outcome",
            "“Hoses, tanks and joints under pressure” has no outcome “damp”.",
        ),
        (
            "observations",
            {"outcome": ""},
            "outcome",
            "Both are empty: a check shows something, or could not be done.",
        ),
        (
            "observations",
            {"could_not": "No light."},
            "outcome",
            "Both are filled: a check shows something, or could not be done.",
        ),
        (
            "observations",
            {"seen": "2026-11-05"},
            "seen",
            "2026-11-05 is before the diagnosis was begun, 2026-11-06.",
        ),
        (
            "observations",
            {"seen": "2026-11-08"},
            "seen",
            "2026-11-08 is after the diagnosis was ended, 2026-11-07.",
        ),
        (
            "conclusions",
            {"fault": "hoses"},
            "fault",
            "“Overheats” has no fault “hoses”. Likely meant: hose.",
        ),
        (
            "conclusions",
            {"because": ""},
            "because",
            "because is empty, though sureness is overruled.",
        ),
        (
            "conclusions",
            {"sureness": "confirmed"},
            "sureness",
            (
                "Hose, radiator tank or joint leaks: likely, 74 in 100; Hoses, tanks and joints "
                "under pressure: One is split, wet or crusted, which is not enough by itself."
            ),
        ),
        (
            "conclusions",
            {"signed": "2026-11-08"},
            "signed",
            "2026-11-08 is after the diagnosis was ended, 2026-11-07.",
        ),
        (
            "held",
            {"asked": "2026-11-30"},
            "asked",
            "2026-11-30 is less than 30 days after the repair, 2026-11-10.",
        ),
        (
            "held",
            {"asked": "2026-11-09"},
            "asked",
            "asked is 2026-11-09, before repaired, 2026-11-10.",
        ),
        (
            "held",
            {"repaired": "2026-11-05"},
            "repaired",
            "2026-11-05 is before the diagnosis was begun, 2026-11-06.",
        ),
        ("held", {"causes": ""}, "causes", "The repair held, and no cause is named."),
        ("held", {"gone": "no"}, "causes", "A repair that did not hold proves no cause."),
        (
            "held",
            {"causes": "hose; fans"},
            "causes",
            "“Overheats” has no fault “fans”. Likely meant: fan.",
        ),
    ],
)
def test_what_no_diagnosis_can_hold_is_told(
    name: str, cells: dict[str, str], column: str, sentence: str
) -> None:
    assert faults(**{name: [example(name, **cells)]}) == [(name, 2, column, sentence)]


def test_one_check_has_one_standing_observation() -> None:
    rows = [*seen(("hoses-look", "wet")), example("observations", ref="ob9", outcome="dry")]
    assert faults(observations=rows) == [
        ("observations", 3, "diagnosis", "Row 2 has the same diagnosis and check already.")
    ]


def test_what_proves_a_fault_confirms_it_and_gives_its_probability() -> None:
    signed = [example("conclusions", sureness="confirmed", because="")]
    found = checked(observations=seen(*LEAK), conclusions=signed)
    assert told(found) == []
    assert found.diagnosed["dg1"].permille("hose") == 939


def test_a_check_of_the_shop_waits_until_the_complaint_was_tried_and_a_question_does_not() -> None:
    start = [example("diagnoses", verified="")]
    assert faults(diagnoses=start) == [
        (
            "observations",
            2,
            "check",
            "A check counts once it is known whether the complaint shows.",
        )
    ]
    assert faults(diagnoses=start, observations=seen(("when", "standing"))) == []


def test_a_diagnosis_that_ended_as_concluded_has_a_conclusion() -> None:
    assert faults(conclusions=[], held=[]) == [
        ("diagnoses", 2, "ended_how", "It ended as concluded, and no row of conclusions is of it.")
    ]
    going = [example("diagnoses", **NOT_ENDED)]
    assert faults(diagnoses=going, conclusions=[]) == [
        ("held", 2, "diagnosis", "Nothing was concluded, so there is no repair to ask about.")
    ]


def test_no_diagnosis_goes_on_once_the_car_has_left() -> None:
    gone = {"left": "2026-11-07", "step": "handed_back"}
    cases = [example("cases", **gone)]
    assert faults(cases=cases) == []
    assert faults(cases=cases, diagnoses=[example("diagnoses", **NOT_ENDED)]) == [
        ("diagnoses", 2, "ended", "The car has left, but its diagnosis has not ended.")
    ]
    late = [example("diagnoses", ended="2026-11-08")]
    assert faults(cases=cases, diagnoses=late) == [
        ("diagnoses", 2, "ended", "2026-11-08 is after the car left, 2026-11-07.")
    ]


def test_a_conclusion_is_a_finding_of_its_own_car_and_of_a_reading_that_shows_something() -> None:
    sound = [example("readings", value="9/32")]
    signed = [example("conclusions", finding="r1")]
    assert faults(readings=sound, conclusions=signed) == [
        ("conclusions", 2, "finding", "The reading r1 shows nothing wrong, so it is no finding.")
    ]
    cars = {
        "vehicles": [example("vehicles"), example("vehicles", ref="v2", vin="")],
        "cases": [example("cases"), example("cases", ref="c2", number="26-042", vehicle="v2")],
        "findings": [example("findings"), example("findings", ref="f2", case="c2")],
    }
    assert faults(**cars, conclusions=[example("conclusions", finding="f2")]) == [
        ("conclusions", 2, "finding", "findings:f2 belongs to another car than c1.")
    ]


def test_two_conclusions_are_not_one_finding() -> None:
    rows = [example("conclusions"), example("conclusions", ref="cl2", fault="cap")]
    assert faults(conclusions=rows) == [
        ("conclusions", 3, "finding", "Row 2 has the same finding already.")
    ]


def test_what_comes_after_an_import_is_recorded_on_the_page() -> None:
    known = {Key("diagnoses", "dg1"): Known(1, "x")}
    rows = {name: sheet(name, [example(name)]) for name in ("observations",)}
    found = check(rows, Facts(program={}, known={**known, Key("people", "p1"): Known(2, "y")}))
    assert told(found) == [
        ("observations", 2, "diagnosis", "The diagnosis dg1 was imported before.")
    ]
