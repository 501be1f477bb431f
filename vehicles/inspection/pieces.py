"""The drawn pieces of the reports: a class's mark before its words, and rows of small photos."""

from __future__ import annotations

from io import BytesIO
from typing import TYPE_CHECKING, Final

from reportlab.lib.colors import black
from reportlab.lib.utils import ImageReader
from reportlab.platypus import Flowable

from shared.documents.pieces import Columns, Look, words
from shared.documents.tagging import Node
from vehicles.inspection.criteria import DeficiencyClass

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from shared.documents.pieces import Words
    from vehicles.inspection.values import Shot

A_ROW: Final = 4
GAP: Final = 10
TALLEST: Final = 1.1  # of its width: an upright photo stands smaller


class Marked(Flowable):
    """Words behind the mark of a class: a diamond, full, half full or empty, or a dash.

    The mark is furniture, for its word always follows.
    """

    def __init__(self, piece: Words, deficiency: DeficiencyClass, size: float) -> None:
        super().__init__()
        self.piece, self.deficiency, self.size = piece, deficiency, size
        self.keepWithNext = True

    def getSpaceBefore(self) -> float:  # noqa: N802  # reportlab's name
        """Return the room above, which is that of the words."""
        return float(self.piece.getSpaceBefore())

    def getSpaceAfter(self) -> float:  # noqa: N802  # reportlab's name
        """Return the room below, which is that of the words."""
        return float(self.piece.getSpaceAfter())

    def wrap(self, width: float, height: float) -> tuple[float, float]:
        """Return the size: the words with the room for the mark."""
        self.width, self.height = width, self.piece.wrap(width - self.size * 1.5, height)[1]
        return self.width, self.height

    def draw(self) -> None:
        """Draw the mark on the first line, and the words."""
        self.canv.artifact()
        self._mark(self.size / 2, self.height - self.size * 0.68)
        self.canv.end()
        self.piece.drawOn(self.canv, self.size * 1.5, 0)

    def _mark(self, x: float, y: float) -> None:
        half = self.size / 2
        self.canv.setLineWidth(self.size / 9)
        self.canv.setStrokeColor(black)
        self.canv.setFillColor(black)
        if self.deficiency is DeficiencyClass.NONE:
            self.canv.line(x - half, y, x + half, y)
            return
        full = self.deficiency is DeficiencyClass.DANGEROUS
        self._shape([(0, half), (half, 0), (0, -half), (-half, 0)], x, y, fill=full)
        if self.deficiency is DeficiencyClass.MAJOR:
            self._shape([(half, 0), (0, -half), (-half, 0)], x, y, fill=True)

    def _shape(
        self, corners: Sequence[tuple[float, float]], x: float, y: float, *, fill: bool
    ) -> None:
        path = self.canv.beginPath()
        (first, *rest) = corners
        path.moveTo(x + first[0], y + first[1])
        for across, up in rest:
            path.lineTo(x + across, y + up)
        path.close()
        self.canv.drawPath(path, stroke=1, fill=int(fill))


class SmallPhoto(Flowable):
    """One photo with its text alternative."""

    def __init__(self, shot: Shot, alt: str) -> None:
        super().__init__()
        self.shot, self.alt = shot, alt
        self.spaceBefore = 6

    def wrap(self, width: float, height: float) -> tuple[float, float]:
        """Return the size: as wide as there is room, or as high as a row of photos goes."""
        shape = self.shot.height / self.shot.width
        wide = min(width, width * TALLEST / shape)
        self.width, self.height = wide, wide * shape
        return self.width, self.height

    def draw(self) -> None:
        """Draw inside the brackets of a figure; the JPEG goes into the file as it is."""
        self.canv.begin(Node("Figure", self.canv.stack[-1], Alt=self.alt))
        image = ImageReader(BytesIO(self.shot.jpeg))
        self.canv.drawImage(image, 0, 0, self.width, self.height)
        self.canv.end()


def photo_rows(
    shots: Sequence[Shot], width: float, *, tall: float, look: Look, tell: Callable[[str], str]
) -> list[Columns]:
    """Return photos in rows of four, each with what it shows below; `tell` says it in a language.

    `tall` is the height of a page: a row is never taller.
    """
    wide = (width - GAP * (A_ROW - 1)) / A_ROW
    rows = [shots[at : at + A_ROW] for at in range(0, len(shots), A_ROW)]
    return [
        Columns([(wide, _photo(shot, look, tell)) for shot in row], gap=GAP, tallest=tall)
        for row in rows
    ]


def _photo(shot: Shot, look: Look, tell: Callable[[str], str]) -> list[Flowable]:
    what = ", ".join(tell(text) for text in (shot.title, shot.place) if text)
    said = ". ".join(text for text in (what, shot.caption) if text)
    return [SmallPhoto(shot, said or tell("Photo of the car")), words(said, look)]
