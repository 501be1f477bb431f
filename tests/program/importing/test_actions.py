from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from program.importing import actions
from program.importing.models import ImportedRow
from program.importing.states import ImportState
from program.models import Case, Fund, Transfer
from shared.accounts.models import Program
from shared.jobs.models import Job
from shared.models import Event
from tests.factories import make_program
from tests.program.importing.samples import (
    counted,
    example,
    folder,
    many,
    sheet,
    sheet_import,
    templates,
    with_cells,
)
from vehicles.models import Bay, Reading, RepairItem, Vehicle

if TYPE_CHECKING:
    from pathlib import Path

    from pytest_django import DjangoAssertNumQueries


pytestmark = pytest.mark.django_db


def test_an_empty_database_gets_its_program_and_every_row(tmp_path: Path) -> None:
    run = sheet_import(tmp_path, templates())
    assert run.state == ImportState.DONE
    assert str(Program.objects.get()) == "Osier Street Garage"
    assert ImportedRow.objects.count() == 34
    assert Event.objects.about("importrun", run.pk).get().what == "Sheets were imported."


def test_the_same_folder_again_changes_nothing_and_says_so(tmp_path: Path) -> None:
    sheet_import(tmp_path, templates())
    before, jobs = counted(), Job.objects.count()
    again = sheet_import(tmp_path, templates())
    assert counted() == before
    assert Job.objects.count() == jobs
    assert {(one["new"], one["known"]) for one in again.counts.values()} == {(0, 1)}
    assert Event.objects.about("importrun", again.pk).get().what == "Nothing in them was new."


def test_one_bad_cell_keeps_everything_out(tmp_path: Path) -> None:
    make_program()
    before = counted()
    run = sheet_import(tmp_path, with_cells("pledges", quantity="0"), leave_out=["program:g"])
    assert run.state == ImportState.REFUSED
    assert counted() == before
    assert run.problems == [
        {
            "sheet": "pledges",
            "row": 2,
            "column": "quantity",
            "value": "0",
            "sentence": "0 is not possible; it lies between 1 and 99.",
            "remedy": "Type a whole number from 1 to 99.",
            "ref": "d1",
        }
    ]


def test_refused_on_an_empty_database_nothing_at_all_is_kept(tmp_path: Path) -> None:
    run = sheet_import(tmp_path, with_cells("pledges", quantity="0"))
    assert [run.state, run.pk] == [ImportState.REFUSED, None]
    assert set(counted().values()) == {0}
    assert Event.objects.count() == Job.objects.count() == 0


def test_a_changed_row_is_a_problem_and_changes_nothing(tmp_path: Path) -> None:
    sheet_import(tmp_path, templates())
    run = sheet_import(tmp_path, with_cells("bays", name="Bay 9"))
    assert [one["sentence"] for one in run.problems] == [
        "The row bays:b1 was imported before with other values."
    ]
    assert Bay.objects.get().name == "Bay 1"


def test_rows_left_out_stay_out_and_are_recorded(tmp_path: Path) -> None:
    out = ["ledger_entries:l1", "pledges:d1"]
    run = sheet_import(tmp_path, with_cells("pledges", quantity="0"), leave_out=out)
    assert (run.state, run.left_out) == (ImportState.DONE, out)
    assert run.counts["pledges"] == {"new": 0, "known": 0, "left_out": 1}
    assert Transfer.objects.count() == 1


def test_what_a_later_import_names_of_an_earlier_one_is_found(tmp_path: Path) -> None:
    sheet_import(tmp_path, templates())
    later = {
        "readings": sheet("readings", [example("readings", ref="r2", position="RF")]),
        "repair_items": sheet(
            "repair_items",
            [example("repair_items", ref="i2", clears="f1; r1; r2", needs_first="i1")],
        ),
        "parts": sheet("parts", [example("parts", ref="n2", item="i1")]),
        "hours": sheet("hours", [example("hours", ref="w2", week="2026-12-07")]),
    }
    run = sheet_import(tmp_path, later)
    assert run.problems == []
    item = RepairItem.objects.get(prerequisites__isnull=False)
    assert item.findings.count() == 3
    assert item.prerequisites.get().needs.filter(county="Alder County").count() == 2


def test_a_fund_that_a_fact_overdraws_is_noted(tmp_path: Path) -> None:
    bounced = with_cells(
        "ledger_entries", debit="4010", credit="1010", amount_usd="2,500.00", fact="yes"
    )
    run = sheet_import(tmp_path, bounced)
    assert run.state == ImportState.DONE
    assert run.counts["ledger_entries"]["notes"] == [
        "The general fund is $100.00 below zero on 2026-11-14."
    ]
    assert Fund.objects.count() == 1


def test_a_row_that_is_on_record_from_a_page_keeps_everything_out(tmp_path: Path) -> None:
    sheet_import(tmp_path, templates())
    reading = Reading.objects.get()
    ImportedRow.objects.filter(sheet="readings").delete()
    run = sheet_import(tmp_path, templates())
    assert [one["sentence"] for one in run.problems] == [
        "A row of these sheets is on record already, entered on a page."
    ]
    assert Reading.objects.get() == reading


def test_a_thousand_rows_take_few_queries(
    tmp_path: Path, django_assert_max_num_queries: DjangoAssertNumQueries
) -> None:
    with django_assert_max_num_queries(200):
        run = sheet_import(tmp_path, many(40))
    assert sum(one["new"] for one in run.counts.values()) == 1_034


@pytest.mark.slow
def test_ten_thousand_rows_come_in_at_once(tmp_path: Path) -> None:
    run = sheet_import(tmp_path, many(400))
    assert (run.state, sum(one["new"] for one in run.counts.values())) == (
        ImportState.DONE,
        10_034,
    )
    assert (Vehicle.objects.count(), Case.objects.count()) == (401, 401)
    assert Reading.objects.count() == 4_801


def test_a_new_import_asks_for_rank_and_plan(tmp_path: Path) -> None:
    run = sheet_import(tmp_path, templates())
    assert list(Job.objects.order_by("kind").values_list("kind", "key")) == [
        ("plan", f"plan:import:{run.pk}"),
        ("rank_items", f"rank:import:{run.pk}"),
    ]


def test_a_check_writes_nothing(tmp_path: Path) -> None:
    found = actions.check_folder(folder(tmp_path / "a", templates()), program=None)
    assert found.faults == ()
    assert set(counted().values()) == {0}
