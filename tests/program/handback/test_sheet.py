"""The notice in the reader's language, and what its paper is made of."""

from __future__ import annotations

from typing import Any

import pytest

from program.handback.queries import case_of, findings_of
from program.handback.sheet import in_language, notice_of, sheet_of
from program.handback.wording import How
from tests.factories import make_finding, make_intake, make_reading
from tests.program.handback.story import make_held_case, returning, stay_of
from vehicles.custody.kinds import NoticeHow
from vehicles.models import Finding

pytestmark = pytest.mark.django_db


def lines(heading: str) -> list[str]:
    stay = stay_of(make_held_case())
    words = in_language(notice_of(stay, findings_of(stay)), "en")
    return [line for part in words.parts if part.heading == heading for line in part.lines]


def test_a_danger_is_said_in_plain_words_and_in_the_shop_s() -> None:
    said = "A tire may lose its grip or burst (front left). The shop wrote: "
    seen = "Tread depth: 1/32 in of tread, the limit is 2/32 in."
    assert lines("What is dangerous") == [said + seen]


def test_a_finding_without_a_reading_is_named_with_its_evidence() -> None:
    assert lines("What else is wrong") == ["The shop wrote: Plate lamp is out."]
    stay = make_intake()
    make_finding(intake=stay, title="Fuel pump is weak", evidence="4 psi at the rail.")
    [danger] = in_language(notice_of(stay, findings_of(stay)), "en").parts[0].lines
    assert danger.endswith("The shop wrote: Fuel pump is weak. 4 psi at the rail.")


def test_what_was_read_is_said_in_spanish_too() -> None:
    stay = make_intake()
    read = make_reading(intake=stay, criterion="tire-tread", typed="1/32", unit="in")
    make_finding(intake=stay, reading=read)
    [danger] = in_language(notice_of(stay, findings_of(stay)), "es").parts[0].lines
    said = danger.partition("El taller escribió: ")[2]
    point = "Profundidad del dibujo de la llanta"
    assert said == f"{point}: 1/32 pulg de dibujo; el límite es 2/32 pulg."


def test_a_fault_that_was_diagnosed_is_named_in_spanish() -> None:
    stay = make_intake()
    make_finding(intake=stay, title="Fuel pump weak", evidence="Pressure at the rail: low.")
    [danger] = in_language(notice_of(stay, findings_of(stay)), "es").parts[0].lines
    said = danger.partition("El taller escribió: ")[2]
    assert said == "Bomba de gasolina débil. Pressure at the rail: low."


def test_two_notices_are_the_same_when_every_word_and_the_language_are() -> None:
    stay = stay_of(make_held_case())
    first = in_language(notice_of(stay, findings_of(stay)), "en")
    assert in_language(notice_of(stay, findings_of(stay)), "en").digest == first.digest
    assert in_language(notice_of(stay, findings_of(stay)), "es").digest != first.digest
    Finding.objects.filter(deficiency="minor").delete()
    assert in_language(notice_of(stay, findings_of(stay)), "en").digest != first.digest


@pytest.mark.parametrize(
    ("fields", "how"),
    [
        ({}, How.SCREEN),
        ({"strokes": (), "witness": "R. Amadi"}, How.PAPER),
        ({"strokes": (), "witness": "R. Amadi", "notice": NoticeHow.DECLINED}, How.DECLINED),
    ],
)
def test_how_the_notice_was_taken_is_read_from_what_is_kept(
    fields: dict[str, Any], how: How
) -> None:
    assert returning(make_intake(), **fields).how is how


def test_the_paper_knows_the_car_and_has_a_number_of_its_own() -> None:
    case = make_held_case()
    stay = stay_of(case)
    words = in_language(notice_of(stay, []), "en")
    sheet = sheet_of(stay, case_of(stay), words, None)
    assert sheet.number == f"{case.number}-U{stay.pk}"
    assert (sheet.car, sheet.plate, sheet.odometer_mi) == (
        "2012 Toyota Corolla",
        "ABC 123",
        148_190,
    )
    assert sheet.day == stay.program.today()
    assert sheet_of(stay, None, words, None).number == f"{stay.vehicle_id}-U{stay.pk}"
