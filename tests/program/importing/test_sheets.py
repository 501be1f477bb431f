from __future__ import annotations

import csv
import io

from program.importing.check import check
from program.importing.columns import REF
from program.importing.known import Facts
from program.importing.sheets import SHEETS, template
from tests.program.importing.samples import templates, told


def test_the_examples_of_all_sheets_are_an_import_without_a_fault() -> None:
    found = check(templates(), Facts())
    assert told(found) == []
    assert {name: count["new"] for name, count in found.counts.items()} == dict.fromkeys(SHEETS, 1)


def test_a_row_names_only_sheets_that_are_read_before_it() -> None:
    order = list(SHEETS)
    later = [
        (sheet.name, target)
        for sheet in SHEETS.values()
        for column in sheet.columns
        for target in column.refers
        if order.index(target) > order.index(sheet.name)
    ]
    assert later == [("readings", "findings")]


def test_each_sheet_begins_with_its_ref_and_says_what_each_column_means() -> None:
    assert {sheet.columns[0].name for sheet in SHEETS.values()} == {REF}
    mute = [c.name for sheet in SHEETS.values() for c in sheet.columns if not c.means]
    assert mute == []


def test_a_number_with_a_unit_says_it_in_the_name_of_its_column() -> None:
    units = {c.name.rpartition("_")[2] for s in SHEETS.values() for c in s.columns if "_" in c.name}
    assert {"mi", "min", "usd"} <= units


def test_a_template_is_a_header_and_an_example_as_spreadsheets_read_them() -> None:
    rows = list(csv.reader(io.StringIO(template(SHEETS["bays"]), newline="")))
    assert rows == [["ref", "name", "has_lift", "closed"], ["b1", "Bay 1", "yes", ""]]
    assert template(SHEETS["bays"], example=False) == "ref,name,has_lift,closed\r\n"
