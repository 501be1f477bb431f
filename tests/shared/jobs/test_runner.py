from __future__ import annotations

import datetime as dt
from functools import partial
from threading import Event as Flag
from typing import TYPE_CHECKING, Any

import pytest
from django.db import transaction
from django.utils import timezone

from shared.audit.actions import log_event
from shared.audit.models import Event
from shared.jobs import actions, runner
from shared.jobs.models import Job
from shared.jobs.schedules import Schedule
from shared.jobs.states import JobState
from tests.factories import make_program

if TYPE_CHECKING:
    from pytest_django import DjangoAssertNumQueries, Settings

    from shared.accounts.models import Program
    from shared.jobs.runner import Write

pytestmark = pytest.mark.django_db

SCHEDULES = (
    Schedule(kind="draft_appeals", at=dt.time(6), weekday=0),
    Schedule(kind="expire_pledges", at=dt.time(3, 30)),
)
STOPPED = Flag()


def compute(payload: dict[str, Any], program: Program) -> Write:
    return partial(log_event, program, payload["what"], by=None)


def break_down(_payload: dict[str, Any], _program: Program) -> None:
    raise ValueError("The lift is in use.")


def stop(_payload: dict[str, Any], _program: Program) -> None:
    STOPPED.set()


def wait(_payload: dict[str, Any], _program: Program) -> None:
    if not STOPPED.wait(timeout=30):
        raise TimeoutError("Nothing ran beside this job.")


WORK: dict[str, runner.Work] = {
    "compute": compute,
    "break": break_down,
    "stop": stop,
    "wait": wait,
}


def ask(key: str, kind: str = "compute", **payload: Any) -> Job:
    return actions.ask(program=make_program(), key=key, kind=kind, payload=payload)


def test_each_due_job_is_run_and_its_result_written() -> None:
    for what in ("One.", "Two.", "Three."):
        ask(what, what=what)
    assert runner.run_due(WORK) == 3
    assert [line.what for line in Event.objects.order_by("pk")] == ["One.", "Two.", "Three."]
    assert {job.state for job in Job.objects.all()} == {JobState.DONE}


def test_a_job_that_was_done_is_not_run_again() -> None:
    ask("one", what="One.")
    assert [runner.run_due(WORK), runner.run_due(WORK)] == [1, 0]
    assert Event.objects.count() == 1


def test_a_worker_may_take_a_few_at_a_time() -> None:
    for number in range(3):
        ask(str(number), what="One.")
    assert [runner.run_due(WORK, limit=2), Job.objects.waiting().count()] == [2, 1]


def test_what_goes_wrong_is_on_the_row_and_stops_no_other_job() -> None:
    broken, sound = ask("broken", "break"), ask("sound", what="Done.")
    assert runner.run_due(WORK) == 2
    broken.refresh_from_db()
    sound.refresh_from_db()
    assert (broken.state, sound.state) == (JobState.PENDING, JobState.DONE)
    assert broken.error.startswith("ValueError: The lift is in use. (test_runner.py, line ")


def test_a_kind_that_nobody_knows_says_so() -> None:
    job = ask("one", "paint")
    runner.run_due(WORK)
    job.refresh_from_db()
    assert job.error.startswith("LookupError: No work is known for jobs of the kind “paint”.")


def test_a_result_is_dropped_when_another_worker_has_the_job() -> None:
    ask("one", what="One.")
    slow = actions.claim(timezone.now())
    assert slow is not None
    assert runner.run_due(WORK, now=timezone.now() + dt.timedelta(hours=1)) == 1
    runner.run(slow, WORK)
    assert Event.objects.count() == 1


@pytest.mark.django_db(transaction=True)
def test_work_runs_outside_any_transaction() -> None:
    seen = []

    def look(_payload: dict[str, Any], _program: Program) -> Write:
        seen.append(transaction.get_connection().in_atomic_block)
        return lambda: seen.append(transaction.get_connection().in_atomic_block)

    ask("one", "look")
    runner.run_due({"look": look})
    assert seen == [False, True]


@pytest.mark.django_db(transaction=True)
def test_the_embedded_queue_runs_until_it_is_stopped(settings: Settings) -> None:
    settings.JOB_WORK = "tests.shared.jobs.test_runner.WORK"
    settings.JOB_SCHEDULES = "tests.shared.jobs.test_runner.SCHEDULES"
    STOPPED.clear()
    ask("one", what="One.")
    ask("last", "stop")
    runner.run_forever(STOPPED, poll=0.01)
    assert (Event.objects.count(), Job.objects.waiting().count()) == (1, 0)


@pytest.mark.django_db(transaction=True)
def test_a_short_job_waits_for_no_long_one(settings: Settings) -> None:
    settings.JOB_WORK = "tests.shared.jobs.test_runner.WORK"
    settings.JOB_SCHEDULES = "tests.shared.jobs.test_runner.SCHEDULES"
    STOPPED.clear()
    ask("long", "wait")
    ask("short", "stop")
    runner.run_forever(STOPPED, poll=0.01)
    assert [job.state for job in Job.objects.all()] == [JobState.DONE, JobState.DONE]


def at(text: str) -> dt.datetime:
    return dt.datetime.fromisoformat(text)


@pytest.fixture
def _schedules(settings: Settings) -> None:
    settings.JOB_SCHEDULES = "tests.shared.jobs.test_runner.SCHEDULES"


def keys() -> list[str]:
    return [str(job) for job in Job.objects.order_by("key")]


@pytest.mark.usefixtures("_schedules")
def test_recurring_work_is_asked_for_once_a_slot() -> None:
    make_program(made_at=at("2026-01-01T00:00Z"))
    wednesday = at("2026-11-25T18:00Z")
    assert [runner.tick(wednesday), runner.tick(wednesday)] == [2, 0]
    assert runner.tick(wednesday + dt.timedelta(days=1)) == 1
    assert keys() == [
        "draft_appeals:2026-W48",
        "expire_pledges:2026-11-25",
        "expire_pledges:2026-11-26",
    ]


@pytest.mark.usefixtures("_schedules")
def test_slots_go_by_the_clock_of_the_program() -> None:
    make_program(made_at=at("2026-01-01T00:00Z"), time_zone="America/New_York")
    runner.tick(at("2026-11-30T10:59Z"))  # 5:59 in New York, a Monday
    assert keys()[0] == "draft_appeals:2026-W48"
    assert runner.tick(at("2026-11-30T11:00Z")) == 1


@pytest.mark.usefixtures("_schedules")
def test_a_new_program_is_not_asked_for_what_was_before_it() -> None:
    make_program(made_at=at("2026-11-25T18:00Z"))
    assert runner.tick(at("2026-11-25T18:00Z")) == 0


@pytest.mark.usefixtures("_schedules")
def test_a_tick_without_news_reads_twice(django_assert_num_queries: DjangoAssertNumQueries) -> None:
    make_program(made_at=at("2026-01-01T00:00Z"))
    runner.tick(at("2026-11-25T18:00Z"))
    with django_assert_num_queries(2):
        assert runner.tick(at("2026-11-25T18:00:30Z")) == 0
