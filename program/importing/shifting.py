r"""The demonstration's sheets, moved in time so that they are always of this week.

>>> print(shift("ref,due_on\nlift,2026-11-30\n", weeks=2), end="")
ref,due_on
lift,2026-12-14
>>> weeks_from(date(2026, 11, 30), date(2027, 1, 4))
5
"""

from __future__ import annotations

import csv
import io
import re
from datetime import date
from typing import TYPE_CHECKING, Final

from shared.dates import DAYS_A_WEEK, add_weeks

if TYPE_CHECKING:
    from pathlib import Path

_ISO_DAY: Final = re.compile(r"\d{4}-\d{2}-\d{2}")


def weeks_from(base: date, monday: date) -> int:
    """Return the whole weeks from one Monday to another."""
    return (monday - base).days // DAYS_A_WEEK


def shift(sheet: str, *, weeks: int) -> str:
    """Return a CSV sheet with every cell that is a whole ISO date moved by so many weeks."""
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    for row in csv.reader(io.StringIO(sheet)):
        writer.writerow(_moved(cell, weeks) for cell in row)
    return out.getvalue()


def write_shifted(source: Path, target: Path, *, weeks: int) -> None:
    """Write every sheet of a folder, shifted, into another folder."""
    target.mkdir(parents=True, exist_ok=True)
    for path in sorted(source.glob("*.csv")):
        text = shift(path.read_text(encoding="utf-8"), weeks=weeks)
        (target / path.name).write_text(text, encoding="utf-8")


def _moved(cell: str, weeks: int) -> str:
    if not _ISO_DAY.fullmatch(cell):
        return cell
    return add_weeks(date.fromisoformat(cell), weeks).isoformat()
