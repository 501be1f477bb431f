from __future__ import annotations

import uuid
from typing import TYPE_CHECKING

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from shared.accounts.roles import RoleKind
from shared.jobs.actions import ask
from shared.jobs.models import Job
from shared.jobs.states import JobState
from tests.factories import make_program, make_user
from tests.shared.pages import tidy

if TYPE_CHECKING:
    from django.test import Client

pytestmark = pytest.mark.django_db

LIST = "/jobs/"


def job(key: str = "send:1", **fields: object) -> Job:
    row = ask(program=make_program(), key=key, kind="send_message")
    Job.objects.filter(pk=row.pk).update(**fields)
    return row


def test_the_coordinator_sees_what_waits_and_what_failed(client: Client) -> None:
    job("one")
    job("two", state=JobState.FAILED, error="ValueError: The lift is in use.")
    client.force_login(make_user())
    page = tidy(client.get(LIST).content.decode())
    assert "One job failed and needs a person." in page
    assert "ValueError: The lift is in use." in page
    assert page.count("Try again") == 1


def test_an_empty_queue_says_so(client: Client) -> None:
    client.force_login(make_user())
    page = tidy(client.get(LIST).content.decode())
    assert "Nothing waits, and nothing failed." in page
    assert "No job was asked for yet" in page


def test_the_list_narrows_to_one_state(client: Client) -> None:
    job("one")
    job("two", state=JobState.FAILED)
    client.force_login(make_user())
    table = client.get(LIST, {"state": "pending"}).context["table"]
    assert [str(row.record) for row in table.rows] == ["one"]


def test_a_failed_job_is_tried_again(client: Client) -> None:
    failed = job(state=JobState.FAILED)
    client.force_login(make_user())
    answer = client.post(reverse("jobs:retry", args=[failed.pk]), follow=True)
    assert Job.objects.get().state == JobState.PENDING
    assert "The job waits for its next try." in answer.content.decode()


def test_a_job_that_did_not_fail_is_left_alone(client: Client) -> None:
    client.force_login(make_user())
    answer = client.post(reverse("jobs:retry", args=[job().pk]), follow=True)
    assert "Only a failed job is tried again." in answer.content.decode()


def test_a_job_of_another_program_is_not_there(client: Client) -> None:
    theirs = ask(program=make_program(name="Elsewhere"), key="one", kind="send")
    client.force_login(make_user(program=make_program(name="Here")))
    assert client.post(reverse("jobs:retry", args=[theirs.pk])).status_code == 404


def test_trying_again_is_a_post(client: Client) -> None:
    client.force_login(make_user())
    assert client.get(reverse("jobs:retry", args=[job().pk])).status_code == 405


@pytest.mark.parametrize("role", sorted(set(RoleKind) - {RoleKind.COORDINATOR}))
def test_others_are_refused(client: Client, role: RoleKind) -> None:
    client.force_login(make_user(role))
    assert client.get(LIST).status_code == 403
    assert client.post(reverse("jobs:retry", args=[job().pk])).status_code == 403


def test_a_stranger_is_sent_to_sign_in(client: Client) -> None:
    assert client.get(LIST)["Location"] == "/accounts/sign-in/?next=/jobs/"


def test_the_list_asks_as_often_for_three_jobs_as_for_one(client: Client) -> None:
    client.force_login(make_user())
    counts = []
    for keys in (["one"], ["two", "three"]):
        for key in keys:
            job(key, state=JobState.FAILED)
        with CaptureQueriesContext(connection) as queries:
            client.get(LIST)
        counts.append(len(queries))
    assert counts[0] == counts[1]


def test_a_running_job_is_asked_to_stop_from_the_list(client: Client) -> None:
    row = job(state=JobState.RUNNING, lease_until="2026-11-30T12:00Z", lease_token=uuid.uuid4())
    client.force_login(make_user())
    answer = client.post(reverse("jobs:stop", args=[row.pk]), follow=True)
    page = tidy(answer.content.decode())
    assert "The job was asked to stop." in page
    assert "is asked to stop" in page


def test_a_job_that_has_ended_says_that_there_is_nothing_to_stop(client: Client) -> None:
    row = job(state=JobState.DONE)
    client.force_login(make_user())
    answer = client.post(reverse("jobs:stop", args=[row.pk]), follow=True)
    assert "there is nothing to stop" in tidy(answer.content.decode())
