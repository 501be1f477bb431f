"""The statements on paper: landscape letter, one after the other, with their ties and notes."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from reportlab.platypus import PageBreak, Spacer

from program.statements.rows import Look as RowLook
from shared.dates import full_date, short_date
from shared.documents.grid import Column, table
from shared.documents.pdf import Paper, build, letterhead
from shared.documents.pieces import Boxed, Look, heading, over_table, words
from shared.money import dollars, usd

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Sequence

    from reportlab.platypus import Flowable

    from program.statements.rows import Row, Sheet
    from program.statements.ties import Tie

SMALL = 8.5
FIGURE_WIDTH = 82  # a million dollars with its cents
NARROW_WIDTH = 66
MANY = 6  # columns of figures from which they are narrow
DECIDES = (
    "Not audited. These statements come from the program’s own books. A certified public"
    " accountant and local law decide how they are reported."
)


@dataclass(frozen=True, kw_only=True)
class Printed:
    """What goes on paper: the statements, whether they tie, who printed them and when."""

    garage: str
    sheets: tuple[Sheet, ...]
    ties: tuple[Tie, ...]
    from_on: dt.date
    until_on: dt.date
    reserve: int
    by: str
    at: dt.datetime


def paper(printed: Printed) -> bytes:
    """Return the statements as one PDF; the same figures and moment give the same bytes."""
    whole = len(printed.sheets) > 1
    head = Paper(
        garage=printed.garage,
        title="Financial statements" if whole else printed.sheets[0].title,
        number=f"{_short(printed.from_on)} to {_short(printed.until_on)}, not audited",
        day=printed.at.date(),
    )
    return build(head, lambda: _story(printed, head, whole=whole))


def _short(day: dt.date) -> str:
    return f"{short_date(day)}, {day.year}"


def _story(printed: Printed, head: Paper, *, whole: bool) -> list[Flowable]:
    days = f"{full_date(printed.from_on)} to {full_date(printed.until_on)}."
    by = f"Printed by {printed.by} on {full_date(printed.at.date())} at {printed.at:%-H:%M}."
    story = [
        *letterhead(head, f"{days} {by}"),
        Boxed([words(DECIDES, Look(size=SMALL, bold=True))]),
    ]
    story += _tied(printed.ties)
    for sheet in printed.sheets:
        story += [PageBreak()] if whole else [Spacer(1, 8)]
        story += _sheet(sheet, head.width)
    return [*story, *_notes(printed)]


def _tied(ties: Sequence[Tie]) -> list[Flowable]:
    """Return every check with its figures, the failing ones first and in bold."""
    failing = sum(not tie.holds for tie in ties)
    title = (
        f"{failing} of {len(ties)} checks do not tie"
        if failing
        else f"Everything ties: {len(ties)} checks"
    )
    rows = [
        (
            "ties" if tie.holds else "DOES NOT TIE",
            " ".join(part for part in (str(tie.what), tie.where) if part),
            dollars(tie.left),
            dollars(tie.right),
        )
        for tie in ties
    ]
    columns = [
        Column(head="", width=84, bold=True),
        Column(head="Check", width=420, names=True),
        *(Column(head=head, width=92, right=True) for head in ("One figure", "The other")),
    ]
    return [*over_table(title), table(columns, rows, size=SMALL, pad=1.5)]


def _sheet(sheet: Sheet, width: float) -> list[Flowable]:
    many = len(sheet.columns) >= MANY
    each = NARROW_WIDTH if many else FIGURE_WIDTH
    first = min(260.0, width - each * len(sheet.columns))
    columns = [
        Column(head=sheet.first, width=first),
        *(Column(head=head, width=each, right=True) for head in sheet.columns),
    ]
    rows = [_row(row) for row in sheet.rows]
    strong = frozenset(n for n, row in enumerate(sheet.rows) if row.look != RowLook.PLAIN)
    shown: Flowable = (
        table(columns, rows, size=7.5 if many else SMALL, pad=1.5, strong=strong)
        if rows
        else words("Nothing was booked by the last of these days.", Look(size=SMALL))
    )
    # Above the table: below it they would stand alone on a page that the table just doesn't reach.
    said = [words(text, Look(size=SMALL, below=2)) for text in (sheet.lead, *sheet.notes)]
    return [*over_table(sheet.title), *said, shown]


def _row(row: Row) -> tuple[str, ...]:
    return (
        row.name,
        *("" if figure is None else dollars(figure.cents) for figure in row.figures),
    )


def _notes(printed: Printed) -> list[Flowable]:
    """Return the policies by which the statements are made."""
    notes = (
        (
            "Basis: accrual. Gifts count when they are promised without a condition; a gift with a"
            " condition is a refundable advance until it is met (ASC 958-605-25-5A)."
        ),
        (
            "Restrictions: a gift for a purpose is income with restriction also when it is spent in"
            " the same year; the release is booked in the entry of the spend (ASC 958-605-45)."
        ),
        "Things that last: the restriction ends when the thing is placed in service (ASU 2016-14).",
        (
            "Gifts in kind: at fair value on arrival, an expense when they are used (ASU 2020-07)."
            " Work counts only where it needs a skill that the program would have paid for"
            " (ASC 958-605-25-16)."
        ),
        (
            "Functions: each expense stands in the class of its account, unless its transfer names"
            " another; nothing is spread by formula (ASC 958-720-45)."
        ),
        f"The board keeps {usd(printed.reserve)} as a reserve; it may change that at any time.",
        "The rules named here were read in digests and extracts, not all in the codification.",
    )
    return [heading("Notes"), *(words(note, Look(size=SMALL, below=2)) for note in notes)]
