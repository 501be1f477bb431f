"""Documents: what is on their pages, and what a reader for the blind is told.

Source: pypdf reads what reportlab wrote; ISO 32000-1, 14.7 and 14.8 name the roles (from memory).
"""

from __future__ import annotations

import datetime as dt
from io import BytesIO
from typing import TYPE_CHECKING, Any

import pytest
from pypdf import PdfReader

from shared.boards import Stay, board
from shared.documents.drawn import picture, steps
from shared.documents.grid import Column, table
from shared.documents.pdf import Paper, build, letterhead
from shared.documents.pieces import Boxed, Columns, heading, words

if TYPE_CHECKING:
    from collections.abc import Iterator

    from reportlab.platypus import Flowable

PAPER = Paper(
    garage="Osier Street Garage",
    title="Repair order",
    number="R-12",
    day=dt.date(2026, 12, 1),
)


def read(*pieces: Flowable, paper: Paper = PAPER) -> PdfReader:
    """Return a document whose pieces are used once; one page long."""
    content = build(paper, lambda: [*letterhead(paper, "For the shop."), *pieces])
    return PdfReader(BytesIO(content))


def elements(reader: PdfReader) -> list[Any]:
    """Return every element of the tree, in reading order."""

    def walk(element: Any) -> Iterator[Any]:
        if "/S" in element:
            yield element
        kids = element.get("/K", [])
        for kid in kids if isinstance(kids, list) else [kids]:
            kid = kid.get_object()  # noqa: PLW2901  # a reference stands for what it names
            if not isinstance(kid, int):
                yield from walk(kid)

    return list(walk(reader.trailer["/Root"]["/StructTreeRoot"]))


def roles(reader: PdfReader) -> list[str]:
    return [element["/S"] for element in elements(reader)]


COLUMNS = [Column(head="Part", width=100), Column(head="Cents", width=60, right=True)]


def test_the_head_and_the_foot_of_a_page_say_what_it_is() -> None:
    text = read(words("Front pads.")).pages[0].extract_text()
    assert text.count("R-12, Tuesday, December 1, 2026") == 2
    for part in ("Repair order", "For the shop.", "Osier Street Garage", "Page 1 of 1"):
        assert part in text


def test_accents_arrows_ticks_and_boxes_come_through() -> None:
    typed = "José Núñez → Zoë Žák, Nguyễn ✓ ☐ ☑ ⚠ – “ok” ≤ ½ × −3"
    assert typed in read(words(typed)).pages[0].extract_text()


def test_what_was_typed_is_no_markup() -> None:
    typed = "<b>Bold & <i>bad</b> &amp; <font size=99>"
    reader = read(words(typed), table(COLUMNS, [(typed, "1")]), heading(typed))
    text = " ".join(reader.pages[0].extract_text().split())
    assert text.count("&amp;") == 3
    assert typed in text


def test_the_same_document_has_the_same_bytes() -> None:
    def story() -> list[Flowable]:
        return [words("Front pads."), table(COLUMNS, [("Pad", "120")])]

    assert build(PAPER, story) == build(PAPER, story)


def test_every_font_is_embedded() -> None:
    reader = read(words("Text"), heading("Bold"), table(COLUMNS, [("Pad", "1")]), drawing())
    fonts = reader.pages[0]["/Resources"]["/Font"].get_object()
    files = [font["/FontDescriptor"]["/FontFile2"] for font in _objects(fonts)]
    assert len(files) == 2
    assert {font["/BaseFont"][8:] for font in _objects(fonts)} == {"DejaVuSans", "DejaVuSans-Bold"}


def _objects(fonts: Any) -> list[Any]:
    return [font.get_object() for font in fonts.values()]


def drawing() -> Flowable:
    days = [dt.date(2026, 11, 30), dt.date(2026, 12, 1)]
    stay = Stay(bay="Bay 1", first=0, days=2, label="26-041 Sentra")
    return picture(board(days, ["Bay 1"], [stay]), 300)


def test_the_document_is_tagged_with_language_and_title() -> None:
    root = read(words("Front pads.")).trailer["/Root"]
    assert str(root["/MarkInfo"]["/Marked"]).lower() == "true"
    assert root["/Lang"] == "en-US"
    assert str(root["/ViewerPreferences"]["/DisplayDocTitle"]).lower() == "true"
    metadata = root["/Metadata"].get_data().decode()
    assert "Repair order – Osier Street Garage" in metadata


def test_headings_and_paragraphs_are_told_apart() -> None:
    reader = read(heading("Brakes"), words("Front pads."))
    assert roles(reader) == ["/Document", "/H1", "/P", "/P", "/P", "/H2", "/P"]


def test_a_table_says_which_cells_are_heads_and_what_they_head() -> None:
    reader = read(table(COLUMNS, [("Pad", "120"), ("Hose", "30")]))
    cells = [(e["/S"], e["/A"]["/Scope"] if "/A" in e else "") for e in elements(reader)[5:]]
    assert (
        cells
        == [
            *(("/Table", ""), ("/TR", ""), ("/TH", "/Column"), ("/TH", "/Column")),
            *(("/TR", ""), ("/TH", "/Row"), ("/TD", "")),
            *(("/TR", ""), ("/TH", "/Row"), ("/TD", "")),
        ][: len(cells)]
    )
    assert len(cells) == 10


def test_the_column_that_names_a_row_need_not_be_the_first() -> None:
    columns = [Column(head="", width=20), Column(head="Part", width=100, names=True)]
    cells = roles(read(table(columns, [("☐", "Pad")])))
    assert cells[-3:] == ["/TR", "/TD", "/TH"]


def test_a_picture_has_its_title_as_text() -> None:
    figures = [one for one in elements(read(drawing())) if one["/S"] == "/Figure"]
    assert [figure["/Alt"] for figure in figures] == [
        "1 bays. 26-041 Sentra in Bay 1 from Monday, November 30 for 2 days."
    ]


def test_rules_and_feet_are_not_read_aloud() -> None:
    stream = read(table(COLUMNS, [("Pad", "1")])).pages[0].get_contents().get_data()
    assert stream.count(b"/Artifact BMC") >= 4
    assert stream.count(b" BDC") + stream.count(b" BMC") == stream.count(b"EMC")


def test_a_long_table_goes_on_with_its_head_which_is_read_once() -> None:
    rows = [(f"Part {n}", str(n)) for n in range(90)]
    content = build(PAPER, lambda: [*letterhead(PAPER, ""), table(COLUMNS, rows)])
    reader = PdfReader(BytesIO(content))
    assert len(reader.pages) == 3
    assert "Page 3 of 3" in reader.pages[2].extract_text()
    assert all("Cents" in page.extract_text() for page in reader.pages)
    assert roles(reader).count("/Table") == 1
    assert roles(reader).count("/TR") == 91


def test_a_paragraph_over_two_pages_stays_one_element() -> None:
    long = " ".join(["brake"] * 4_000)
    content = build(PAPER, lambda: [words(long)])
    reader = PdfReader(BytesIO(content))
    assert len(reader.pages) > 1
    assert roles(reader) == ["/Document", "/P"]


def test_columns_that_are_too_tall_follow_each_other() -> None:
    def story(rows: int) -> list[Flowable]:
        columns = [(160, [table(COLUMNS, [("Pad", "1")] * rows)]), (160, [words("Beside it.")])]
        return [Columns(columns, gap=10, tallest=PAPER.height)]

    one = PdfReader(BytesIO(build(PAPER, lambda: story(3))))
    many = PdfReader(BytesIO(build(PAPER, lambda: story(60))))
    assert len(one.pages) == 1
    assert len(many.pages) == 2
    assert "Beside it." in many.pages[1].extract_text()


def test_boxed_words_are_paragraphs() -> None:
    reader = read(Boxed([words("Nobody under a raised car."), words("The law decides.")]))
    assert roles(reader)[-2:] == ["/P", "/P"]
    assert "Nobody under a raised car." in reader.pages[0].extract_text()


@pytest.mark.parametrize(
    ("path", "expected"),
    [
        ("M1 2H4V6", [("M", 1, 2), ("L", 4, 2), ("L", 4, 6)]),
        ("M1 2h3v4h-3z", [("M", 1, 2), ("L", 4, 2), ("L", 4, 6), ("L", 1, 6), None]),
        ("M-2.5 0L3 4Z", [("M", -2.5, 0), ("L", 3, 4), None]),
    ],
)
def test_a_path_is_read_step_by_step(path: str, expected: list[Any]) -> None:
    assert list(steps(path)) == expected
