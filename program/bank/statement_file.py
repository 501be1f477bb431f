r"""The bytes of a bank's file become lines in whole cents, whatever program wrote them.

UTF-8 with or without its mark or Windows-1252; commas, semicolons or tabs; the row of headings
may stand below other rows. Rows are numbered as a spreadsheet shows them.

>>> table = read_table(b"Osier Street\r\n\r\nDay;Words;Amount\r\n2026-10-30;Fee;(15.00)\r\n")
>>> table.heading_row, table.headings
(3, ('Day', 'Words', 'Amount'))
>>> from program.bank.layout import guess
>>> [(line.row, line.cents, line.words) for line in read_lines(table, guess(table)).lines]
[(4, -1500, 'Fee')]
"""

from __future__ import annotations

import csv
import io
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from program.bank.layout import Hold, Row, Table
from program.bank.values import Side, read_cents, read_day, read_side, shown
from shared.problems import Problem
from shared.say import say

if TYPE_CHECKING:
    from collections.abc import Sequence
    from datetime import date

    from program.bank.layout import Layout

MOST_BYTES: Final = 2 * 1024 * 1024
MOST_ROWS: Final = 5_000
MOST_COLUMNS: Final = 40
MOST_FAULTS: Final = 20
MOST_WORDS: Final = 200
MOST_REFERENCE: Final = 60
HEADING_ROWS: Final = 30  # rows that are looked at for the headings
LEAST_HEADINGS: Final = 2

#: How files of other kinds begin.
OTHER_KINDS: Final = (
    (b"PK\x03\x04", "a spreadsheet or an archive"),
    (b"%PDF", "a PDF"),
    (b"\xd0\xcf\x11\xe0", "an old spreadsheet"),
    (b"\xff\xfe", "text in UTF-16"),
    (b"\xfe\xff", "text in UTF-16"),
)


@dataclass(frozen=True, kw_only=True)
class FileLine:
    """One line of a file, money in above zero. `balance` is what the account held after it."""

    row: int
    on: date
    cents: int
    words: str = ""
    reference: str = ""
    balance: int | None = None


@dataclass(frozen=True, kw_only=True)
class Reading:
    """The lines in the file's order, what is wrong, and how many rows moved no money."""

    lines: tuple[FileLine, ...]
    faults: tuple[Problem, ...] = ()
    left_out: int = 0


def read_table(content: bytes) -> Table:
    """Return the headings of a file and the rows below them, empty rows left out.

    Raises:
        ValueError: the file is empty, too large, of another kind, broken off, or has no headings.
    """
    text = _decoded(content)
    rows = _rows(text)
    at = _heading(rows)
    headings = _named(rows[at].cells)
    below = tuple(row for row in rows[at + 1 :] if any(row.cells))
    if not below:
        raise ValueError("The file has headings and no line below them.")
    return Table(headings=headings, rows=below, heading_row=rows[at].number)


def _decoded(content: bytes) -> str:
    if not content.strip():
        raise ValueError("The file is empty.")
    if len(content) > MOST_BYTES:
        raise ValueError(
            f"The file has {len(content) / 1024 / 1024:.1f} MB; {MOST_BYTES // 1024 // 1024} MB"
            " is the most. Ask the bank for fewer days."
        )
    for start, kind in OTHER_KINDS:
        if content.startswith(start):
            raise ValueError(f"The file is {kind}, not CSV. Save or ask for it as CSV.")
    if b"\x00" in content:
        raise ValueError("The file is not text. Ask the bank for CSV.")
    for encoding in ("utf-8-sig", "cp1252"):
        try:
            return content.decode(encoding)
        except UnicodeDecodeError:
            continue
    raise ValueError("The file is written in neither UTF-8 nor Windows-1252. Save it as CSV UTF-8.")


def _rows(text: str) -> list[Row]:
    """Return every row with its number, cells without the space around them."""
    found: list[Row] = []
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=_delimiter(text), strict=True)
    try:
        for number, cells in enumerate(reader, start=1):
            if number > MOST_ROWS + HEADING_ROWS:
                raise ValueError(
                    f"The file has more than {MOST_ROWS:,} lines. Ask the bank for fewer days."
                )
            if len(cells) > MOST_COLUMNS:
                raise ValueError(
                    f"Row {number} has {len(cells)} columns; {MOST_COLUMNS} are the most."
                )
            found.append(Row(number=number, cells=tuple(cell.strip() for cell in cells)))
    except csv.Error as error:
        raise ValueError(
            f"Row {len(found) + 1} can’t be read: a quotation mark is not closed, or the file was"
            " cut off. Fetch it once more."
        ) from error
    return found


def _delimiter(text: str) -> str:
    """Return what parts the cells: what most rows hold equally often; a comma when none does."""
    lines = [line for line in text.splitlines()[:HEADING_ROWS] if line.strip()]
    return max(",;\t", key=lambda mark: (sum(mark in line for line in lines), mark == ","))


def _heading(rows: Sequence[Row]) -> int:
    """Return which row holds the headings: the first as wide as the rows below, all of it words."""
    first = rows[: HEADING_ROWS + 1]
    widest = max((sum(map(bool, row.cells)) for row in rows), default=0)
    for at, row in enumerate(first[:HEADING_ROWS]):
        filled = [cell for cell in row.cells if cell]
        wide = len(filled) >= max(LEAST_HEADINGS, (widest + 1) // 2)
        if wide and not any(_is_figure(cell) for cell in filled):
            return at
    raise ValueError(
        f"No row of headings is in the first {HEADING_ROWS} rows, such as day, words, amount."
        " It may be another kind of file."
    )


def _is_figure(cell: str) -> bool:
    return not any(character.isalpha() for character in cell)


def _named(cells: Sequence[str]) -> tuple[str, ...]:
    """Return the headings, each once: an empty one gets its place, a second one its count."""
    found: list[str] = []
    for place, cell in enumerate(cells, start=1):
        name = " ".join(cell.split())[:60] or f"Column {place}"
        same = sum(1 for other in found if other == name or other.startswith(f"{name} ("))
        found.append(f"{name} ({same + 1})" if same else name)
    return tuple(found)


def lacking(table: Table, layout: Layout) -> list[str]:
    """Return the headings that a layout reads and this file doesn't have."""
    needed = (name for name, hold in layout.columns.items() if hold != Hold.NOTHING)
    return [name for name in needed if name not in table.headings]


def read_lines(table: Table, layout: Layout) -> Reading:
    """Return the lines of a file by a layout; a fault names its row and column.

    A row that moves no money is left out and counted. Of many faults the first are returned.
    """
    lines: list[FileLine] = []
    faults: list[Problem] = []
    left_out = 0
    for row in table.rows:
        cells = _cells(table, layout, row)
        if not any(cells[hold] for hold in cells if hold not in (Hold.WORDS, Hold.REFERENCE)):
            left_out += 1
            continue
        try:
            line = _line(cells, layout, row.number)
        except _CellError as error:
            faults.append(_fault(row, layout, error))
            continue
        if line.cents:
            lines.append(line)
        else:
            left_out += 1
    return Reading(lines=tuple(lines), faults=tuple(faults[:MOST_FAULTS]), left_out=left_out)


class _CellError(ValueError):
    """A cell can't be read; it says what the cell holds."""

    def __init__(self, hold: Hold, sentence: str) -> None:
        super().__init__(sentence)
        self.hold = hold


def _cells(table: Table, layout: Layout, row: Row) -> dict[Hold, str]:
    """Return what a row holds; several columns of words are joined."""
    found = dict.fromkeys(Hold, "")
    for heading, cell in zip(table.headings, row.cells, strict=False):
        hold = layout.columns.get(heading, Hold.NOTHING)
        if hold != Hold.NOTHING:
            found[hold] = f"{found[hold]} {cell}".strip()
    return found


def _line(cells: dict[Hold, str], layout: Layout, number: int) -> FileLine:
    return FileLine(
        row=number,
        on=_day(cells[Hold.DAY], layout),
        cents=_cents(cells, layout),
        words=" ".join(cells[Hold.WORDS].split())[:MOST_WORDS],
        reference=" ".join(cells[Hold.REFERENCE].split())[:MOST_REFERENCE],
        balance=_money(cells, Hold.BALANCE) if cells[Hold.BALANCE] else None,
    )


def _day(text: str, layout: Layout) -> date:
    if not text:
        raise _CellError(Hold.DAY, "The day is missing; the file may have been cut off.")
    try:
        return read_day(text, layout.days)
    except ValueError as error:
        raise _CellError(Hold.DAY, str(error)) from error


def _money(cells: dict[Hold, str], hold: Hold) -> int:
    try:
        return read_cents(cells[hold])
    except ValueError as error:
        raise _CellError(hold, str(error)) from error


def _cents(cells: dict[Hold, str], layout: Layout) -> int:
    """Return the cents of a line, money in above zero."""
    if layout.having(Hold.AMOUNT):
        return _one_amount(cells, layout)
    both = [hold for hold in (Hold.IN, Hold.OUT) if cells[hold]]
    if not both:
        raise _CellError(Hold.IN, "No amount stands here; the file may have been cut off.")
    came, went = (_money(cells, hold) if cells[hold] else 0 for hold in (Hold.IN, Hold.OUT))
    if came and went:
        raise _CellError(Hold.OUT, "Money in and money out stand in one row.")
    # Some files write money out with its minus, some without.
    return came - abs(went)


def _one_amount(cells: dict[Hold, str], layout: Layout) -> int:
    if not cells[Hold.AMOUNT]:
        raise _CellError(Hold.AMOUNT, "The amount is missing; the file may have been cut off.")
    cents = _money(cells, Hold.AMOUNT)
    if layout.having(Hold.SIDE):
        try:
            side = read_side(cells[Hold.SIDE])
        except ValueError as error:
            raise _CellError(Hold.SIDE, str(error)) from error
        cents = -abs(cents) if side == Side.OUT else abs(cents)
    return -cents if layout.flipped else cents


def _fault(row: Row, layout: Layout, error: _CellError) -> Problem:
    column = next(iter(layout.having(error.hold)), "")
    return Problem(
        say("Row {row}, {column}: {why}", row=row.number, column=shown(column), why=str(error))
    )


def in_order(lines: Sequence[FileLine]) -> list[FileLine]:
    """Return the lines oldest first; a file that is written newest first is turned around."""
    turned = bool(lines) and lines[0].on > lines[-1].on
    return sorted(reversed(lines) if turned else lines, key=lambda line: line.on)


def ends(lines: Sequence[FileLine]) -> tuple[int, int] | None:
    """Return the balance before the first line and after the last; None where they don't chain.

    >>> from datetime import date
    >>> ends([FileLine(row=2, on=date(2026, 10, 1), cents=500, balance=1500)])
    (1000, 1500)
    """
    for chain in (list(lines), list(reversed(lines)), in_order(lines)):
        held = [line.balance for line in chain]
        if not held or None in held:
            return None
        after = [balance for balance in held if balance is not None]
        before = [balance - line.cents for balance, line in zip(after, chain, strict=True)]
        if before[1:] == after[:-1]:
            return before[0], after[-1]
    return None
