"""The embedded queue as a real process, killed and frozen in the middle of a job."""

from __future__ import annotations

import datetime as dt
from io import StringIO
from typing import TYPE_CHECKING

import pytest
from django.core.management import call_command
from django.utils import timezone

from shared.audit.models import Event
from shared.jobs.actions import ask
from shared.jobs.models import Job
from shared.jobs.states import JobState
from tests.factories import make_program
from tests.workers import EMBEDDED, Gate, Pipe, kill, stop, worker
from tests.workload import EFFECT

if TYPE_CHECKING:
    from pathlib import Path

    from pytest_django import Settings


@pytest.fixture
def begun(tmp_path: Path) -> Pipe:
    return Pipe(tmp_path / "begun")


@pytest.fixture
def go(tmp_path: Path) -> Gate:
    return Gate(tmp_path / "go")


def ask_for_held_work(begun: Pipe, go: Gate) -> Job:
    payload = {"begun": str(begun), "go": str(go)}
    return ask(program=make_program(), key="held:1", kind="held", payload=payload)


def let_the_lease_run_out() -> None:
    Job.objects.update(lease_until=timezone.now() - dt.timedelta(seconds=1))


def effects() -> int:
    return Event.objects.filter(what=EFFECT).count()


@pytest.mark.slow
@pytest.mark.django_db(transaction=True)
def test_a_worker_killed_in_the_middle_loses_nothing_and_does_nothing_twice(
    begun: Pipe, go: Gate, tmp_path: Path
) -> None:
    job = ask_for_held_work(begun, go)
    with worker(EMBEDDED, tmp_path) as first:
        assert begun.hear() == "begun"
        kill(first)
    job.refresh_from_db()
    assert (job.state, effects()) == (JobState.RUNNING, 0)
    let_the_lease_run_out()
    with worker(EMBEDDED, tmp_path) as second:
        assert begun.hear() == "begun"
        go.open()
        assert stop(second) == 0
    job.refresh_from_db()
    assert (job.state, job.attempts, effects()) == (JobState.DONE, 2, 1)


@pytest.mark.slow
@pytest.mark.django_db(transaction=True)
def test_a_worker_that_was_overtaken_writes_nothing(begun: Pipe, go: Gate, tmp_path: Path) -> None:
    job = ask_for_held_work(begun, go)
    with worker(EMBEDDED, tmp_path) as first:
        assert begun.hear() == "begun"
        let_the_lease_run_out()
        with worker(EMBEDDED, tmp_path) as second:
            assert begun.hear() == "begun"
            go.open()
            assert [stop(first), stop(second)] == [0, 0]
    job.refresh_from_db()
    assert (job.state, job.attempts, effects()) == (JobState.DONE, 2, 1)


@pytest.mark.django_db
def test_once_runs_what_is_due_and_ends(settings: Settings, tmp_path: Path) -> None:
    settings.JOB_WORK = "tests.workload.WORK"
    settings.JOB_SCHEDULES = "tests.workload.SCHEDULES"
    bell, out = tmp_path / "bell", StringIO()
    ask(program=make_program(), key="ring:1", kind="ring", payload={"bell": str(bell)})
    call_command("jobs", once=True, stdout=out)
    assert (out.getvalue(), bell.read_text()) == ("1 job was run.\n", "ring")
