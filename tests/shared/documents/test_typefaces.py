"""The faces of a document."""

from __future__ import annotations

from typing import Any

from shared.documents.grid import table
from shared.documents.pieces import heading, words
from tests.shared.documents.reading import COLUMNS, _objects, drawing, read


def test_accents_arrows_ticks_and_boxes_come_through() -> None:
    typed = "José Núñez → Zoë Žák, Nguyễn ✓ ☐ ☑ ⚠ – “ok” ≤ ½ × −3"
    assert typed in read(words(typed)).pages[0].extract_text()


def test_every_font_is_embedded() -> None:
    reader = read(words("Text"), heading("Bold"), table(COLUMNS, [("Pad", "1")]), drawing())
    resources: Any = reader.pages[0]["/Resources"]
    fonts = resources["/Font"].get_object()
    files = [font["/FontDescriptor"]["/FontFile2"] for font in _objects(fonts)]
    assert len(files) == 2
    assert {font["/BaseFont"][8:] for font in _objects(fonts)} == {"DejaVuSans", "DejaVuSans-Bold"}
