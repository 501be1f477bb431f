"""The reconciliation of one account at one day, on one page."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from reportlab.lib.pagesizes import letter

from shared.dates import full_date
from shared.documents.grid import Column, table
from shared.documents.pdf import Paper, build, letterhead
from shared.documents.pieces import Boxed, Look, heading, over_table, words
from shared.money import dollars

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Sequence

    from reportlab.platypus import Flowable

    from program.bank.reconciling import Item, Reconciliation

SIZE = 9.5
DAY, AMOUNT = 86, 80


@dataclass(frozen=True, kw_only=True)
class Sheet:
    """What stands on the paper. `finished` says who finished it and when, empty while open."""

    garage: str
    account: str
    number: str
    made_on: dt.date
    found: Reconciliation
    finished: str = ""
    note: str = ""


def reconciliation_paper(sheet: Sheet) -> bytes:
    """Return the reconciliation as a PDF of letter size; the same sheet gives the same bytes."""
    paper = Paper(
        garage=sheet.garage,
        title=f"Bank reconciliation, {sheet.account}",
        number=sheet.number,
        day=sheet.made_on,
        size=letter,
    )
    return build(paper, lambda: _story(sheet, paper))


def _story(sheet: Sheet, paper: Paper) -> list[Flowable]:
    found, facts = sheet.found, sheet.found.facts
    return [
        *letterhead(paper, f"At the end of {full_date(facts.on)}."),
        Boxed([words(str(found.verdict), Look(size=11, bold=True))]),
        *_side(
            paper,
            "The bank",
            (
                ("Balance of the bank’s statement", facts.bank_cents, None),
                ("Deposits in transit", None, found.deposits),
                ("Checks and payments outstanding", None, found.checks),
                ("Adjusted balance of the bank", found.adjusted_bank, None),
            ),
        ),
        *_side(
            paper,
            "The books",
            (
                ("Balance of the books", facts.book_cents, None),
                ("On the statement, without an entry yet", None, facts.unbooked),
                ("On the statement, booked on a later day", None, facts.late),
                ("Adjusted balance of the books", found.adjusted_book, None),
            ),
        ),
        *_end(sheet),
    ]


def _side(
    paper: Paper, title: str, parts: Sequence[tuple[str, int | None, Sequence[Item] | None]]
) -> list[Flowable]:
    rows: list[tuple[str, ...]] = []
    strong = set()
    for name, cents, listed in parts:
        total = cents or sum(item.cents for item in listed or ())
        strong.add(len(rows))
        rows.append((name, "", "", dollars(total) if total or listed is None else "–"))
        rows += [(item.what, _day(item.on), dollars(item.cents), "") for item in listed or ()]
    columns = [
        Column(head="", width=paper.width - DAY - 2 * AMOUNT),
        Column(head="Day", width=DAY),
        Column(head="Each", width=AMOUNT, right=True),
        Column(head="US dollars", width=AMOUNT, right=True, bold=True),
    ]
    return [*over_table(title), table(columns, rows, size=SIZE, strong=strong)]


def _day(on: dt.date) -> str:
    return f"{on:%b} {on.day}, {on.year}"


def _end(sheet: Sheet) -> list[Flowable]:
    found = sheet.found
    lines = [f"Difference: {dollars(found.differs)}."]
    lines += [str(hint) for hint in found.hints]
    if found.stale:
        lines.append(f"{len(found.stale)} outstanding for more than 90 days.")
    if sheet.note:
        lines.append(f"Note: {sheet.note}")
    lines.append(sheet.finished or "Not finished yet.")
    return [heading("How it stands"), *(words(line, Look(size=SIZE)) for line in lines)]
