from __future__ import annotations

import datetime as dt
from uuid import uuid4

import pytest
from django.utils import timezone

from shared.jobs.models import Job
from shared.jobs.states import JobState
from tests.factories import make_program
from tests.refusals import assert_refused

pytestmark = pytest.mark.django_db


def job(**fields: object) -> Job:
    return Job(**{"program": make_program(), "key": "send:1", "kind": "send"} | fields)


def test_a_job_in_an_unknown_state_is_refused() -> None:
    sentence = "This state is not known to the program."
    assert_refused(job(state="lost"), "job_state_known", sentence)


def test_an_effect_is_asked_for_once() -> None:
    job().save()
    assert_refused(job(kind="other"), "job_effect_once", "This was asked for already.")


@pytest.mark.parametrize("lease", [{"lease_until": timezone.now()}, {"lease_token": uuid4()}, {}])
def test_a_running_job_holds_a_lease(lease: dict[str, object]) -> None:
    row = job(state=JobState.RUNNING, **lease)
    assert_refused(row, "job_running_has_lease", "A running job holds a lease.")


def test_due_is_what_waits_no_longer_and_what_lost_its_lease() -> None:
    now = timezone.now()
    ago, ahead = now - dt.timedelta(minutes=1), now + dt.timedelta(minutes=1)
    held = {"state": JobState.RUNNING, "lease_token": uuid4()}
    rows = {
        "lost": job(key="lost", lease_until=ago, run_after=ago, **held),
        "now": job(key="now", run_after=now),
        "held": job(key="held", lease_until=ahead, run_after=ago, **held),
        "later": job(key="later", run_after=ahead),
        "done": job(key="done", state=JobState.DONE, run_after=ago),
        "failed": job(key="failed", state=JobState.FAILED, run_after=ago),
    }
    for row in rows.values():
        row.save()
    assert [str(row) for row in Job.objects.due(now)] == ["lost", "now"]
    assert [str(row) for row in Job.objects.failed()] == ["failed"]
    assert Job.objects.waiting().count() == 2
