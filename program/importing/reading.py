r"""The bytes of one sheet become rows, whatever spreadsheet wrote them.

UTF-8 with or without its mark, commas or semicolons, any line ends, line breaks inside quotes. Rows
are numbered as a spreadsheet shows them: the header is row 1, and an empty row counts.

>>> text = b"\xef\xbb\xbfref;name;has_lift\r\n\r\nb1;Bay 1;yes\r\n"
>>> rows, faults = read_sheet(SHEETS["bays"], text)
>>> rows[0].number, rows[0].values["has_lift"], faults
(3, True, [])
"""

from __future__ import annotations

import csv
import io
from itertools import zip_longest
from typing import TYPE_CHECKING, Any, Final

from program.importing.columns import REF
from program.importing.rows import Fault, Row
from program.importing.sheets import SHEETS
from program.importing.values import empty, nearest, read

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from program.importing.columns import Column, Sheet

__all__ = ["SHEETS", "read_sheet"]

BYTE_ORDER_MARKS: Final = (b"\xff\xfe", b"\xfe\xff")
SHOWN: Final = 80  # a longer cell is cut where a fault shows it


def read_sheet(sheet: Sheet, content: bytes) -> tuple[list[Row], list[Fault]]:
    """Return the rows of a sheet, empty ones left out, and every fault of a cell or of the header.

    A row with a faulty cell is returned too, so that rows which name it are judged by themselves.
    """
    try:
        text = _decoded(content)
        lines = list(csv.reader(io.StringIO(text, newline=""), _dialect(text), strict=True))
    except UnicodeDecodeError as error:
        number = _rows_before(content[: error.start])
        return [], [
            Fault(
                sheet=sheet.name,
                row=number,
                value=repr(content[error.start : error.start + 1])[2:-1],
                sentence=f"Row {number} holds a character that is not written in UTF-8.",
                remedy="Save the sheet as “CSV UTF-8”.",
            )
        ]
    except csv.Error as error:
        return [], [_broken_csv(sheet, text, error)]
    if not lines:
        return [], [
            Fault(
                sheet=sheet.name,
                sentence="The sheet is empty; it has no row of column names.",
                remedy=f"Begin it with: {', '.join(sheet.names)}.",
            )
        ]
    return _read_lines(sheet, lines)


def _decoded(content: bytes) -> str:
    """Return the text. UTF-16, which some spreadsheets write as “Unicode text”, is refused too."""
    if content.startswith(BYTE_ORDER_MARKS):
        raise UnicodeDecodeError("utf-8", content, 0, 1, "another encoding")
    return content.decode("utf-8-sig")


class _Commas(csv.excel):
    delimiter = ","


class _Semicolons(csv.excel):
    delimiter = ";"


def _dialect(text: str) -> type[csv.excel]:
    header = text.lstrip("\r\n").splitlines()[:1] or [""]
    return _Semicolons if header[0].count(";") > header[0].count(",") else _Commas


def _rows_before(content: bytes) -> int:
    """Return the number of the row in which a text breaks off."""
    text = content.decode("utf-8", errors="replace")
    lines = list(csv.reader(io.StringIO(text, newline=""), _dialect(text)))
    return max(len(lines) + (not text or text.endswith(("\n", "\r"))), 1)


def _broken_csv(sheet: Sheet, text: str, error: csv.Error) -> Fault:
    reader = csv.reader(io.StringIO(text, newline=""), _dialect(text), strict=True)
    number = 1
    try:
        for _line in reader:
            number += 1
    except csv.Error:
        return Fault(
            sheet=sheet.name,
            row=number,
            sentence=f"Row {number} can't be read as CSV: {error}.",
            remedy="Look for a quotation mark that is not closed, or save the sheet again.",
        )
    raise error


def _read_lines(sheet: Sheet, lines: Sequence[Sequence[str]]) -> tuple[list[Row], list[Fault]]:
    start = next((n for n, line in enumerate(lines) if any(cell.strip() for cell in line)), 0)
    header = [_name(cell) for cell in lines[start]]
    faults = _header_faults(sheet, header, start + 1)
    columns = {column.name: column for column in sheet.columns}
    rows = []
    for number, line in enumerate(lines[start + 1 :], start=start + 2):
        if any(cell.strip() for cell in line):
            cells = {name: cell for name, cell in zip_longest(header, line, fillvalue="") if name}
            faults += _surplus(sheet, header, line, number)
            row, found = _row(sheet, columns, cells, number)
            faults += found
            rows.append(row)
    return rows, faults


def _name(cell: str) -> str:
    return "_".join(cell.lower().split())


def _header_faults(sheet: Sheet, header: Sequence[str], number: int) -> list[Fault]:
    """Return a fault for each column that is not known, stands twice, or is missing."""
    faults = []
    for name in dict.fromkeys(name for name in header if name):
        if name not in sheet.names:
            sentence = f"The sheet {sheet.name} has no column “{name}”.{nearest(name, sheet.names)}"
            remedy = "Rename the column, or take it out."
        elif header.count(name) > 1:
            sentence, remedy = f"The column “{name}” stands there twice.", "Take one of them out."
        else:
            continue
        faults.append(
            Fault(sheet=sheet.name, row=number, column=name, sentence=sentence, remedy=remedy)
        )
    return faults + [
        Fault(
            sheet=sheet.name,
            row=number,
            column=column.name,
            sentence=f"The column “{column.name}” is missing.",
            remedy=f"Add it: {column.means} It takes {column.allowed}.",
        )
        for column in sheet.columns
        if column.required and column.name not in header
    ]


def _surplus(sheet: Sheet, header: Sequence[str], line: Sequence[str], number: int) -> list[Fault]:
    """Return a fault where a row holds something under no column name."""
    nameless = [
        cell for name, cell in zip_longest(header, line, fillvalue="") if not name and cell.strip()
    ]
    if not nameless:
        return []
    return [
        Fault(
            sheet=sheet.name,
            row=number,
            value=nameless[0][:SHOWN],
            sentence="This cell stands under no column name.",
            remedy="Give the column a name, or empty the cell; a comma inside a text needs quotes.",
        )
    ]


def _row(
    sheet: Sheet, columns: Mapping[str, Column], cells: Mapping[str, str], number: int
) -> tuple[Row, list[Fault]]:
    values: dict[str, Any] = {}
    sentences: dict[str, str] = {}
    for name, column in columns.items():
        typed = cells.get(name, "")
        values[name] = empty(column)
        try:
            values[name] = read(column, typed)
        except ValueError as error:
            sentences[name] = str(error)
        if column.required and name in cells and not typed.strip():
            sentences[name] = f"The cell “{name}” is empty."
    row = Row(
        sheet=sheet.name,
        number=number,
        ref=values.pop(REF),
        values=values,
        typed={name: cell.strip()[:SHOWN] for name, cell in cells.items()},
        broken=frozenset(sentences)
        | {name for name, column in columns.items() if column.required and name not in cells},
    )
    return row, [
        row.fault(name, sentence, _remedy(columns[name])) for name, sentence in sentences.items()
    ]


def _remedy(column: Column) -> str:
    return f"Type {column.allowed}."
