from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

import pytest
from django.utils.module_loading import import_string

from shared.jobs.actions import ask
from shared.jobs.models import Job
from shared.jobs.states import JobState
from tests.factories import make_program

if TYPE_CHECKING:
    from pathlib import Path

    from pytest_django import Settings

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def _workload(settings: Settings) -> None:
    settings.JOB_WORK = "tests.workload.WORK"
    settings.JOB_SCHEDULES = "tests.workload.SCHEDULES"


def test_a_task_runs_one_job(tmp_path: Path) -> None:
    program = make_program()
    for name in ("one", "two"):
        ask(program=program, key=name, kind="ring", payload={"bell": str(tmp_path / name)})
    assert import_string("shared.jobs.tasks.work")() == 1
    states = [job.state for job in Job.objects.order_by("pk")]
    assert states == [JobState.DONE, JobState.PENDING]


def test_a_tick_asks_for_recurring_work() -> None:
    make_program(made_at=dt.datetime(2026, 1, 1, tzinfo=dt.UTC))
    tick = import_string("shared.jobs.tasks.tick")
    assert [tick(), tick()] == [1, 0]
