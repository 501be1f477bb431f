"""The sheets that an import may hold, and their templates.

>>> list(SHEETS)[:4]
['program', 'people', 'hours', 'bays']
>>> template(SHEETS["hours"]).splitlines()[0]
'ref,person,week,hours,shifts'

The columns stand in `fixtures/catalogue/import_columns.csv`, so that the page that explains them,
the templates and the check read the same list.
"""

from __future__ import annotations

import csv
import io
from collections import defaultdict
from pathlib import Path
from types import MappingProxyType
from typing import TYPE_CHECKING, Final

from program.importing.columns import Column, Sheet

if TYPE_CHECKING:
    from collections.abc import Mapping

COLUMNS_FILE: Final = (
    Path(__file__).resolve().parents[2] / "fixtures" / "catalogue" / "import_columns.csv"
)

#: Every sheet with what one row of it is, in the order in which they are read: a row only names
#: rows of its own sheet or of sheets before it. Findings and readings may name each other.
ABOUT: Final[Mapping[str, str]] = MappingProxyType(
    {
        "program": "The charity itself: one row.",
        "people": "Somebody who repairs, paid or not.",
        "hours": "What one person has signed up for in one week.",
        "bays": "A place where one car is worked on.",
        "spaces": "A place on the lot where one car can stand.",
        "equipment": "A lift, jack, stand or wrench with its next inspection.",
        "households": "A family that is helped, and how to reach it safely.",
        "vehicles": "A car.",
        "owners": "Somebody whom a paper names as owner or lienholder of a vehicle.",
        "cases": "A household and a vehicle, with the stay of the car.",
        "consents": "An owner's signed yes to one act on one stay.",
        "papers": "What was asked about one stay: whose the car is, and what stands against it.",
        "keys": "The keys of one stay under one tag.",
        "contents": "A thing that lay in the car.",
        "inspections": "Going through a car once: a look, the full sheet, or the final one.",
        "local_limits": "A limit that the program sets over the catalogue's, from a day on.",
        "readings": "What was measured or seen for one criterion. The class is judged on import.",
        "not_read": "Why one criterion could not be read at one place.",
        "findings": "A fault that was diagnosed. What a reading shows is no row here.",
        "diagnoses": "The search for what causes one complaint of one stay.",
        "observations": "What one check of a diagnosis showed, or why it could not be done.",
        "conclusions": "A fault that somebody signed for. Its probability is computed on import.",
        "held": "Whether the repair after a diagnosis held.",
        "trouble_codes": "One reading of the trouble codes of a car.",
        "fluid_demands": "What the maker of a car says of one fluid.",
        "fluid_readings": "A level of one fluid as it was read, and what was poured in then.",
        "repair_items": "One job on one car.",
        "parts": "A part that a repair item lacks; an item may have several rows.",
        "sponsors": "A firm, club or person that gives.",
        "pledges": "What a sponsor intends to give, or gave and lies on the shelf.",
        "funds": "Money given for a purpose, and what it may pay.",
        "opening_balances": "What a fund held on an account on the first day.",
        "ledger_entries": "One transfer; rows with the same entry are one event.",
        "budget_lines": "What is meant to come in or go out in one year, as a sum or by month.",
    }
)


def _read() -> Mapping[str, Sheet]:
    columns: defaultdict[str, list[Column]] = defaultdict(list)
    with COLUMNS_FILE.open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file):
            columns[row["sheet"]].append(
                Column.parse(
                    row["column"],
                    row["kind"],
                    required=row["required"] == "yes",
                    example=row["example"],
                    means=row["help"],
                )
            )
    return MappingProxyType(
        {
            name: Sheet(name=name, about=about, columns=tuple(columns[name]))
            for name, about in ABOUT.items()
        }
    )


SHEETS: Final[Mapping[str, Sheet]] = _read()


def template(sheet: Sheet, *, example: bool = True) -> str:
    """Return the sheet's file with its header, and one example row unless told otherwise.

    The example rows of all sheets together are an import without a fault.
    """
    text = io.StringIO(newline="")
    rows = csv.writer(text, lineterminator="\r\n")
    rows.writerow(sheet.names)
    if example:
        rows.writerow(column.example for column in sheet.columns)
    return text.getvalue()
