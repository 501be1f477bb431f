"""The budget report on paper, for the board."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from reportlab.platypus import CondPageBreak

from program.budget.pictures import year_picture
from program.budget.tables import named, signed
from program.budget.wording import HOW, lead, tie
from program.ledger.tables import account
from shared.dates import full_date
from shared.documents.drawn import picture
from shared.documents.grid import Column, table
from shared.documents.pdf import Paper, build, letterhead
from shared.documents.pieces import ROOM, Columns, Look, heading, over_table, words
from shared.money import dollars

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Sequence

    from reportlab.platypus import Flowable

    from program.budget.queries import Shown
    from program.budget.variance import Figures, Row

FIGURE_WIDTH = 59
SIZE = 8
HEADS = ("Budget", "To date", "Actual", "Difference", "Set aside", "Left", "Year end", "Better by")
GAP = 20


def budget_paper(shown: Shown, *, garage: str, day: dt.date) -> bytes:
    """Return the report as a PDF, landscape letter."""
    paper = Paper(
        garage=garage,
        title=f"Budget and actual, {shown.words}",
        number=shown.narrowed_to or "All funds",
        day=day,
    )
    return build(paper, lambda: _story(shown, paper))


def _story(shown: Shown, paper: Paper) -> list[Flowable]:
    report = shown.report
    return [
        *letterhead(paper, lead(report, is_over=shown.is_over)),
        *_part("Came in", report.income, report.came_in, shown, paper),
        *_part("Went out", report.expense, report.went_out, shown, paper),
        *_part("Came in less went out", (), report.net, shown, paper),
        words(_how(shown), Look(size=SIZE, gray=True, above=5)),
        *_pictures(shown, paper),
    ]


def _pictures(shown: Shown, paper: Paper) -> list[Flowable]:
    """Return income and costs month by month beside each other; nothing without a line."""
    report = shown.report
    sides = [("Came in", report.income, True), ("Went out", report.expense, False)]
    width = (paper.width - GAP) / 2
    drawn: list[tuple[float, list[Flowable]]] = []
    for title, rows, income in sides:
        if rows:
            chart = year_picture(rows, shown.year, income=income)
            # The drawing for a phone is as wide as half a page, so that its words stay readable.
            chart = replace(chart, wide=chart.narrow)
            title_of = heading(f"{title}, added up by month")
            drawn.append((width, [title_of, picture(chart, width)]))
    if not drawn:
        return []
    return [CondPageBreak(2 * ROOM), Columns(drawn, gap=GAP, tallest=paper.height)]


def _part(
    title: str, rows: Sequence[Row], total: Figures, shown: Shown, paper: Paper
) -> list[Flowable]:
    columns = [
        Column(head="Line", width=paper.width - len(HEADS) * FIGURE_WIDTH, names=True),
        *(Column(head=head, width=FIGURE_WIDTH, right=True) for head in HEADS),
    ]
    lines = [(_name(row, shown), *_figures(row)) for row in rows]
    lines.append(("Together", *_figures(total)))
    return [*over_table(title), table(columns, lines, size=SIZE, pad=1, strong={len(rows)})]


def _name(row: Row, shown: Shown) -> str:
    about = named(row, shown.funds)
    parts = [account(row.account), about, "" if row.line else "no budget line"]
    return ", ".join(part for part in parts if part)


def _figures(row: Figures) -> tuple[str, ...]:
    return (
        dollars(row.budget),
        dollars(row.to_date),
        dollars(row.actual),
        signed(row.difference),
        dollars(row.committed) if row.committed else "–",
        dollars(row.left),
        dollars(row.forecast),
        signed(row.outcome),
    )


def _how(shown: Shown) -> str:
    span = f"{full_date(shown.year.first_on)} to {full_date(shown.year.last_on)}."
    return f"{span} {HOW} {tie(shown.change, shown.net)}"
