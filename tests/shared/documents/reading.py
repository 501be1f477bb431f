"""A small document, and what its pages and its tree hold."""

from __future__ import annotations

import datetime as dt
from io import BytesIO
from typing import TYPE_CHECKING, Any

from pypdf import PdfReader

from shared.boards import Stay, board
from shared.documents.drawn import picture
from shared.documents.grid import Column
from shared.documents.pdf import Paper, build, letterhead

if TYPE_CHECKING:
    from collections.abc import Iterator

    from reportlab.platypus import Flowable


PAPER = Paper(
    garage="Osier Street Garage",
    title="Repair order",
    number="R-12",
    day=dt.date(2026, 12, 1),
)


COLUMNS = [Column(head="Part", width=100), Column(head="Cents", width=60, right=True)]


def read(*pieces: Flowable, paper: Paper = PAPER) -> PdfReader:
    """Return a document whose pieces are used once; one page long."""
    content = build(paper, lambda: [*letterhead(paper, "For the shop."), *pieces])
    return PdfReader(BytesIO(content))


def root_of(reader: PdfReader) -> Any:
    """Return the catalog of a document."""
    return reader.trailer["/Root"]


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

    return list(walk(root_of(reader)["/StructTreeRoot"]))


def roles(reader: PdfReader) -> list[str]:
    return [element["/S"] for element in elements(reader)]


def _objects(fonts: Any) -> list[Any]:
    return [font.get_object() for font in fonts.values()]


def drawing() -> Flowable:
    days = [dt.date(2026, 11, 30), dt.date(2026, 12, 1)]
    stay = Stay(bay="Bay 1", first=0, days=2, label="26-041 Sentra")
    return picture(board(days, ["Bay 1"], [stay]), 300)


def bytes_of(reader: PdfReader) -> bytes:
    """Return what the first page draws."""
    contents = reader.pages[0].get_contents()
    assert contents is not None
    return contents.get_data()
