from __future__ import annotations

import datetime as dt

import pytest
from django.db import IntegrityError
from django.utils import timezone

from shared.jobs import actions
from shared.jobs.models import Job
from shared.jobs.progress import Progress
from tests.factories import make_program, make_user

pytestmark = pytest.mark.django_db


def running() -> Job:
    actions.ask(program=make_program(), key="plan:1", kind="compute_plan")
    job = actions.claim(timezone.now())
    assert job is not None
    return job


def test_telling_writes_how_far_it_is_and_renews_the_lease() -> None:
    job = running()
    Job.objects.update(lease_until=timezone.now() + dt.timedelta(seconds=1))
    Progress(job.program, job.key).tell(40, "Cash")
    told = Job.objects.get()
    assert (told.percent, told.doing) == (40, "Cash")
    assert told.lease_until
    assert told.lease_until > timezone.now() + dt.timedelta(seconds=60)


def test_only_the_end_of_a_job_is_the_whole() -> None:
    job = running()
    Progress(job.program, job.key).tell(250, "x" * 200)
    told = Job.objects.get()
    assert (told.percent, len(told.doing)) == (99, 80)


def test_a_job_that_nobody_holds_any_more_is_told_nothing() -> None:
    job = running()
    actions.finish(job)
    Progress(job.program, job.key).tell(40, "Cash")
    assert Job.objects.get().percent == 100


def test_work_hears_that_somebody_asked_it_to_stop() -> None:
    job = running()
    assert Progress(job.program, job.key).stop() is False
    actions.ask_to_stop(job=job, by=make_user())
    assert Progress(job.program, job.key).stop() is True


def test_the_table_is_not_asked_again_at_once() -> None:
    job = running()
    progress = Progress(job.program, job.key)
    assert progress.stop() is False
    actions.ask_to_stop(job=job, by=make_user())
    assert progress.stop() is False


def test_more_than_the_whole_is_not_possible() -> None:
    job = running()
    with pytest.raises(IntegrityError, match="job_percent_possible"):
        Job.objects.filter(pk=job.pk).update(percent=101)
