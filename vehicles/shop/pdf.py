"""The tag that hangs on a piece of equipment which nobody may use, on a quarter of a letter page.

Its words are plain, since whoever reaches for the piece reads nothing else. What OSHA asks of such
tags is in 29 CFR 1910.145(f) (from memory, text not seen).
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from reportlab.lib.units import inch

from shared.dates import full_date
from shared.documents.pdf import Paper, build
from shared.documents.pieces import Boxed, Look, words

if TYPE_CHECKING:
    import datetime as dt

    from reportlab.platypus import Flowable

    from vehicles.shop.duty import Piece

SIZE: Final = (5.5 * inch, 4.25 * inch)
STOP: Final = "DO NOT USE"
LOUD: Final = Look(size=43, bold=True)
NAME: Final = Look(size=15, bold=True, above=6)
REASON: Final = Look(size=12)
SMALL: Final = Look(size=8, above=6)
WHO_TAKES_IT_OFF: Final = (
    "Only the lead technician or the coordinator takes this tag off, once the piece is repaired, "
    "inspected and in date. The maker’s manual and local law come first."
)


def tag(piece: Piece, *, by: str, garage: str, day: dt.date) -> bytes:
    """Return the tag as a PDF of one small page; the same arguments give the same bytes.

    `by` is who tagged the piece out; empty when nobody knows.
    """
    number = f"No. {piece.id}"
    paper = Paper(garage=garage, title=STOP, number=number, day=day, size=SIZE)
    on = f" on {full_date(piece.tagged_on)}" if piece.tagged_on else ""
    since = f"Tagged out{on}{f' by {by}' if by else ''}."

    def story() -> list[Flowable]:
        return [
            words(STOP, LOUD, role="H1"),
            words(piece.name, NAME, role="H2"),
            Boxed([words(piece.because or "Nobody noted why.", REASON)]),
            words(since, SMALL),
            words(WHO_TAKES_IT_OFF, SMALL),
        ]

    return build(paper, story)
