"""The printed intake sheet, and the empty form, read back from their bytes.

The QR code is read by a reader that is not ours where one is installed; its size is checked against
ISO/IEC 18004, table 7 (from memory): version 3 with level M holds 42 bytes, 29 modules a side.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from io import BytesIO

import pytest
import segno
from pypdf import PdfReader

from tests.shared.documents.reading import elements, root_of
from vehicles.intake.pdf import _code, intake_sheet, paper_form
from vehicles.intake.sheet import IntakeSheet, Marked

URL = "https://desk.example.org/s/12/"
SHEET = IntakeSheet(
    garage="Osier Street Garage",
    number="Stay 12",
    day=dt.date(2026, 12, 1),
    title="Intake: 2012 Toyota Corolla",
    lead="Came Tuesday, December 1, 2026, towed.",
    complaint="It grinds <b>when</b> I brake.",
    stops=("Do not drive. Warning lamp lit: Oil pressure.",),
    told=(("Odometer", "148,190 miles"),),
    facts=(("VIN", "1M8GDM9AXKP042788"),),
    marks=(Marked(sign="D1", x=450, y=590, seen="Dent, left front door"),),
    custody=(("Diagnose", "signed by Dana Haskell"), ("Keys", "")),
    url=URL,
)


def read(content: bytes) -> PdfReader:
    return PdfReader(BytesIO(content))


def text_of(reader: PdfReader) -> str:
    return " ".join(" ".join(page.extract_text() for page in reader.pages).split())


def figures(reader: PdfReader) -> list[str]:
    return [str(one["/Alt"]) for one in elements(reader) if one["/S"] == "/Figure"]


def test_the_sheet_says_what_is_known() -> None:
    text = text_of(read(intake_sheet(SHEET)))
    for said in (
        "“It grinds <b>when</b> I brake.”",
        "Do not drive. Warning lamp lit: Oil pressure.",
        "Odometer 148,190 miles",
        "VIN 1M8GDM9AXKP042788",
        "D1 Dent, left front door",
        "Diagnose signed by Dana Haskell",
        "Brought by, name and signature",
    ):
        assert said in text


def test_its_pictures_have_words_and_it_is_tagged() -> None:
    reader = read(intake_sheet(SHEET))
    assert root_of(reader)["/MarkInfo"]["/Marked"]
    assert figures(reader) == [
        "QR code for staff: opens the case of this stay",
        "The car from above and from its four sides, with 1 marks",
    ]


def test_the_same_sheet_gives_the_same_bytes() -> None:
    assert intake_sheet(SHEET) == intake_sheet(SHEET)


def test_without_an_address_there_is_no_code() -> None:
    assert len(figures(read(intake_sheet(replace(SHEET, url=""))))) == 1


def test_a_full_sheet_takes_one_page() -> None:
    marks = tuple(Marked(sign=f"D{n}", x=450, y=590, seen="Dent, hood") for n in range(1, 13))
    full = replace(SHEET, marks=marks, told=SHEET.told * 8, facts=SHEET.facts * 8)
    assert len(read(intake_sheet(full)).pages) == 1


def test_the_code_is_the_symbol_of_the_address_with_its_quiet_zone() -> None:
    drawn = _code(URL).drawing
    side = 29 + 2 * 4
    module = drawn.width / side
    dark = sum(round(box.width / module) for box in drawn.contents)
    assert dark == sum(map(sum, segno.make(URL, error="m", micro=False).matrix))
    assert min(box.x for box in drawn.contents) == pytest.approx(4 * module)


def test_the_empty_form_is_numbered_and_names_nobody() -> None:
    reader = read(paper_form(garage="Osier Street Garage", number="P261201-A1B2", day=SHEET.day))
    text = text_of(reader)
    assert "P261201-A1B2" in text
    assert "Letters: D dent, S scratch, R rust, C crack, M missing" in text
    assert len(reader.pages) == 2
