"""What a report says first, and the catalogue's words in Spanish."""

from __future__ import annotations

from typing import Any

import pytest
from django.utils import translation

from shared.say import say
from tests.vehicles.inspection.reports import a_report, a_wrong
from vehicles.inspection import wording
from vehicles.inspection.catalogue import load
from vehicles.inspection.criteria import DeficiencyClass
from vehicles.inspection.judge import judge
from vehicles.inspection.points import Point
from vehicles.inspection.values import Looked, Regraded
from vehicles.inspection.wording import (
    cautions_for,
    first_line,
    grounds,
    looked,
    plain_class,
    regraded,
    retold,
    spanish,
    speak,
)

DANGEROUS, MAJOR = DeficiencyClass.DANGEROUS, DeficiencyClass.MAJOR
MINOR, NONE = DeficiencyClass.MINOR, DeficiencyClass.NONE


def first(**fields: Any) -> str:
    return str(first_line(a_report(**fields))[0])


def test_each_text_of_a_point_that_cars_here_have_is_there_in_spanish() -> None:
    known, wanted = spanish(), set()
    for criterion in load().criteria.values():
        if criterion.fitted_us:
            wanted |= {criterion.title, criterion.phrase, *(one.text for one in criterion.reasons)}
            places = [Point(criterion=criterion, position=at).place for at in criterion.positions]
            wanted |= set(places)
    assert sorted(wanted - {""} - set(known)) == []


def test_no_spanish_text_is_empty_or_left_in_english() -> None:
    same = {english for english, text in spanish().items() if not text or text == english}
    assert same == set()


def test_a_spanish_text_keeps_its_numbers() -> None:
    for english, text in spanish().items():
        digits = [word for word in english.split() if word.strip(",").isdigit()]
        assert [one for one in digits if one.strip(",") not in text] == [], english


def test_a_damaged_list_of_spanish_says_where(tmp_path: Any) -> None:
    (tmp_path / "es.csv").write_text("english,spanish\nHorn,Claxon\nHorn,Bocina\n")
    with pytest.raises(ValueError, match=r"es\.csv, row 3: “Horn” stands there twice\."):
        spanish(tmp_path)


def test_a_dangerous_finding_comes_before_all_else() -> None:
    wrong = (a_wrong(deficiency=MINOR), a_wrong(deficiency=DANGEROUS))
    assert first(wrong=wrong) == "Do not drive this car."


def test_what_the_program_never_hands_back_is_not_driven_either() -> None:
    assert first(wrong=(a_wrong(deficiency=MAJOR, held=True),)) == "Do not drive this car."


def test_a_danger_that_was_put_right_is_none_any_more() -> None:
    report = a_report(wrong=(a_wrong(deficiency=DANGEROUS, withdrawn_because="Misread."),))
    assert str(first_line(report)[0]) == "The car may be driven."


def test_unread_is_never_good() -> None:
    assert first(wrong=(), read=0, total=9) == "This car has not been inspected yet."
    assert first(wrong=(), read=8, total=9) == "Nothing wrong was found so far."
    assert first(wrong=(), read=9, total=9) == "The car may be driven."


@pytest.mark.parametrize(
    ("deficiency", "strands", "said"),
    [
        (MAJOR, False, "Drive this car no further than the repair asks."),
        (MAJOR, True, "Drive this car no further than the repair asks."),
        (NONE, True, "This car may stop on the road."),
        (MINOR, False, "The car may be driven."),
    ],
)
def test_the_worst_open_finding_decides(
    deficiency: DeficiencyClass, strands: Any, said: str
) -> None:
    assert first(wrong=(a_wrong(deficiency=deficiency, strands=strands),)) == said


def test_a_leak_of_fuel_brings_its_caution() -> None:
    fumes = wording.FUMES
    assert fumes not in cautions_for(a_report(wrong=(a_wrong(system="tires"),)))
    assert fumes in cautions_for(a_report(wrong=(a_wrong(system="fuel"),)))


def told(code: str, typed: str, unit: str = "", **fields: str) -> str:
    criterion = load()[code]
    stored = str(judge(criterion, typed, unit).sentence)
    values = {"typed": typed, "unit": unit, "reason_key": "", "stored": stored} | fields
    return speak(retold(criterion, **values), spanish())


def test_a_seen_point_is_told_in_spanish() -> None:
    assert told("horn", "7.7 a.2") == "El claxon no funciona."


def test_a_number_is_told_with_its_units_in_spanish() -> None:
    said = told("tire-tread", "1/32")
    assert said == "1/32 pulg de dibujo, the limit is 2/32 pulg."


def test_a_sentence_of_an_older_catalogue_is_told_by_its_reason() -> None:
    said = told("tire-tread", "1/32", stored="Another sentence.", reason_key="5.2.3 e.2")
    assert said == "El dibujo está por debajo del mínimo legal."


def test_what_the_catalogue_would_refuse_now_is_told_by_its_reason_too() -> None:
    values = {"typed": "40", "unit": "32nds", "stored": "40/32 in of tread."}
    gone = retold(load()["tire-tread"], **values, reason_key="5.2.3 e.2")
    assert speak(gone, spanish()) == "El dibujo está por debajo del mínimo legal."


def test_a_sentence_that_nobody_knows_any_more_stays_as_it_was() -> None:
    assert told("tire-tread", "1/32", stored="Cut {2}.") == "Cut {2}."
    gone = retold(None, typed="", unit="", reason_key="", stored="As told.")
    assert speak(gone, spanish()) == "As told."


@pytest.mark.parametrize(
    ("stored", "said"),
    [
        ("Diagnosed: Fuel pump weak.", "Diagnóstico: Bomba de gasolina débil."),
        ("Coolant is brown with rust.", "El anticongelante está café de óxido."),
        ("Cord shows. Seen at dusk", "Cord shows. Seen at dusk"),
    ],
)
def test_a_finding_without_a_reading_is_told_as_far_as_its_title_is_known(
    stored: str, said: str
) -> None:
    told = retold(None, typed="", unit="", reason_key="", stored=stored)
    assert str(told) == stored
    with translation.override("es"):
        assert speak(told, spanish(), translation.gettext) == said


def test_english_is_left_alone() -> None:
    assert speak(say("{text}.", text="2 in to 3 in"), {}) == "2 in to 3 in."


def test_the_classes_of_a_household_are_words() -> None:
    assert [str(plain_class(one)) for one in DeficiencyClass] == [
        *("Dangerous", "Serious", "Small", "To know"),
    ]


def test_a_finding_rests_on_two_facts_a_limit_and_a_source() -> None:
    said = list(grounds(a_wrong(limit="4/32 in", shipped_limit="2/32 in", limit_because="Law.")))
    assert said == [
        "EU class: dangerous. 49 CFR 570: reject.",
        "Limit: 4/32 in. Local limit: Law. The catalogue's own: 2/32 in.",
        "49 CFR 570.9(a); from memory, text not seen.",
        "R. Amadi, ASE A4, Monday, November 30, 2026.",
    ]


def test_a_finding_without_a_source_says_what_was_seen_and_what_caused_it() -> None:
    said = list(grounds(a_wrong(source="", evidence="Cord shows.", caused_by="Camber")))
    assert said[1:] == [
        "R. Amadi, ASE A4, Monday, November 30, 2026.",
        "Seen: Cord shows.",
        "Caused by: Camber",
    ]


@pytest.mark.parametrize(
    ("fields", "end"),
    [
        ({}, "Cord close."),
        ({"second": "J. Otte"}, "Cord close. Second person: J. Otte."),
        ({"waits": True}, "It waits for a second person; minor stands."),
        ({"second": "J. Otte", "refused_because": "Too worn."}, "Refused by J. Otte: Too worn."),
    ],
)
def test_a_class_that_people_set_names_them(fields: dict[str, Any], end: str) -> None:
    row = Regraded(was="minor", becomes="none", because="Cord close.", by="R. Amadi", **fields)
    said = regraded(row)
    assert said.startswith("Class set from minor to none by R. Amadi: Cord close.")
    assert said.endswith(end)


def test_a_sheet_says_what_it_left_unread() -> None:
    day = a_report().day
    one = Looked(depth="20-minute look", begun_on=day, ended_on=day, by="R. Amadi", unread=1)
    assert looked(one) == (
        "20-minute look: Monday, November 30, 2026, R. Amadi. 1 point left unread."
    )
