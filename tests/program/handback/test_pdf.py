"""The notice on paper: do not drive first, then all of it, then who took it. Read by pypdf."""

from __future__ import annotations

from dataclasses import replace
from io import BytesIO
from typing import Any

import pytest
from pypdf import PdfReader

from program.handback.pdf import notice_paper
from program.handback.queries import case_of, findings_of
from program.handback.sheet import Sheet, in_language, notice_of, sheet_of
from tests.factories import TODAY, make_finding
from tests.program.handback.story import make_held_case, returning, stay_of
from tests.shared.documents.reading import elements, root_of
from vehicles.custody.keeping import TowOrder
from vehicles.custody.kinds import NoticeHow, TowAnswer, TowKind, TowPayer

pytestmark = pytest.mark.django_db
ORDER = TowOrder(
    kind=TowKind.FLATBED,
    hauler="Weir Street Towing",
    from_place="14 Osier Street",
    to_place="22 Mill Road",
    on=TODAY,
    payer=TowPayer.PROGRAM,
)


def made(language: str = "en", **fields: Any) -> Sheet:
    stay = stay_of(make_held_case())
    words = in_language(notice_of(stay, findings_of(stay)), language)
    return sheet_of(stay, case_of(stay), words, returning(stay, language, **fields))


def unsigned(sheet: Sheet) -> Sheet:
    return replace(sheet, returning=None)


def read(sheet: Sheet) -> PdfReader:
    return PdfReader(BytesIO(notice_paper(sheet)))


def text_of(sheet: Sheet) -> str:
    pages = [page.extract_text() for page in read(sheet).pages]
    return " ".join(" ".join(pages).split())


def test_do_not_drive_stands_before_all_else_and_every_part_is_there() -> None:
    sheet = made()
    text = text_of(sheet)
    assert text.index("Do not drive this 2012 Toyota Corolla.") < text.index("What is dangerous")
    for part in sheet.words.parts:
        assert part.heading in text
        for line in part.lines:
            assert line in text


def test_the_paper_names_the_car_its_odometer_and_its_number() -> None:
    sheet = made()
    text = text_of(sheet)
    for value in (sheet.vin, "ABC 123", "148,190 miles", sheet.number, "Osier Street Garage"):
        assert value in text


@pytest.mark.parametrize(
    ("fields", "sentence"),
    [
        ({}, "Signed on the screen, below."),
        (
            {"strokes": (), "witness": "R. Amadi"},
            "Signed on paper, which is kept. Seen by R. Amadi.",
        ),
        (
            {"strokes": (), "witness": "R. Amadi", "notice": NoticeHow.DECLINED},
            "Declined to sign. Witness: R. Amadi.",
        ),
        ({"tow_answer": TowAnswer.REFUSED}, "You refused the tow that we offered."),
        (
            {"tow_answer": TowAnswer.TAKEN, "tow": ORDER},
            "You took the tow that we offered. Weir Street Towing, Monday, November 30, to 22 Mill",
        ),
        ({"interpreter": "Ines Ocampo"}, "Interpreter Ines Ocampo"),
        ({"contents_to": "Dana Haskell"}, "What lay in it given to Dana Haskell"),
        ({"keys_to": "Lan Nguyen"}, "Keys given to Lan Nguyen"),
    ],
)
def test_how_it_was_taken_stands_at_its_end(fields: dict[str, Any], sentence: str) -> None:
    assert sentence in text_of(made(**fields))


def test_a_drawn_name_is_a_picture_that_says_whose_it_is() -> None:
    sheet = made(strokes=[[[10, 90], [200, 20]], [[300, 40]]])
    figures = [one for one in elements(read(sheet)) if one["/S"] == "/Figure"]
    assert [one["/Alt"] for one in figures] == ["Signature of Dana Haskell"]
    assert not [one for one in elements(read(unsigned(sheet))) if one["/S"] == "/Figure"]


def test_before_it_is_taken_its_lines_are_left_to_be_filled() -> None:
    taken = "Notice taken Name Signature Date Witness, if signing is declined"
    assert taken in text_of(unsigned(made()))


@pytest.mark.parametrize(("language", "code"), [("en", "en-US"), ("es", "es-US")])
def test_it_is_tagged_and_says_its_language(language: str, code: str) -> None:
    reader = read(made(language))
    root = root_of(reader)
    assert (root["/Lang"], root["/MarkInfo"]["/Marked"]) == (code, True)
    heads = [one["/S"] for one in elements(reader) if one["/S"] in ("/H1", "/H2")]
    assert heads == ["/H1", *["/H2"] * 9]


def test_the_same_notice_has_the_same_bytes() -> None:
    sheet = made()
    assert notice_paper(sheet) == notice_paper(sheet)


def test_a_long_list_goes_over_to_further_pages_whole() -> None:
    stay = stay_of(make_held_case())
    for number in range(60):
        make_finding(intake=stay, title=f"Finding {number}", evidence="x" * 200)
    words = in_language(notice_of(stay, findings_of(stay)), "en")
    sheet = sheet_of(stay, None, words, returning(stay))
    reader = read(sheet)
    assert len(reader.pages) > 3
    text = " ".join(page.extract_text() for page in reader.pages)
    assert all(f"Finding {number}." in text for number in range(60))
    assert f"Page {len(reader.pages)} of {len(reader.pages)}" in text
