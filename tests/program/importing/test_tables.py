from __future__ import annotations

import datetime as dt

from program.importing.models import ImportRun
from program.importing.states import ImportState
from program.importing.tables import CountTable, ProblemTable, RunTable, came_of_it

COUNT = {"new": 1_200, "known": 0, "left_out": 3}
DONE = ImportRun(
    pk=1,
    name="autumn.zip",
    state=ImportState.DONE,
    counts={"bays": COUNT},
    asked_at=dt.datetime(2026, 11, 30, tzinfo=dt.UTC),
)
PROBLEM = {
    "sheet": "pledges",
    "row": 2,
    "column": "quantity",
    "value": "=1+1",
    "sentence": "0 is not possible.",
    "remedy": "Type 1.",
    "ref": "d1",
}


def test_what_came_of_an_import_is_said_in_words() -> None:
    assert came_of_it(DONE) == "1,200 rows written"
    assert came_of_it(ImportRun(state=ImportState.DONE)) == "nothing was new"
    assert came_of_it(ImportRun(state=ImportState.REFUSED)) == "refused"


def test_the_list_of_imports_counts_problems() -> None:
    run = ImportRun(
        pk=2, name="bad.zip", state=ImportState.REFUSED, problems=[PROBLEM], asked_at=DONE.asked_at
    )
    cells = RunTable([run]).rows[0]
    assert (cells.get_cell("state"), cells.get_cell("problems")) == ("refused", "1")
    assert 'href="/import/2/"' in cells.get_cell("name")


def test_counts_are_shown_by_the_name_of_the_sheet() -> None:
    row = CountTable([{"sheet": "repair_items"} | COUNT]).rows[0]
    assert [row.get_cell(name) for name in ("sheet", "new", "known")] == [
        "Repair items",
        "1,200",
        "0",
    ]


def test_problems_are_exported_without_the_ticks() -> None:
    head, row = ProblemTable([PROBLEM]).as_values()
    assert head == ["Sheet", "Row", "Column", "Value", "What is wrong", "What to do"]
    assert row == ["pledges", 2, "quantity", "=1+1", "0 is not possible.", "Type 1."]
