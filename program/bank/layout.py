"""Which column of a bank's file holds what: guessed the first time, then remembered.

>>> table = Table(headings=("Day", "Text", "Amount"), rows=(Row(number=2,
...     cells=("2026-10-02", "Rent", "-700.00")),))
>>> found = guess(table)
>>> [str(found.columns[name]) for name in table.headings], str(found.days)
(['day', 'words', 'amount'], 'ymd')
>>> [str(problem.sentence) for problem in check(Layout(columns={"Day": Hold.DAY}))]
['Say which column holds the amount, or which hold money in and money out.']
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING, Final

from program.bank.values import (
    DayOrder,
    fits_day,
    fits_side,
    fitting,
    read_cents,
    read_day,
    read_side,
)
from shared.problems import Problem
from shared.say import say

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from shared.say import Say


class Hold(StrEnum):
    """What a column holds. `SIDE` is a word such as debit beside an amount without a sign."""

    NOTHING = "nothing"
    DAY = "day"
    AMOUNT = "amount"
    IN = "in"
    OUT = "out"
    SIDE = "side"
    WORDS = "words"
    REFERENCE = "reference"
    BALANCE = "balance"


@dataclass(frozen=True, kw_only=True)
class Layout:
    """What each column holds, by its heading, and how a day is written."""

    columns: Mapping[str, Hold]
    days: DayOrder = DayOrder.YEAR_FIRST
    flipped: bool = False  # money in is negative, as in the bank's own books

    def having(self, hold: Hold) -> list[str]:
        """Return the headings of the columns that hold this."""
        return [name for name, held in self.columns.items() if held == hold]


@dataclass(frozen=True, kw_only=True)
class Row:
    """One row of a file, numbered as a spreadsheet shows it."""

    number: int
    cells: tuple[str, ...]


@dataclass(frozen=True, kw_only=True)
class Table:
    """A file's headings, each named once, and the rows below them."""

    headings: tuple[str, ...]
    rows: tuple[Row, ...]
    heading_row: int = 1

    def column(self, heading: str) -> list[str]:
        """Return what stands under a heading, empty cells left out."""
        at = self.headings.index(heading)
        cells = (row.cells[at] for row in self.rows if at < len(row.cells))
        return [cell for cell in cells if cell]


#: Words of the trade that a heading may hold, the more telling first; common practice, no source.
TELLING: Final = (
    (Hold.BALANCE, ("balance",)),
    (Hold.DAY, ("date", "day", "posted", "posting")),
    (Hold.REFERENCE, ("reference", "ref", "check", "number", "no", "id")),
    (Hold.IN, ("in", "credit", "credits", "deposit", "deposits", "received")),
    (Hold.OUT, ("out", "debit", "debits", "withdrawal", "withdrawals", "paid")),
    (Hold.AMOUNT, ("amount", "sum", "value")),
    (Hold.SIDE, ("type", "side", "sign", "dr", "cr")),
    (
        Hold.WORDS,
        ("description", "words", "text", "memo", "details", "payee", "name", "particulars"),
    ),
)
#: What may stand in more than one column.
MANY: Final = frozenset({Hold.WORDS, Hold.NOTHING})
SAMPLE: Final = 50  # rows that a guess looks at
MONEY: Final = frozenset({Hold.AMOUNT, Hold.IN, Hold.OUT, Hold.BALANCE})


def guess(table: Table) -> Layout:
    """Return the likeliest layout of a file, from its headings and what stands below them.

    A column is only taken for what its cells can be read as, and one whose heading tells what it
    holds for what most of them can: the others are faults. A person confirms the guess.
    """
    sample = Table(headings=table.headings, rows=table.rows[:SAMPLE])
    days = _order(sample)
    columns: dict[str, Hold] = {}
    for heading in sample.headings:
        cells = sample.column(heading)
        hold = _hold(heading, cells, days)
        taken = hold not in MANY and hold in columns.values()
        columns[heading] = Hold.NOTHING if taken else hold
    return Layout(columns=_without_amount(columns), days=days)


def _order(sample: Table) -> DayOrder:
    """Return the order in which most cells of some column are days; the first of equals."""
    columns = [sample.column(heading) for heading in sample.headings]

    def days(order: DayOrder) -> int:
        return max(fitting(cells, lambda text: read_day(text, order)) for cells in columns)

    return max(DayOrder, key=days)


def _hold(heading: str, cells: list[str], days: DayOrder) -> Hold:
    words = {word.strip(".:#()$") for word in heading.lower().replace("/", " ").split()}
    told = next((hold for hold, names in TELLING if words & set(names)), None)
    if told is not None and (not cells or _can_be(told, cells, days)):
        return told
    if fits_day(cells, days):
        return Hold.DAY
    if fits_side(cells):
        return Hold.SIDE
    if any(character.isalpha() for cell in cells for character in cell):
        return Hold.WORDS
    return Hold.NOTHING


def _can_be(hold: Hold, cells: Sequence[str], days: DayOrder) -> bool:
    """Return whether most cells can be read as what a heading says."""
    readers: dict[Hold, Callable[[str], object]] = {
        **dict.fromkeys(MONEY, read_cents),
        Hold.DAY: lambda text: read_day(text, days),
        Hold.SIDE: read_side,
    }
    return hold not in readers or 2 * fitting(cells, readers[hold]) > len(cells)


def _without_amount(columns: dict[str, Hold]) -> dict[str, Hold]:
    """Return the columns; a signed amount needs no columns in and out, and no word without one."""
    held = set(columns.values())
    if {Hold.IN, Hold.OUT} <= held:
        spare = {Hold.AMOUNT, Hold.SIDE}
    elif Hold.AMOUNT in held:
        spare = {Hold.IN, Hold.OUT}
    else:
        spare = {Hold.SIDE}
    return {name: Hold.NOTHING if hold in spare else hold for name, hold in columns.items()}


def check(layout: Layout) -> list[Problem]:
    """Return what a layout lacks or holds twice, before a file is read by it."""
    count = Counter(layout.columns.values())
    sentences: list[Say] = []
    if not count[Hold.DAY]:
        sentences.append(say("Say which column holds the day."))
    if not count[Hold.AMOUNT] and not (count[Hold.IN] and count[Hold.OUT]):
        sentences.append(
            say("Say which column holds the amount, or which hold money in and money out.")
        )
    if count[Hold.AMOUNT] and (count[Hold.IN] or count[Hold.OUT]):
        sentences.append(say("Choose one amount, or money in and money out, not both."))
    sentences += [
        say("Two columns are said to hold the {what}.", what=NAMES[hold])
        for hold in Hold
        if hold not in MANY and count[hold] > 1
    ]
    return [Problem(sentence) for sentence in sentences]


#: What a person calls it.
NAMES: Final = {
    Hold.NOTHING: say("nothing that is needed"),
    Hold.DAY: say("day"),
    Hold.AMOUNT: say("amount"),
    Hold.IN: say("money in"),
    Hold.OUT: say("money out"),
    Hold.SIDE: say("word for in or out"),
    Hold.WORDS: say("words"),
    Hold.REFERENCE: say("reference or check number"),
    Hold.BALANCE: say("balance after the line"),
}
