from __future__ import annotations

import uuid
from typing import TYPE_CHECKING, Any

import pytest
from django.core.exceptions import ValidationError
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db import connection

from program.importing import actions, archive
from program.importing.models import ImportRun
from program.importing.states import ImportState
from program.work import WORK
from shared.jobs.models import Job
from shared.jobs.runner import run_due
from tests.factories import make_user
from tests.program.importing.samples import (
    counted,
    many,
    sheet_import,
    templates,
    with_cells,
)
from vehicles.models import Bay, Vehicle

if TYPE_CHECKING:
    from pathlib import Path

    from pytest_django import DjangoCaptureOnCommitCallbacks

    from shared.accounts.models import User

pytestmark = pytest.mark.django_db


def uploaded(contents: dict[str, bytes]) -> list[SimpleUploadedFile]:
    return [SimpleUploadedFile("autumn.zip", archive.packed(contents))]


def asked(contents: dict[str, bytes], by: User, **options: object) -> ImportRun:
    key = uuid.uuid4()
    return actions.ask_import(sheets=uploaded(contents), client_key=key, by=by, **options)  # type: ignore[arg-type]


def ran(run: ImportRun) -> ImportRun:
    run_due({"import": WORK["import"]}, limit=1)
    run.refresh_from_db()
    return run


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
    storage, name = run.file.storage, str(run.file.name)
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


def test_the_same_form_arriving_while_the_first_is_written_is_one_import() -> None:
    user, key = make_user(), uuid.uuid4()
    came: list[ImportRun] = []

    def meanwhile(execute: Any, sql: str, *others: Any) -> Any:
        if sql.startswith("SAVEPOINT") and not came:
            came.append(ImportRun())
            came[0] = actions.ask_import(sheets=uploaded(templates()), client_key=key, by=user)
        return execute(sql, *others)

    with connection.execute_wrapper(meanwhile):
        run = actions.ask_import(sheets=uploaded(templates()), client_key=key, by=user)
    assert came == [run]
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


def test_a_row_to_be_left_out_has_a_name() -> None:
    user = make_user()
    run = ran(asked(with_cells("pledges", quantity="0"), user, leave_out=["program:g"]))
    with pytest.raises(ValidationError) as refusal:
        actions.ask_again(run=run, leave_out=["the third"], client_key=uuid.uuid4(), by=user)
    assert refusal.value.messages == [
        "“the third” names no row. Write sheet and ref, such as households:h7."
    ]


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
    assert run.progress == "Checking budget lines: row 783 of 783"
