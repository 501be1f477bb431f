r"""Rows as CSV that any spreadsheet opens and takes no cell of it for a formula.

Text that would start a formula gets an apostrophe before it; numbers stay numbers.

>>> csv_text(["What", "Amount"], [["=1+1", amount(-1250)]])
"What,Amount\r\n'=1+1,-12.50\r\n"
>>> unguarded("'=1+1"), unguarded("'tis")
('=1+1', "'tis")
"""

from __future__ import annotations

import csv
import datetime as dt
import re
from decimal import Decimal
from io import StringIO
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable

Cell = str | int | Decimal | dt.date | None

# Source: the OWASP page on CSV injection names these first characters (from memory).
_FORMULA = re.compile(r"'*[=+\-@\t\r\n]")
_NUMBER = re.compile(r"-?\d+(\.\d+)?", re.ASCII)


def csv_text(headings: Iterable[str], rows: Iterable[Iterable[Cell]]) -> str:
    """Return headings and rows as CSV: CRLF after each line, UTF-8 without a mark when encoded.

    A day is written as ISO 8601, None as nothing. Source: RFC 4180.
    """
    text = StringIO()
    writer = csv.writer(text, lineterminator="\r\n")
    writer.writerow([guarded(heading) for heading in headings])
    writer.writerows([guarded(cell) for cell in row] for row in rows)
    return text.getvalue()


def amount(cents: int) -> Decimal:
    """Return cents as the plain decimal that a CSV holds, such as `-12.50`."""
    return Decimal(cents).scaleb(-2)


def guarded(cell: Cell) -> str:
    """Return the cell as text, an apostrophe before what would be taken for a formula."""
    text = "" if cell is None else str(cell)
    if _FORMULA.match(text) and not _NUMBER.fullmatch(text):
        return f"'{text}"
    return text


def unguarded(text: str) -> str:
    """Return a cell's text as it was before `guarded`."""
    return text[1:] if text.startswith("'") and _FORMULA.match(text) else text
