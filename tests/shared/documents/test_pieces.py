"""Words, boxes and columns."""

from __future__ import annotations

from io import BytesIO
from typing import TYPE_CHECKING

from pypdf import PdfReader

from shared.documents.grid import table
from shared.documents.pdf import build
from shared.documents.pieces import Boxed, Columns, heading, over_table, words

if TYPE_CHECKING:
    from collections.abc import Callable

    from reportlab.platypus import Flowable

from tests.shared.documents.reading import COLUMNS, PAPER, read, roles


def test_what_was_typed_is_no_markup() -> None:
    typed = "<b>Bold & <i>bad</b> &amp; <font size=99>"
    reader = read(words(typed), table(COLUMNS, [(typed, "1")]), heading(typed))
    text = " ".join(reader.pages[0].extract_text().split())
    assert text.count("&amp;") == 3
    assert typed in text


def test_headings_and_paragraphs_are_told_apart() -> None:
    reader = read(heading("Brakes"), words("Front pads."))
    assert roles(reader) == ["/Document", "/H1", "/P", "/P", "/P", "/H2", "/P"]


def test_a_paragraph_over_two_pages_stays_one_element() -> None:
    long = " ".join(["brake"] * 4_000)
    content = build(PAPER, lambda: [words(long)])
    reader = PdfReader(BytesIO(content))
    assert len(reader.pages) > 1
    assert roles(reader) == ["/Document", "/P"]


def test_a_long_table_begins_under_its_heading() -> None:
    def first_page(over: Callable[[], list[Flowable]]) -> str:
        def story() -> list[Flowable]:
            return [words("Before."), *over(), table(COLUMNS, [("Pad", "1")] * 90)]

        return PdfReader(BytesIO(build(PAPER, story))).pages[0].extract_text()

    assert "Pad" in first_page(lambda: over_table("Parts"))
    assert "Pad" not in first_page(lambda: [heading("Parts")])


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
