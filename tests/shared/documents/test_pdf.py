"""Documents: what is on their pages, and what a reader for the blind is told.

Source: pypdf reads what reportlab wrote; ISO 32000-1, 14.7 and 14.8 name the roles
(from memory).
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from shared.documents.grid import table
from shared.documents.pdf import build
from shared.documents.pieces import words

if TYPE_CHECKING:
    from reportlab.platypus import Flowable

from tests.shared.documents.reading import COLUMNS, PAPER, read, root_of


def test_the_head_and_the_foot_of_a_page_say_what_it_is() -> None:
    text = read(words("Front pads.")).pages[0].extract_text()
    assert text.count("R-12, Tuesday, December 1, 2026") == 2
    for part in ("Repair order", "For the shop.", "Osier Street Garage", "Page 1 of 1"):
        assert part in text


def test_the_same_document_has_the_same_bytes() -> None:
    def story() -> list[Flowable]:
        return [words("Front pads."), table(COLUMNS, [("Pad", "120")])]

    assert build(PAPER, story) == build(PAPER, story)


def test_a_document_names_the_language_of_its_readers() -> None:
    paper = replace(PAPER, language="es")
    reader = read(words("Pastillas delanteras."), paper=paper)
    assert root_of(reader)["/Lang"] == "es-US"
    assert "martes 1 de diciembre" in reader.pages[0].extract_text()
    assert root_of(read(words("Front pads.")))["/Lang"] == "en-US"
