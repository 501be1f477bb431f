"""Putting a document together: its head, its pages with their foot, the same bytes each time."""

from __future__ import annotations

from dataclasses import dataclass
from io import BytesIO
from typing import TYPE_CHECKING, Any

from django.utils.translation import gettext, override
from reportlab.lib.colors import black
from reportlab.lib.pagesizes import landscape, letter
from reportlab.platypus import BaseDocTemplate, Flowable, Frame, PageTemplate
from reportlab.platypus.flowables import HRFlowable

from shared.documents.pieces import GRAY, Columns, Look, words
from shared.documents.tagging import TaggedCanvas
from shared.documents.typefaces import BOLD, TEXT, register
from shared.templatetags.handback import long_day

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Callable, Sequence

MARGIN, FOOT = 34, 30
WIDE = landscape(letter)
FOOT_SIZE = 7.5
SPOKEN_HERE = {"en": "en-US", "es": "es-US"}  # what a screen reader has to know


@dataclass(frozen=True, kw_only=True)
class Paper:
    """What stands on every page of a document. `day` is the day it was made.

    `language` is that of its readers; what the house writes on each page is written in it.
    """

    garage: str
    title: str
    number: str
    day: dt.date
    size: tuple[float, float] = WIDE
    language: str = "en"

    @property
    def width(self) -> float:
        """The points between the margins."""
        return self.size[0] - 2 * MARGIN

    @property
    def height(self) -> float:
        """The points between the upper margin and the foot."""
        return self.size[1] - MARGIN - FOOT

    @property
    def dated(self) -> str:
        """The number and the day."""
        return f"{self.number}, {self.made_on}"

    @property
    def made_on(self) -> str:
        """The day in words, with its year."""
        with override(self.language):
            return gettext("{day}, {year}").format(day=long_day(self.day), year=self.day.year)


class _Rule(HRFlowable):
    """A line across the page, which is furniture."""

    def draw(self) -> None:
        self.canv.artifact()
        super().draw()
        self.canv.end()


def letterhead(paper: Paper, lead: str) -> list[Flowable]:
    """Return the head of the first page: the title and its sentence, the garage, number and day."""
    left = paper.width * 0.68
    made_on = paper.made_on.replace(" ", "\u00a0")  # a day that breaks loses its year
    title = [
        words(paper.title, Look(size=19, bold=True, below=2), role="H1"),
        words(lead, Look(size=9.5)),
    ]
    garage = [
        words(paper.garage, Look(size=11, bold=True, right=True, below=2)),
        words(f"{paper.number}, {made_on}", Look(size=8.5, gray=True, right=True)),
    ]
    columns = [(left, title), (paper.width - left - 12, garage)]
    return [
        Columns(columns, gap=12, tallest=paper.height),
        _Rule(width="100%", thickness=1.6, color=black, spaceBefore=5, spaceAfter=4),
    ]


def build(paper: Paper, story: Callable[[], Sequence[Flowable]]) -> bytes:
    """Return the document; the same arguments give the same bytes.

    `story` returns fresh pieces each time it is called: once to count the pages, once to say so.
    """
    register()
    with override(paper.language):
        content, pages = _laid_out(paper, story(), 1)
        return content if pages == 1 else _laid_out(paper, story(), pages)[0]


def _laid_out(paper: Paper, story: Sequence[Flowable], pages: int) -> tuple[bytes, int]:
    """Return the bytes and how many pages there are."""
    into = BytesIO()
    document = BaseDocTemplate(
        into,
        pagesize=paper.size,
        title=f"{paper.title} – {paper.garage}",
        author=paper.garage,
        subject=paper.number,
        lang=SPOKEN_HERE[paper.language],
        invariant=1,
    )
    frame = Frame(MARGIN, FOOT, paper.width, paper.height, **dict.fromkeys(PADDINGS, 0), id="body")

    def foot(canvas: Any, _document: Any) -> None:
        _foot(canvas, paper, pages)

    document.addPageTemplates([PageTemplate(id="page", frames=[frame], onPage=foot)])
    document.build(list(story), canvasmaker=TaggedCanvas)
    return into.getvalue(), document.page


PADDINGS = ("leftPadding", "rightPadding", "topPadding", "bottomPadding")


def _foot(canvas: Any, paper: Paper, pages: int) -> None:
    """Draw the foot: the garage and the number, and which page of how many."""
    canvas.artifact()
    canvas.setFont(TEXT, FOOT_SIZE)
    canvas.setFillColor(GRAY)
    y = FOOT - 14
    canvas.drawString(MARGIN, y, f"{paper.garage}. {paper.dated}.")
    canvas.setFont(BOLD, FOOT_SIZE)
    right = paper.size[0] - MARGIN
    page = gettext("Page {page} of {pages}").format(page=canvas.getPageNumber(), pages=pages)
    canvas.drawRightString(right, y, page)
    canvas.end()
