"""The year's duties as one sheet for the wall: what is due, by whom, and room to sign it off."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from reportlab.lib.pagesizes import letter

from program.closing.duties import Standing
from shared.dates import short_date
from shared.documents.grid import Column, table
from shared.documents.pdf import Paper, build, letterhead
from shared.documents.pieces import Boxed, Look, over_table, words

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Sequence

    from reportlab.platypus import Flowable

    from program.closing.queries import DutyRow

COLUMNS: Final = (
    Column(head="Day", width=64, bold=True),
    Column(head="What", width=286, names=True),
    Column(head="Who", width=84),
    Column(head="Done on, by", width=110),
)
DECIDE: Final = (
    "A list to think with, not advice. The days come from published rules, from memory or from "
    "common practice; the page in the program says which. Check with the accountant and the state."
    " Where a legal day falls on a weekend or a legal holiday, the next working day stands beside"
    " it; holidays of a state alone are not looked at."
)
LINE: Final = "________________"


def duties_sheet(rows: Sequence[DutyRow], *, year: int, garage: str, day: dt.date) -> bytes:
    """Return the duties of a year as a PDF, upright letter; the same rows give the same bytes."""
    title = f"Duties of {year}"
    paper = Paper(garage=garage, title=title, number="For the wall", day=day, size=letter)
    dated = [row for row in rows if row.due.on]
    undated = [row for row in rows if not row.due.on]

    def story() -> list[Flowable]:
        found = [*letterhead(paper, "By day. Whoever does one writes when, and their name.")]
        for heading, some in (("By day", dated), ("On a day that a paper names", undated)):
            if some:
                cells = [_cells(row) for row in some]
                found += [*over_table(heading), table(COLUMNS, cells, size=8.5, pad=2.6)]
        return [*found, Boxed([words(DECIDE, Look(size=7.5))])]

    return build(paper, story)


def _cells(row: DutyRow) -> tuple[str, str, str, str]:
    due = row.due
    title = due.duty.title
    if due.until:
        title += f" (by law until {due.until:%A}, {short_date(due.until)})"
    on = f"{due.on:%a} {short_date(due.on)}" if due.on else "–"
    return on, title, due.duty.who, _said(row)


def _said(row: DutyRow) -> str:
    if row.done is None:
        return LINE
    if row.standing is Standing.ASIDE:
        return "does not apply"
    return f"{short_date(row.done.on)}, {row.done.by}"
