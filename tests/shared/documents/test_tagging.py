"""What a reader for the blind is told."""

from __future__ import annotations

from shared.documents.grid import table
from shared.documents.pieces import words
from tests.shared.documents.reading import COLUMNS, bytes_of, read, root_of


def test_the_document_is_tagged_with_language_and_title() -> None:
    root = root_of(read(words("Front pads.")))
    assert str(root["/MarkInfo"]["/Marked"]).lower() == "true"
    assert root["/Lang"] == "en-US"
    assert str(root["/ViewerPreferences"]["/DisplayDocTitle"]).lower() == "true"
    metadata = root["/Metadata"].get_data().decode()
    assert "Repair order – Osier Street Garage" in metadata


def test_rules_and_feet_are_not_read_aloud() -> None:
    stream = bytes_of(read(table(COLUMNS, [("Pad", "1")])))
    assert stream.count(b"/Artifact BMC") >= 4
    assert stream.count(b" BDC") + stream.count(b" BMC") == stream.count(b"EMC")
