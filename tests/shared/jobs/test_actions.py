from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

import pytest
from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone

from shared.audit.models import Event
from shared.jobs import actions
from shared.jobs.models import Job
from shared.jobs.states import MAX_ATTEMPTS, JobState
from tests.factories import make_program, make_user

if TYPE_CHECKING:
    from pytest_django import DjangoAssertNumQueries, Settings

pytestmark = pytest.mark.django_db

NOW = dt.datetime(2026, 11, 30, 12, tzinfo=dt.UTC)


def ask(key: str = "send:1", **fields: object) -> Job:
    defaults: dict[str, object] = {"program": make_program(), "kind": "send", "run_after": NOW}
    return actions.ask(key=key, **defaults | fields)  # type: ignore[arg-type]


def claimed() -> Job:
    ask()
    job = actions.claim(NOW)
    assert job is not None
    return job


def test_asking_twice_asks_once() -> None:
    first = ask(payload={"message": 1})
    second = ask(payload={"message": 2}, kind="other")
    assert (first.pk, second.payload, second.kind) == (second.pk, {"message": 1}, "send")


def test_what_is_asked_for_in_a_transaction_goes_with_it() -> None:
    with transaction.atomic():
        ask()
        transaction.set_rollback(True)
    assert Job.objects.count() == 0


def test_a_claimed_job_holds_a_lease_and_has_begun_an_attempt(settings: Settings) -> None:
    settings.JOB_LEASE_SECONDS = 120
    job = claimed()
    assert (job.state, job.attempts) == (JobState.RUNNING, 1)
    assert job.lease_until == NOW + dt.timedelta(seconds=120)
    assert Job.objects.get().lease_token == job.lease_token


def test_a_job_is_claimed_once() -> None:
    claimed()
    assert actions.claim(NOW) is None


def test_the_oldest_due_job_comes_first() -> None:
    ask("later", run_after=NOW)
    ask("first", run_after=NOW - dt.timedelta(hours=1))
    ask("not yet", run_after=NOW + dt.timedelta(hours=1))
    keys = [str(actions.claim(NOW)) for _ in range(3)]
    assert keys == ["first", "later", "None"]


def test_an_idle_poll_is_one_read(django_assert_num_queries: DjangoAssertNumQueries) -> None:
    with django_assert_num_queries(1) as queries:
        assert actions.claim(NOW) is None
    assert queries.captured_queries[0]["sql"].startswith("SELECT")


def test_a_job_whose_lease_ran_out_is_claimed_again() -> None:
    first = claimed()
    later = NOW + dt.timedelta(hours=1)
    second = actions.claim(later)
    assert second is not None
    assert (second.pk, second.attempts) == (first.pk, 2)
    assert second.lease_token != first.lease_token


def test_a_job_that_kills_its_worker_each_time_ends_as_failed() -> None:
    job = claimed()
    Job.objects.update(attempts=MAX_ATTEMPTS)
    assert actions.claim(NOW + dt.timedelta(hours=1)) is None
    job.refresh_from_db()
    assert (job.state, job.error) == (JobState.FAILED, "Its worker died at each attempt.")


def test_the_result_is_written_with_the_end_of_the_job() -> None:
    job, written = claimed(), list[str]()
    assert actions.finish(job, lambda: written.append("effect"))
    job.refresh_from_db()
    assert (job.state, written, job.done_at is not None) == (JobState.DONE, ["effect"], True)


def test_after_a_lost_lease_nothing_is_written() -> None:
    lost, written = claimed(), list[str]()
    assert actions.claim(NOW + dt.timedelta(hours=1)) is not None
    assert not actions.finish(lost, lambda: written.append("effect"))
    assert not actions.fail(lost, "Too late.")
    row = Job.objects.get()
    assert (row.state, row.error, written) == (JobState.RUNNING, "", [])


def test_a_result_that_cannot_be_written_leaves_the_job_running() -> None:
    job = claimed()

    def write() -> None:
        Event.objects.create(program=job.program, kind="job", object_id=1, what="Half.")
        raise ZeroDivisionError

    with pytest.raises(ZeroDivisionError):
        actions.finish(job, write)
    job.refresh_from_db()
    assert (job.state, Event.objects.count()) == (JobState.RUNNING, 0)


def test_a_failed_attempt_waits_and_says_why() -> None:
    job, before = claimed(), timezone.now()
    assert actions.fail(job, "The server said no." + "x" * 600)
    job.refresh_from_db()
    assert (job.state, len(job.error)) == (JobState.PENDING, actions.LONGEST_ERROR)
    wait = job.run_after - before
    assert dt.timedelta(minutes=2) <= wait < dt.timedelta(minutes=3)


def test_the_eighth_failure_is_the_last() -> None:
    job = claimed()
    job.attempts = MAX_ATTEMPTS
    assert actions.fail(job, "The server said no.")
    job.refresh_from_db()
    assert (job.state, actions.claim(NOW + dt.timedelta(days=9))) == (JobState.FAILED, None)


def test_a_person_may_let_a_failed_job_run_again() -> None:
    job, by = claimed(), make_user()
    Job.objects.update(state=JobState.FAILED, attempts=MAX_ATTEMPTS, error="No.")
    again = actions.retry(job=job, by=by)
    assert (again.state, again.attempts) == (JobState.PENDING, 0)
    assert Event.objects.about("job", job.pk).get().by == by


@pytest.mark.parametrize("state", [JobState.PENDING, JobState.RUNNING, JobState.DONE])
def test_only_a_failed_job_is_tried_again(state: JobState) -> None:
    job = claimed()
    Job.objects.update(state=state)
    with pytest.raises(ValidationError) as refusal:
        actions.retry(job=job, by=make_user())
    assert refusal.value.messages == ["Only a failed job is tried again."]
    assert Job.objects.get().state == state


def test_a_running_job_is_asked_to_stop_once() -> None:
    job, by = claimed(), make_user()
    first = actions.ask_to_stop(job=job, by=by)
    again = actions.ask_to_stop(job=job, by=make_user(username="other"))
    assert (first.state, again.stop_asked_by, again.stop_asked_at) == (
        JobState.RUNNING,
        by,
        first.stop_asked_at,
    )
    assert Event.objects.filter(what="Asked to stop.").count() == 1


def test_a_job_that_is_stopped_before_it_begins_may_be_tried_again() -> None:
    job, by = ask(), make_user()
    stopped = actions.ask_to_stop(job=job, by=by)
    assert (stopped.state, stopped.error) == (
        JobState.FAILED,
        "Stopped by a person before it began.",
    )
    again = actions.retry(job=stopped, by=by)
    assert (again.state, again.stop_asked_at) == (JobState.PENDING, None)


def test_a_job_that_has_ended_is_not_stopped() -> None:
    job = claimed()
    actions.finish(job)
    with pytest.raises(ValidationError, match="This job has ended; there is nothing to stop"):
        actions.ask_to_stop(job=job, by=make_user())


def test_a_job_that_is_done_is_done_to_the_whole() -> None:
    actions.finish(claimed())
    job = Job.objects.get()
    assert (job.percent, job.doing) == (100, "")
