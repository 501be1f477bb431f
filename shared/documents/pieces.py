"""The pieces of a document: words, pictures, boxes and columns, each with its tag.

What a person typed is never read as markup.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any
from xml.sax.saxutils import escape

from reportlab.lib.colors import Color, black
from reportlab.lib.enums import TA_RIGHT
from reportlab.lib.styles import ParagraphStyle
from reportlab.platypus import CondPageBreak, Flowable, Paragraph

from shared.documents.tagging import Node
from shared.documents.typefaces import BOLD, TEXT, register

if TYPE_CHECKING:
    from collections.abc import Sequence

GRAY = Color(0.35, 0.35, 0.35)
LINE = Color(0.72, 0.72, 0.72)


@dataclass(frozen=True, kw_only=True)
class Look:
    """How words stand: size in points, bold or not, gray or black, left or right."""

    size: float = 9
    bold: bool = False
    gray: bool = False
    right: bool = False
    above: float = 0
    below: float = 0

    def style(self) -> ParagraphStyle:
        """Return the look as reportlab wants it."""
        register()
        return ParagraphStyle(
            name="",
            fontName=BOLD if self.bold else TEXT,
            fontSize=self.size,
            leading=round(self.size * 1.28, 2),
            textColor=GRAY if self.gray else black,
            alignment=TA_RIGHT if self.right else 0,
            spaceBefore=self.above,
            spaceAfter=self.below,
            splitLongWords=True,
        )


PLAIN = Look()
HEADING = Look(size=11.5, bold=True, above=9, below=3)
ROOM = 96  # points that a heading over a table asks for


class Words(Paragraph):
    """A heading or paragraph; when a page ends inside it, it stays one element."""

    role: str = "P"
    node: Node | None = None
    origin: Words | None = None

    def split(self, width: float, height: float) -> list[Any]:
        """Return the part that fits and the rest; both are of the element that was split."""
        parts = list(super().split(width, height))
        for part in parts:
            part.role, part.origin = self.role, self.origin or self
        return parts

    def drawOn(self, canvas: Any, x: float, y: float, _sW: float = 0) -> None:  # noqa: N802, N803  # reportlab's names
        """Draw the words inside the brackets of their element."""
        if canvas.inside:  # the cell of a table has its own element
            super().drawOn(canvas, x, y, _sW)
            return
        owner = self.origin or self
        owner.node = owner.node or Node(self.role, canvas.stack[-1])
        canvas.begin(owner.node)
        super().drawOn(canvas, x, y, _sW)
        canvas.end()


def words(text: str, look: Look = PLAIN, role: str = "P") -> Words:
    """Return text as it was typed; `<b>` in it is no markup."""
    piece = Words(escape(text), look.style())
    piece.role = role
    return piece


def heading(text: str, look: Look = HEADING) -> Words:
    """Return the heading of a part; it never stands alone at the foot of a page."""
    piece = words(text, look, role="H2")
    piece.keepWithNext = True
    return piece


def over_table(text: str, look: Look = HEADING) -> list[Flowable]:
    """Return the heading of a table, with room for some rows below it.

    `heading` would keep the whole table with it, and a long one would go to the next page.
    """
    return [CondPageBreak(ROOM), words(text, look, role="H2")]


class Picture(Flowable):
    """A drawing with its text alternative."""

    def __init__(self, drawing: Any, alt: str) -> None:
        super().__init__()
        self.drawing, self.alt = drawing, alt

    def wrap(self, width: float, height: float) -> tuple[float, float]:
        """Return the size of the drawing."""
        self.width, self.height = self.drawing.wrap(width, height)
        return self.width, self.height

    def draw(self) -> None:
        """Draw inside the brackets of a figure."""
        self.canv.begin(Node("Figure", self.canv.stack[-1], Alt=self.alt))
        self.drawing.drawOn(self.canv, 0, 0)
        self.canv.end()


class Boxed(Flowable):
    """Words in a frame, for what nobody may overlook."""

    PAD = 6

    def __init__(self, inside: Sequence[Words]) -> None:
        super().__init__()
        self.inside = inside
        self.spaceBefore = 8

    def wrap(self, width: float, height: float) -> tuple[float, float]:
        """Return the frame's size: as wide as there is room, as high as its words."""
        self.heights = [piece.wrap(width - 2 * self.PAD, height)[1] for piece in self.inside]
        self.width, self.height = width, sum(self.heights) + 2 * self.PAD
        return self.width, self.height

    def draw(self) -> None:
        """Draw the frame as furniture, and the words as they are."""
        self.canv.artifact()
        self.canv.setLineWidth(1.4)
        self.canv.rect(0.7, 0.7, self.width - 1.4, self.height - 1.4)
        self.canv.end()
        y = self.height - self.PAD
        for piece, height in zip(self.inside, self.heights, strict=True):
            y -= height
            piece.drawOn(self.canv, self.PAD, y)


class Columns(Flowable):
    """Columns of pieces side by side, read one after the other.

    Where they would be taller than `tallest`, they follow each other down the pages instead.
    """

    def __init__(
        self, columns: Sequence[tuple[float, Sequence[Flowable]]], *, gap: float, tallest: float
    ) -> None:
        super().__init__()
        self.columns, self.gap, self.tallest = columns, gap, tallest
        self.spaceBefore = max(pieces[0].getSpaceBefore() for _, pieces in columns)

    def wrap(self, width: float, height: float) -> tuple[float, float]:
        """Return the size: the widths with their gaps, the height of the tallest column."""
        self.width = sum(wide for wide, _ in self.columns) + self.gap * (len(self.columns) - 1)
        self.height = max(_stacked(wide, pieces) for wide, pieces in self.columns)
        return self.width, self.height

    def split(self, width: float, height: float) -> list[Flowable]:
        """Return nothing, so that the columns move to the next page whole, or all their pieces."""
        if self.height <= self.tallest:
            return []
        first, *rest = [piece for _, pieces in self.columns for piece in pieces]
        if first.wrapOn(self.canv, width, height)[1] <= height:
            return [first, *rest]
        parts = first.splitOn(self.canv, width, height)
        return [*parts, *rest] if parts else []

    def draw(self) -> None:
        """Draw each column from the top."""
        x = 0.0
        for wide, pieces in self.columns:
            y, first = self.height, True
            for piece in pieces:
                y -= (0 if first else piece.getSpaceBefore()) + piece.wrap(wide, y)[1]
                piece.drawOn(self.canv, x, y)
                y -= piece.getSpaceAfter()
                first = False
            x += wide + self.gap


def _stacked(wide: float, pieces: Sequence[Flowable]) -> float:
    """Return how high pieces stand one below the other."""
    high = 0.0
    for number, piece in enumerate(pieces):
        before = piece.getSpaceBefore() if number else 0
        high += before + piece.wrap(wide, 10_000)[1] + piece.getSpaceAfter()
    return high
