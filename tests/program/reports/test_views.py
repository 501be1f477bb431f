"""The pages of the file of the books."""

from __future__ import annotations

import zipfile
from io import BytesIO
from typing import TYPE_CHECKING

import pytest
import time_machine
from django.urls import reverse
from django.utils import timezone

from program.models import YearFile
from program.work import WORK
from shared.accounts.roles import RoleKind
from shared.jobs.models import Job
from shared.jobs.runner import run_due
from shared.jobs.states import JobState
from shared.models import Event
from tests.factories import make_program, make_user
from tests.program.reports.books import KEY, books, made
from tests.vehicles.pages import BACKEND, sign_in, words

if TYPE_CHECKING:
    from collections.abc import Iterator

    from django.test import Client

pytestmark = pytest.mark.django_db
FILES = "/money/files/"


@pytest.fixture(autouse=True)
def _monday() -> Iterator[None]:
    with time_machine.travel("2026-11-30 15:00:00+00:00", tick=False):
        yield


def test_a_file_is_asked_for_made_and_taken(client: Client) -> None:
    sign_in(client, RoleKind.TREASURER)
    books()
    asked = client.post(FILES, {"span": "2026", "key": str(KEY)}, follow=True)
    assert "How far it is It waits for a worker. Look again" in words(asked)
    assert run_due(WORK) == 1
    file = YearFile.objects.get()
    page = words(client.get(reverse("reports:file", args=[file.pk])))
    assert "Jan 1, 2026 to Dec 31, 2026 5 transfers and 0 papers" in page
    assert "2 of 2 spends have no paper behind them." in page
    taken = client.get(reverse("reports:download", args=[file.pk]))
    zipped = zipfile.ZipFile(BytesIO(b"".join(taken.streaming_content)))  # type: ignore[attr-defined]
    assert zipped.testzip() is None
    assert taken["Content-Disposition"].endswith('"books-2026-01-01-to-2026-12-31.zip"')
    last = Event.objects.about("yearfile", file.pk)[0]
    assert last.what == "The file of the books was taken."


def test_a_job_that_broke_off_is_tried_again_and_the_page_goes_on_asking(client: Client) -> None:
    """The treasurer reads neither the error nor a link to a page that is not open to them."""
    sign_in(client, RoleKind.TREASURER)
    client.post(FILES, {"span": "2026", "key": str(KEY)})
    page = reverse("reports:file", args=[YearFile.objects.get().pk])
    Job.objects.update(error="OSError: disk full", run_after=timezone.now())
    again = client.get(page).content.decode()
    assert "<b>It stopped.</b> It is tried again at Nov 30, 10:00." in again
    assert "hx-get" in again
    Job.objects.update(state=JobState.FAILED)
    over = client.get(page).content.decode()
    assert "The coordinator can let it be tried again." in over
    assert [word in over for word in ("hx-get", "OSError", reverse("jobs:job_list"))] == [False] * 3


def test_sent_twice_it_is_one_file(client: Client) -> None:
    sign_in(client, RoleKind.TREASURER)
    for _ in range(2):
        client.post(FILES, {"span": "all", "key": str(KEY)})
    assert YearFile.objects.count() == 1


def test_a_year_that_is_not_there_is_refused(client: Client) -> None:
    sign_in(client, RoleKind.TREASURER)
    refused = client.post(FILES, {"span": "1999", "key": str(KEY)})
    assert refused.status_code == 422
    assert not YearFile.objects.exists()


def test_the_board_reads_files_and_asks_for_none(client: Client) -> None:
    books()
    file = made()
    sign_in(client, RoleKind.BOARD)
    assert "Make the file" not in words(client.get(FILES))
    assert client.post(FILES, {"span": "2026", "key": str(KEY)}).status_code == 404
    taken = client.get(reverse("reports:download", args=[file.pk]))
    assert taken.status_code == 200
    assert b"".join(taken.streaming_content).startswith(b"PK")  # type: ignore[attr-defined]


def test_a_file_that_is_not_made_yet_is_not_handed_out(client: Client) -> None:
    sign_in(client, RoleKind.TREASURER)
    client.post(FILES, {"span": "2026", "key": str(KEY)})
    file = YearFile.objects.get()
    assert client.get(reverse("reports:download", args=[file.pk])).status_code == 404


def test_another_programs_file_is_not_there(client: Client) -> None:
    books()
    file = made()
    stranger = make_user(RoleKind.TREASURER, program=make_program(name="Other garage"))
    client.force_login(stranger, BACKEND)
    for name in ("file", "download"):
        assert client.get(reverse(f"reports:{name}", args=[file.pk])).status_code == 404
