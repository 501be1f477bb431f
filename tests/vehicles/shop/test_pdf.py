"""The tag that hangs on a piece, read back from its bytes."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from io import BytesIO

from pypdf import PdfReader

from vehicles.shop.duty import Piece
from vehicles.shop.pdf import tag

DAY = dt.date(2026, 11, 25)
LIFT = Piece(
    id=4,
    name="Two-post lift",
    due_on=DAY,
    tagged_out=True,
    tagged_on=dt.date(2026, 11, 24),
    because="The lock <b>slips</b>.",
)


def read(piece: Piece, by: str = "") -> tuple[list[str], PdfReader]:
    reader = PdfReader(BytesIO(tag(piece, by=by, garage="Osier Street Garage", day=DAY)))
    return reader.pages[0].extract_text().splitlines(), reader  # the foot is drawn first


def test_the_tag_says_stop_why_and_since_when_on_one_small_page() -> None:
    lines, reader = read(LIFT, by="R. Amadi")
    assert lines[2:6] == [
        "DO NOT USE",
        "Two-post lift",
        "The lock <b>slips</b>.",
        "Tagged out on Tuesday, November 24, 2026 by R. Amadi.",
    ]
    assert (len(reader.pages), *map(float, reader.pages[0].mediabox[2:])) == (1, 396, 306)


def test_the_longest_reason_and_name_fit_on_the_page() -> None:
    _, reader = read(
        replace(LIFT, name="Lift " * 16, because="It slips and leaks. " * 10), "R. " * 20
    )
    assert len(reader.pages) == 1


def test_a_tag_without_a_reason_or_day_says_so() -> None:
    lines, _ = read(replace(LIFT, because="", tagged_on=None))
    assert lines[4:6] == ["Nobody noted why.", "Tagged out."]


def test_the_same_tag_has_the_same_bytes() -> None:
    made = [tag(LIFT, by="", garage="Osier Street Garage", day=DAY) for _ in range(2)]
    assert made[0] == made[1]
