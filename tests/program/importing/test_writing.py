from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from program.households.actions import declare_tie
from program.households.models import Household
from program.importing.batch import Batch
from program.importing.check import check
from program.importing.models import ImportedRow
from program.importing.queries import facts
from program.importing.rows import Key
from program.importing.writing import fetch_named
from shared.models import Event, Program
from tests.factories import TODAY, make_user
from tests.program.importing.samples import example, sheet, sheet_import, templates
from vehicles.models import Intake, RepairItem, Vehicle

if TYPE_CHECKING:
    from pathlib import Path

    from pytest_django import DjangoAssertNumQueries

pytestmark = pytest.mark.django_db


def test_each_row_leaves_what_it_has_become(tmp_path: Path) -> None:
    run = sheet_import(tmp_path, templates())
    row = ImportedRow.objects.get(sheet="repair_items")
    assert (row.ref, row.object_id, row.run) == ("i1", RepairItem.objects.get().pk, run)
    program = ImportedRow.objects.get(sheet="program")
    assert program.object_id == Program.objects.get().pk


def test_each_case_has_a_line_in_the_log(tmp_path: Path) -> None:
    sheet_import(tmp_path, templates())
    event = Event.objects.get(kind="case")
    assert (event.what, event.by) == ("The case came in with an import.", None)


def test_a_car_that_comes_after_a_tie_is_withheld_too(tmp_path: Path) -> None:
    homes = {name: templates()[name] for name in ("program", "households")}
    sheet_import(tmp_path, homes)
    tied, other = make_user(), make_user()
    declare_tie(household=Household.objects.get(), user=tied, by=other)
    sheet_import(tmp_path, templates())
    assert list(Vehicle.objects.for_user(tied)) == []
    assert Vehicle.objects.for_user(other).count() == 1


def test_what_new_rows_name_is_read_with_one_query_a_sheet(
    tmp_path: Path, django_assert_num_queries: DjangoAssertNumQueries
) -> None:
    sheet_import(tmp_path, templates())
    program = Program.objects.get()
    there = facts(program)
    items = [example("repair_items", ref=f"x{n}", clears="f1; r1") for n in range(9)]
    parts = [example("parts", ref=f"y{n}", item="i1") for n in range(9)]
    contents = {"repair_items": sheet("repair_items", items), "parts": sheet("parts", parts)}
    checked = check(contents, there)
    assert checked.faults == ()
    batch = Batch(program=program, by=None, today=TODAY, checked=checked)
    with django_assert_num_queries(6):
        fetch_named(batch, there.known)
    stay = Intake.objects.get()
    assert batch.stays == {"c1": stay}
    assert set(batch.findings) == {Key("findings", "f1"), Key("readings", "r1")}
    assert batch.households[stay.pk].name == "Marisol Teague"
