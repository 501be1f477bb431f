from __future__ import annotations

import uuid
from typing import TYPE_CHECKING

import pytest
from django.apps import apps
from django.core.exceptions import ValidationError
from django.core.files.uploadedfile import SimpleUploadedFile

from program.importing import actions, archive
from program.importing.models import ImportedRow, ImportRun
from program.importing.states import ImportState
from program.models import Case, Fund, Transfer
from program.work import WORK
from shared.accounts.models import Program
from shared.jobs.models import Job
from shared.jobs.runner import run_due
from shared.models import Event
from tests.factories import make_program, make_user
from tests.program.importing.samples import (
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

    from pytest_django import DjangoAssertNumQueries, DjangoCaptureOnCommitCallbacks

    from shared.accounts.models import User

pytestmark = pytest.mark.django_db

OF_THE_IMPORT = {"ImportRun", "Event", "Job"}


def counted() -> dict[str, int]:
    """Return how many rows each table holds, but those that tell of imports."""
    ours = [apps.get_app_config(name) for name in ("shared", "vehicles", "sponsors", "program")]
    return {
        model.__name__: model._default_manager.count()
        for app in ours
        for model in app.get_models()
        if model.__name__ not in OF_THE_IMPORT
    }


def uploaded(contents: dict[str, bytes]) -> list[SimpleUploadedFile]:
    return [SimpleUploadedFile("autumn.zip", archive.packed(contents))]


def asked(contents: dict[str, bytes], by: User, **options: object) -> ImportRun:
    key = uuid.uuid4()
    return actions.ask_import(sheets=uploaded(contents), client_key=key, by=by, **options)  # type: ignore[arg-type]


def ran(run: ImportRun) -> ImportRun:
    run_due({"import": WORK["import"]}, limit=1)
    run.refresh_from_db()
    return run


def test_an_empty_database_gets_its_program_and_every_row(tmp_path: Path) -> None:
    run = sheet_import(tmp_path, templates())
    assert run.state == ImportState.DONE
    assert str(Program.objects.get()) == "Osier Street Garage"
    assert ImportedRow.objects.count() == 19
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
    assert (run.state, run.pk) == (ImportState.REFUSED, None)
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


def test_sheets_checked_before_another_import_are_checked_again(tmp_path: Path) -> None:
    new = {"bays": templates()["bays"]}
    run = asked(new, make_user())
    write = actions.work({"run": run.pk}, run.program)
    sheet_import(tmp_path, new)
    assert write is not None
    write()
    run.refresh_from_db()
    assert run.counts == {"bays": {"new": 0, "known": 1, "left_out": 0}}
    assert Bay.objects.count() == 1


def test_a_thousand_rows_take_few_queries(
    tmp_path: Path, django_assert_max_num_queries: DjangoAssertNumQueries
) -> None:
    with django_assert_max_num_queries(160):
        run = sheet_import(tmp_path, many(40))
    assert sum(one["new"] for one in run.counts.values()) == 1_019


@pytest.mark.slow
def test_ten_thousand_rows_come_in_at_once(tmp_path: Path) -> None:
    run = sheet_import(tmp_path, many(400))
    assert (run.state, sum(one["new"] for one in run.counts.values())) == (
        ImportState.DONE,
        10_019,
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


def test_an_upload_is_kept_and_checked_by_a_job() -> None:
    user = make_user()
    run = asked(templates(program=None), user)
    assert (run.state, run.name, run.left_out) == (ImportState.ASKED, "autumn.zip", [])
    assert ran(run).state == ImportState.DONE
    assert Vehicle.objects.count() == 1
    assert run.by == user
    assert run.progress == ""


def test_an_upload_is_not_kept_once_it_is_written(
    django_capture_on_commit_callbacks: DjangoCaptureOnCommitCallbacks,
) -> None:
    run = asked(templates(program=None), make_user())
    storage, name = run.file.storage, run.file.name
    assert storage.exists(name)
    with django_capture_on_commit_callbacks(execute=True):
        assert not ran(run).file
    assert not storage.exists(name)


def test_the_same_form_sent_twice_is_one_import() -> None:
    user, key = make_user(), uuid.uuid4()
    first, second = (
        actions.ask_import(sheets=uploaded(templates()), client_key=key, by=user) for _ in "12"
    )
    assert first == second
    assert ImportRun.objects.count() == Job.objects.filter(kind="import").count() == 1


def test_the_work_of_an_import_done_again_does_nothing() -> None:
    run = ran(asked(templates(program=None), make_user()))
    before = counted()
    assert WORK["import"]({"run": run.pk}, run.program) is None
    assert counted() == before


def test_several_sheets_are_kept_as_one_upload() -> None:
    files = [
        SimpleUploadedFile(f"{name}.csv", content)
        for name, content in templates().items()
        if name in ("bays", "equipment")
    ]
    run = actions.ask_import(sheets=files, client_key=uuid.uuid4(), by=make_user())
    assert run.name == "2 sheets"
    assert ran(run).counts["equipment"] == {"new": 1, "known": 0, "left_out": 0}


@pytest.mark.parametrize(
    ("name", "content", "sentence"),
    [
        (
            "half.zip",
            archive.packed(templates())[:-30],
            archive.CUT_OFF,
        ),
        ("letter.pdf", b"%PDF", "“letter.pdf” is no CSV sheet. An import holds CSV files only."),
        ("huge.csv", b"0" * (archive.MOST_ZIP_BYTES + 1), "The upload is larger than 25 MB."),
    ],
)
def test_what_can_not_be_sheets_is_refused_at_once(
    name: str, content: bytes, sentence: str
) -> None:
    sheets = [SimpleUploadedFile(name, content)]
    with pytest.raises(ValidationError) as refusal:
        actions.ask_import(sheets=sheets, client_key=uuid.uuid4(), by=make_user())
    assert refusal.value.message_dict == {"sheets": [sentence]}
    assert ImportRun.objects.count() == Job.objects.count() == 0


def test_a_zip_that_shows_its_teeth_only_when_unpacked_is_refused_by_the_job() -> None:
    content = bytearray(archive.packed({"bays": templates()["bays"] * 9}))
    content[60] ^= 0xFF
    run = actions.ask_import(
        sheets=[SimpleUploadedFile("bad.zip", bytes(content))],
        client_key=uuid.uuid4(),
        by=make_user(),
    )
    assert ran(run).state == ImportState.REFUSED
    assert [one["sentence"] for one in run.problems] == [archive.CUT_OFF]


def test_a_refused_upload_is_tried_again_without_some_rows() -> None:
    user = make_user()
    run = ran(asked(with_cells("pledges", quantity="0"), user, leave_out=["program:g"]))
    assert run.state == ImportState.REFUSED
    again = actions.ask_again(run=run, leave_out=["pledges:d1"], client_key=uuid.uuid4(), by=user)
    assert again.left_out == ["pledges:d1", "program:g"]
    assert ran(again).state == ImportState.DONE


def test_an_import_that_was_written_is_not_tried_again() -> None:
    user = make_user()
    run = ran(asked(templates(program=None), user))
    with pytest.raises(ValidationError) as refusal:
        actions.ask_again(run=run, leave_out=[], client_key=uuid.uuid4(), by=user)
    assert refusal.value.messages == ["Only a refused upload can be sent again."]


def test_the_job_tells_how_far_the_check_is() -> None:
    contents = many(30)
    del contents["program"]
    run = asked(contents, make_user())
    actions.work({"run": run.pk}, run.program)
    run.refresh_from_db()
    assert run.progress == "Checking ledger entries: row 768 of 768."
