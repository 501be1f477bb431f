"""A statement as rows of figures: the one shape that page, PDF and CSV are made from.

>>> row = line("Grants", [Figure(cents=500, account="4030")], code="4030")
>>> row.look, row.figures[0].cents
(<Look.PLAIN: ''>, 500)
>>> over("Revenue", 2).figures
(None, None)
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING

from program.ledger.csv_text import amount, csv_text

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import date

    from program.statements.statements import Books


class Look(StrEnum):
    """How a row stands: a plain one, a heading over others, or their sum."""

    PLAIN = ""
    GROUP = "grp"
    SUM = "tot"


@dataclass(frozen=True, kw_only=True)
class Figure:
    """Cents, and which transfers of the journal they come from: all that is named here.

    `since` is empty for a balance. `plain` figures come from no transfers that one list can show.
    """

    cents: int
    account: str = ""
    fund: str = ""
    function: str = ""
    case: str = ""
    since: date | None = None
    until: date | None = None
    plain: bool = False


@dataclass(frozen=True, kw_only=True)
class Row:
    """One line of a statement; a figure that the line doesn't have is None."""

    label: str
    figures: tuple[Figure | None, ...]
    code: str = ""
    look: Look = Look.PLAIN

    @property
    def name(self) -> str:
        """The line as a person reads it, with its account's code."""
        return f"{self.code} {self.label}".strip()


@dataclass(frozen=True, kw_only=True)
class Sheet:
    """One statement.

    `lead` says what it is, `sum` what it comes to, `notes` what a reader has to know beside it.
    The lines of one that grows without end are shown in pages: `below` of its last rows, which are
    over all lines, stand under each page. Papers and sheets hold all of it.
    """

    name: str
    title: str
    lead: str
    sum: str
    first: str
    columns: tuple[str, ...]
    rows: tuple[Row, ...]
    notes: tuple[str, ...] = ()
    below: int = 0


def line(label: str, figures: Sequence[Figure | None], code: str = "") -> Row:
    """Return a plain row."""
    return Row(label=label, figures=tuple(figures), code=code)


def over(label: str, columns: int) -> Row:
    """Return the heading over some rows."""
    return Row(label=label, figures=(None,) * columns, look=Look.GROUP)


def summed(label: str, cents: Sequence[int | None]) -> Row:
    """Return the sum of the rows above it."""
    figures = tuple(None if one is None else Figure(cents=one, plain=True) for one in cents)
    return Row(label=label, figures=figures, look=Look.SUM)


def plain(cents: int) -> Figure:
    """Return a figure that no one list of transfers shows."""
    return Figure(cents=cents, plain=True)


def held(books: Books, cents: int, *, account: str = "", fund: str = "") -> Figure:
    """Return a balance at the end of the span, with all the transfers that made it."""
    if not account and not fund:
        return plain(cents)
    return Figure(cents=cents, account=account, fund=fund, until=books.until_on)


def moved(
    books: Books,
    cents: int,
    *,
    account: str = "",
    fund: str = "",
    function: str = "",
    case: str = "",
) -> Figure:
    """Return what the span changed, with its transfers."""
    return Figure(
        cents=cents,
        account=account,
        fund=fund,
        function=function,
        case=case,
        since=books.from_on,
        until=books.until_on,
    )


def capital(name: str) -> str:
    """Return a fund's name as it opens a line; inside a sentence it stands as it is."""
    return name[:1].upper() + name[1:]


def as_csv(sheet: Sheet) -> str:
    """Return a statement as CSV, amounts as plain decimals."""
    rows = [
        [row.code, row.label, *(None if one is None else amount(one.cents) for one in row.figures)]
        for row in sheet.rows
    ]
    return csv_text(["Code", sheet.first, *sheet.columns], rows)
