"""A paper as it is kept: what a file is by its content, not by its name, and whether it is whole.

A PDF is kept as it is; a photo is written anew, so that its place, time and camera are gone.

>>> read_paper(b"%PDF-1.7 ... %%EOF").kind
<PaperKind.PDF: 'application/pdf'>
>>> read_paper(b"")
Traceback (most recent call last):
ValueError: The file is empty. Choose it again.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from vehicles.intake.images import clean_photo

MOST_BYTES: Final = 10 * 1000 * 1000

# Source: ISO 32000-1, 7.5.2 (file header) and 7.5.5 (file trailer); from memory. A reader looks
# for the end in the last 1024 bytes.
PDF_BEGINS: Final = b"%PDF-"
PDF_ENDS: Final = b"%%EOF"
PDF_END_WITHIN: Final = 1024

# Source: ISO/IEC 10918-1, B.1.1.3, marker SOI; W3C PNG, 5.2, signature; from memory.
PHOTO_BEGINS: Final = (b"\xff\xd8\xff", b"\x89PNG\r\n\x1a\n")


class PaperKind(StrEnum):
    """The media types in which papers are kept."""

    PDF = "application/pdf"
    JPEG = "image/jpeg"

    @property
    def ending(self) -> str:
        """How the name of such a file ends."""
        return "pdf" if self is PaperKind.PDF else "jpg"


@dataclass(frozen=True, kw_only=True)
class ReadPaper:
    """A file that may be kept, and what it is."""

    data: bytes
    kind: PaperKind


def read_paper(data: bytes) -> ReadPaper:
    """Return a file as it is kept: a PDF as it came, a JPEG or PNG as a JPEG without its notes.

    Raises:
        ValueError: the file is empty, over 10 MB, neither PDF, JPEG nor PNG, or cut off; the
            sentence says which.
    """
    if not data:
        raise ValueError("The file is empty. Choose it again.")
    if len(data) > MOST_BYTES:
        raise ValueError(
            f"The file has more than {MOST_BYTES // 1_000_000} MB. "
            "Send it smaller, or in two parts."
        )
    if data.startswith(PDF_BEGINS):
        return _read_pdf(data)
    if data.startswith(PHOTO_BEGINS):
        return ReadPaper(data=clean_photo(data).jpeg, kind=PaperKind.JPEG)
    raise ValueError(
        "This file is neither a PDF nor a photo (JPEG or PNG), whatever its name says."
    )


def _read_pdf(data: bytes) -> ReadPaper:
    if PDF_ENDS not in data[-PDF_END_WITHIN:]:
        raise ValueError("Only a part of the PDF arrived: its end is missing. Send it again.")
    return ReadPaper(data=data, kind=PaperKind.PDF)
