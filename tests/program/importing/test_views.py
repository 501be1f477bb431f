from __future__ import annotations

import csv
import io
import uuid
import zipfile
from typing import TYPE_CHECKING, Any

import pytest
from django.core.files.uploadedfile import SimpleUploadedFile
from django.urls import reverse

from program.importing import archive
from program.importing.models import ImportRun
from program.importing.sheets import SHEETS
from program.importing.states import ImportState
from program.work import WORK
from shared.accounts.roles import RoleKind
from shared.jobs.models import Job
from shared.jobs.runner import run_due
from shared.jobs.states import JobState
from tests.factories import make_program, make_user
from tests.program.importing.samples import example, sheet, templates
from tests.shared.pages import tidy
from vehicles.models import Bay, Vehicle

if TYPE_CHECKING:
    from django.test import Client

    from shared.accounts.models import User

pytestmark = pytest.mark.django_db
LIST = "/import/"
SAME = "Row 2 has the same name already."
HTMX = {"HX-Request": "true", "HX-Target": "state"}


@pytest.fixture
def user(client: Client) -> User:
    user = make_user()
    client.force_login(user)
    return user


def text(client: Client, path: str, headers: dict[str, str] | None = None) -> str:
    return tidy(client.get(path, headers=headers).content.decode())


def send(client: Client, contents: dict[str, bytes], key: str = "") -> Any:
    file = SimpleUploadedFile("autumn.zip", archive.packed(contents))
    return client.post(LIST, {"sheets": file, "client_key": key or str(uuid.uuid4())})


def work() -> None:
    """Let a worker check what was asked for, and nothing else."""
    others = dict.fromkeys(("rank_items", "plan"), lambda _payload, _program: None)
    run_due({"import": WORK["import"]} | others)


def sent(client: Client, contents: dict[str, bytes]) -> ImportRun:
    """Send sheets, let the worker check them, and return the run."""
    send(client, contents)
    work()
    return ImportRun.objects.get()


BAD = {"bays": sheet("bays", [example("bays", has_lift="perhaps"), example("bays", ref="b2")])}


def test_a_coordinator_brings_sheets_in(client: Client, user: User) -> None:
    answer = send(client, templates(program=None))
    run = ImportRun.objects.get()
    assert answer.headers["Location"] == f"/import/{run.pk}/"
    assert "It waits for a worker." in text(client, f"/import/{run.pk}/")
    work()
    page = text(client, f"/import/{run.pk}/")
    assert "33 rows were written" in page
    assert Vehicle.objects.count() == 1


def test_a_form_sent_twice_makes_one_import(client: Client, user: User) -> None:
    key = str(uuid.uuid4())
    first, second = (send(client, templates(), key) for _ in "12")
    assert first.headers["Location"] == second.headers["Location"]
    assert ImportRun.objects.count() == 1


def test_a_page_that_waits_asks_again_and_is_drawn_anew_at_the_end(
    client: Client, user: User
) -> None:
    send(client, templates(program=None))
    run = ImportRun.objects.get()
    part = text(client, f"/import/{run.pk}/", headers=HTMX)
    assert "<html" not in part
    assert 'hx-trigger="load delay:1s"' in part
    work()
    assert client.get(f"/import/{run.pk}/", headers=HTMX).headers["HX-Refresh"] == "true"


def test_every_problem_is_on_the_page_and_in_the_spreadsheet(client: Client, user: User) -> None:
    run = sent(client, BAD)
    page = text(client, f"/import/{run.pk}/")
    assert "Two problems to put right. Nothing was written." in page
    assert "“perhaps” is neither yes nor no." in page
    assert 'name="leave_out" value="bays:b1" form="again"' in page
    export = client.get(f"/import/{run.pk}/?export=csv").content.decode("utf-8-sig")
    assert list(csv.reader(export.splitlines())) == [
        ["Sheet", "Row", "Column", "Value", "What is wrong", "What to do"],
        ["bays", "2", "has_lift", "perhaps", "“perhaps” is neither yes nor no.", "Type yes or no."],
        [*("bays", "3", "name", "Bay 1", SAME), "Take one of the two rows out, or correct it."],
    ]
    assert Bay.objects.count() == 0


def test_ticked_rows_are_left_out_of_the_next_try(client: Client, user: User) -> None:
    run = sent(client, BAD)
    data = {"leave_out": ["bays:b1"], "client_key": str(uuid.uuid4())}
    answer = client.post(f"/import/{run.pk}/again/", data)
    again = ImportRun.objects.exclude(pk=run.pk).get()
    assert answer.headers["Location"] == f"/import/{again.pk}/"
    work()
    page = text(client, f"/import/{again.pk}/")
    assert "Left out by choice: bays:b1." in page
    assert Bay.objects.count() == 1


def test_a_row_without_a_problem_is_not_left_out(client: Client, user: User) -> None:
    run = sent(client, BAD)
    answer = client.post(f"/import/{run.pk}/again/", {"leave_out": ["bays:b9"]}, follow=True)
    assert "“bays:b9” is not a row with a problem." in answer.content.decode()
    assert ImportRun.objects.count() == 1


def test_half_an_upload_is_told_on_the_form(client: Client, user: User) -> None:
    file = SimpleUploadedFile("autumn.zip", archive.packed(templates())[:-30])
    answer = client.post(LIST, {"sheets": file, "client_key": str(uuid.uuid4())})
    assert answer.status_code == 422
    page = answer.content.decode()
    assert "This zip can&#x27;t be read: it is cut off or damaged." in page
    assert ImportRun.objects.count() == 0


def test_a_worker_that_gave_up_is_told(client: Client, user: User) -> None:
    send(client, templates())
    Job.objects.update(state=JobState.FAILED, error="It broke off.")
    page = text(client, f"/import/{ImportRun.objects.get().pk}/")
    assert "It stopped, and nothing came of it." in page
    assert "It broke off." in page


def test_sheets_that_came_before_say_that_nothing_changed(client: Client, user: User) -> None:
    contents = {"bays": sheet("bays", [example("bays")])}
    sent(client, contents)
    send(client, contents)
    work()
    latest = ImportRun.objects.first()
    assert latest is not None
    page = text(client, f"/import/{latest.pk}/")
    assert "Nothing in it was new, and nothing was changed" in page


def test_an_import_of_another_program_is_not_found(client: Client, user: User) -> None:
    other = ImportRun.objects.create(
        program=make_program(name="Mill Lane Wheels"),
        name="theirs.zip",
        sha256="0" * 64,
        state=ImportState.REFUSED,
    )
    assert client.get(f"/import/{other.pk}/").status_code == 404
    assert client.post(f"/import/{other.pk}/again/").status_code == 404
    assert "theirs.zip" not in text(client, LIST)


@pytest.mark.parametrize("role", [RoleKind.TECHNICIAN, RoleKind.SPONSOR, RoleKind.BOARD])
@pytest.mark.parametrize("name", ["run_list", "sheet_list", "all_templates"])
def test_only_a_coordinator_opens_these_pages(client: Client, role: RoleKind, name: str) -> None:
    client.force_login(make_user(role))
    assert client.get(reverse(f"importing:{name}")).status_code == 403


def test_every_column_is_explained(client: Client, user: User) -> None:
    page = text(client, "/import/sheets/")
    missing = [
        column.name
        for one in SHEETS.values()
        for column in one.columns
        if f'<span class="code nb">{column.name}</span>' not in page
    ]
    assert missing == []


def test_templates_are_handed_out(client: Client, user: User) -> None:
    answer = client.get("/import/sheets/bays.csv")
    assert answer.headers["Content-Disposition"] == 'attachment; filename="bays.csv"'
    assert answer.content.startswith(b"ref,name,has_lift,closed\r\n")
    assert client.get("/import/sheets/boats.csv").status_code == 404
    whole = client.get("/import/sheets.zip").content
    with zipfile.ZipFile(io.BytesIO(whole)) as bundle:
        assert bundle.namelist() == [f"{name}.csv" for name in SHEETS]


def test_sheets_that_were_changed_are_refused_and_no_row_is_offered_to_be_left_out(
    client: Client, user: User
) -> None:
    whole = io.BytesIO()
    with zipfile.ZipFile(whole, "w") as bundle:
        bundle.writestr("bays.csv", templates()["bays"])
        bundle.writestr("SHA256SUMS", f"{'0' * 64}  bays.csv\n")
    file = SimpleUploadedFile("autumn.zip", whole.getvalue())
    client.post(LIST, {"sheets": file, "client_key": str(uuid.uuid4())})
    work()
    page = text(client, f"/import/{ImportRun.objects.get().pk}/")
    assert "“bays.csv” was changed since it was written" in page
    assert "sheets that you changed go without SHA256SUMS." in page
    assert "Try without the ticked rows" not in page
    assert Bay.objects.count() == 0
