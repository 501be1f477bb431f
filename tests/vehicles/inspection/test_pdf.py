"""The two papers as they are read: from the page, by a reader of PDF, and by a screen reader."""

from __future__ import annotations

import io
from io import BytesIO
from typing import Any

import pytest
from PIL import Image
from pypdf import PdfReader

from shared.say import say
from tests.shared.documents.reading import elements, roles, root_of
from tests.vehicles.inspection.reports import a_report, a_wrong, text_of
from vehicles.inspection.catalogue import cautions
from vehicles.inspection.criteria import DeficiencyClass
from vehicles.inspection.pdf import report_paper
from vehicles.inspection.values import Issue, Looked, Noted, Regraded, Report, Shot, Skipped

NONE = DeficiencyClass.NONE


def shot(width: int = 40, height: int = 30, **fields: str) -> Shot:
    stream = io.BytesIO()
    Image.new("RGB", (width, height), (90, 120, 90)).save(stream, "JPEG")
    return Shot(
        jpeg=stream.getvalue(),
        width=width,
        height=height,
        **{"title": "Tread depth", "place": "front left"} | fields,
    )


def on_file(**fields: Any) -> str:
    return text_of(report_paper(a_report(**fields), Issue.FILE))


def to_household(kind: Issue = Issue.ENGLISH, **fields: Any) -> str:
    return text_of(report_paper(a_report(**fields), kind))


def reader(kind: Issue, **fields: Any) -> PdfReader:
    return PdfReader(BytesIO(report_paper(a_report(**fields), kind)))


def test_the_file_has_what_a_station_records_at_least() -> None:
    """Source: NHTSA's uniform guideline for state inspection programs (seen in reprint)."""
    facts = (("VIN", "1ZZAA00A0B0000001"), ("Make, model, model year", "Toyota Corolla, 2012"))
    said = on_file(facts=(*facts, ("Class", "Vehicle of 10,000 lb or less")))
    for text in (
        *("1ZZAA00A0B0000001", "Toyota Corolla, 2012", "Vehicle of 10,000 lb or less"),
        *("148,190 miles", "Monday, November 30, 2026", "R. Amadi, ASE A4"),
        "Findings: 1 dangerous",
    ):
        assert text in said


def test_a_finding_has_its_class_in_words_its_ground_and_what_it_means() -> None:
    said = on_file()
    assert "Dangerous: Tread depth, front left 1/32 in of tread, the limit is 2/32 in." in said
    assert "Do not drive: it is an immediate danger" in said
    assert "EU class: dangerous. 49 CFR 570: reject." in said
    assert "49 CFR 570.9(a); from memory, text not seen." in said


def test_a_class_that_people_set_stands_with_who_and_why() -> None:
    row = Regraded(was="minor", becomes="dangerous", because="Cord shows.", by="R. Amadi")
    said = on_file(wrong=(a_wrong(regrades=(row,)),))
    assert "Class set from minor to dangerous by R. Amadi: Cord shows." in said


def test_what_strands_a_car_has_no_class_and_says_nothing_of_driving() -> None:
    said = on_file(wrong=(a_wrong(deficiency=NONE, strands=True),))
    assert "Without a class: Tread depth" in said
    assert "It strands the car." in said
    assert "speaks against driving" not in said


def test_what_was_not_read_is_counted_and_told_why() -> None:
    skipped = (
        Skipped(title="Brake fluid", because="cap seized"),
        Skipped(title="Wipers", places=("rear",)),
    )
    spared = (Skipped(title="Noise", because="sound level meter: out of use"),)
    said = on_file(read=3, total=5, skipped=skipped, not_needed=spared)
    assert "Not read: 2 of 5 points Unread is never good" in said
    assert "Brake fluid cap seized" in said
    assert "No reason given: Wipers (rear)." in said
    assert "Not asked for (sound level meter: out of use): Noise." in said


def test_the_file_has_the_good_the_near_the_uneven_and_the_mended() -> None:
    day = a_report().day
    said = on_file(
        wrong=(a_wrong(cleared_on=day), a_wrong(withdrawn_because="Misread.")),
        noted=(Noted(title="Tire age", sentence=say("11 years.")),),
        near=(Noted(title="Tread depth", place="rear left", sentence=say("Legal now.")),),
        pairs=(Noted(title="Brake pads", sentence=say("3 mm between them.")),),
        good=(("Full sheet, sit in", ("Horn", "Steering free play: 1 in")),),
        looks=(Looked(depth="Full sheet", begun_on=day, ended_on=None, by="R. Amadi"),),
        ended_on=day,
    )
    assert "Findings: none open None is open." in said
    assert "put right on Monday, November 30, 2026." in said
    assert "Misread." in said
    assert "Seen, without a class Tire age. 11 years." in said
    assert "Near the limit Tread depth, rear left. Legal now." in said
    assert "Differences that ask for a look Brake pads. 3 mm between them." in said
    assert "Read and in order. Full sheet, sit in Horn; Steering free play: 1 in." in said
    assert "Full sheet: begun Monday, November 30, 2026, goes on, R. Amadi." in said


def test_cautions_stand_once_with_their_authority() -> None:
    jack = cautions()["lifting-jack"]
    said = on_file(wrong=(a_wrong(), a_wrong(place="front right")), cautions=(jack,))
    assert said.count(jack.text) == 1
    assert f"{jack.authority}; text seen." in said


def test_both_papers_defer_to_law_and_licensed_technicians() -> None:
    note = "Local inspection law and a licensed or certified technician decide"
    assert on_file().count(note) == 1
    assert to_household().count(note) == 1


def test_the_household_reads_first_whether_to_drive() -> None:
    said = to_household()
    assert said.index("Do not drive this car.") < said.index("Dangerous")
    assert "Leave the car where it is. If it has to be moved, it is towed." in said


def test_the_household_is_told_in_words_what_a_number_means() -> None:
    said = to_household(
        wrong=(a_wrong(why="Tread is below the legal minimum", said=say("1/32 in of tread.")),)
    )
    assert "Tread is below the legal minimum. 1/32 in of tread." in said


def test_the_household_gets_no_sections_of_law() -> None:
    said = to_household()
    assert "49 CFR" not in said
    assert "The garage's own report names each source" in said


def test_the_household_gets_no_promise() -> None:
    assert "This paper promises no repair and no day." in to_household()


def test_many_unread_points_are_counted_for_the_household_few_are_named() -> None:
    few = (Skipped(title="Wipers", places=("rear",)),)
    many = tuple(Skipped(title=f"Point {number}") for number in range(40))
    assert "5 of 6 points are read." in to_household(skipped=few, total=6)
    assert "Wipers." in to_household(skipped=few, total=6)
    assert "Point 1" not in to_household(skipped=many, total=45)


def test_the_spanish_paper_is_spanish_from_head_to_foot() -> None:
    said = to_household(Issue.SPANISH)
    assert "No maneje este auto." in said
    assert "Profundidad del dibujo de la llanta, delante a la izquierda" in said
    assert "El dibujo está por debajo del mínimo legal." in said
    assert "Página 1 de" in said
    assert "lunes 30 de noviembre" in said
    for english in ("Do not", "drive", "garage ", "Tread", "What "):
        assert english not in said


def test_a_spanish_paper_says_so_to_a_screen_reader() -> None:
    assert root_of(reader(Issue.SPANISH))["/Lang"] == "es-US"
    assert root_of(reader(Issue.FILE))["/Lang"] == "en-US"


@pytest.mark.parametrize("kind", list(Issue))
def test_the_same_facts_give_the_same_bytes(kind: Issue) -> None:
    report = a_report(shots=(shot(), shot(30, 40)))
    assert report_paper(report, kind) == report_paper(report, kind)


@pytest.mark.parametrize("kind", list(Issue))
def test_a_photo_is_a_figure_with_what_it_shows(kind: Issue) -> None:
    pages = reader(kind, shots=(shot(caption="Cord <b>close</b>"), shot(30, 40)))
    figures = [one for one in elements(pages) if one["/S"] == "/Figure"]
    assert len(figures) == 2
    assert figures[0]["/Alt"].endswith(". Cord <b>close</b>")


def test_each_finding_is_a_heading_of_its_own() -> None:
    wrong = (a_wrong(), a_wrong(place="front right"))
    assert roles(reader(Issue.FILE, wrong=wrong)).count("/H3") == 2
    assert roles(reader(Issue.ENGLISH, wrong=wrong)).count("/H3") == 2


def test_fifty_findings_run_over_pages_and_none_is_lost() -> None:
    wrong = tuple(a_wrong(place=f"place {number};") for number in range(50))
    for kind in (Issue.FILE, Issue.ENGLISH):
        said = to_household(kind, wrong=wrong)
        assert [n for n in range(50) if f"place {n};" not in said] == []


def test_what_people_typed_is_no_markup_and_no_place_for_values() -> None:
    odd = a_wrong(
        title="<b>Horn</b> {x}", place="", sentence="5 < 6 & {y}.", said=say("{t}", t="{y}")
    )
    assert "<b>Horn</b> {x} 5 < 6 & {y}." in on_file(wrong=(odd,))
    assert "{y}" in to_household(wrong=(odd,))


def test_a_word_without_end_stays_on_the_page() -> None:
    report: Report = a_report(wrong=(a_wrong(evidence="x" * 300, sentence="y" * 300),))
    assert "y" * 30 in text_of(report_paper(report, Issue.FILE))
