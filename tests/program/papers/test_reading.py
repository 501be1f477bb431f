"""What a file is, and whether it is whole."""

from __future__ import annotations

import io

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image

from program.papers.reading import MOST_BYTES, PaperKind, read_paper
from tests.program.papers.files import PDF, photo, photo_with_notes

NEITHER = "This file is neither a PDF nor a photo (JPEG or PNG), whatever its name says."


def test_a_pdf_is_kept_as_it_came() -> None:
    read = read_paper(PDF)
    assert (read.data, read.kind, read.kind.ending) == (PDF, PaperKind.PDF, "pdf")


@pytest.mark.parametrize("kind", ["JPEG", "PNG"])
def test_a_photo_becomes_a_jpeg(kind: str) -> None:
    read = read_paper(photo(kind))
    assert (read.kind, read.kind.ending) == (PaperKind.JPEG, "jpg")
    assert Image.open(io.BytesIO(read.data)).size == (60, 80)


def test_where_and_with_what_a_photo_was_taken_is_gone() -> None:
    data = photo_with_notes()
    assert b"Dana Haskell" in data
    kept = read_paper(data).data
    assert (dict(Image.open(io.BytesIO(kept)).getexif()), b"Dana" in kept) == ({}, False)


def test_the_same_photo_becomes_the_same_file() -> None:
    assert read_paper(photo()) == read_paper(photo())


@pytest.mark.parametrize(
    ("data", "sentence"),
    [
        (b"", "The file is empty. Choose it again."),
        (b"MZ\x90\x00", NEITHER),
        (b"<svg xmlns='http://www.w3.org/2000/svg'/>", NEITHER),
        (b"<html>%PDF-1.7 %%EOF", NEITHER),
        (photo("GIF"), NEITHER),
        (PDF[:-8], "Only a part of the PDF arrived: its end is missing. Send it again."),
        (photo()[:-300], "The photo is damaged, or only a part of it arrived. Send it again."),
        (
            PDF + b" " * MOST_BYTES,
            "The file has more than 10 MB. Send it smaller, or in two parts.",
        ),
    ],
)
def test_a_file_is_refused_with_its_reason(data: bytes, sentence: str) -> None:
    with pytest.raises(ValueError, match=r"\w") as refusal:
        read_paper(data)
    assert str(refusal.value) == sentence


@given(st.binary(min_size=1, max_size=200))
def test_no_other_file_gets_in(data: bytes) -> None:
    with pytest.raises(ValueError, match="whatever its name says"):
        read_paper(b"MZ" + data)


@given(st.integers(1, len(photo()) // 2))
def test_half_a_photo_is_refused_wherever_it_breaks(length: int) -> None:
    with pytest.raises(ValueError, match=r"damaged|neither|not a photo"):
        read_paper(photo()[:length])
