"""Asking for a job, taking it under a lease, and writing how it went."""

from __future__ import annotations

import datetime as dt
import uuid
from typing import TYPE_CHECKING, Any

from django.conf import settings
from django.core.exceptions import ValidationError
from django.db import connection, transaction
from django.utils import timezone

from shared.audit.actions import log_event
from shared.jobs import nudge
from shared.jobs.models import Job
from shared.jobs.states import MAX_ATTEMPTS, JobState, retry_minutes

if TYPE_CHECKING:
    from collections.abc import Callable

    from shared.accounts.models import Program, User

LONGEST_ERROR = 500


def ask(
    *,
    program: Program,
    key: str,
    kind: str,
    payload: dict[str, Any] | None = None,
    run_after: dt.datetime | None = None,
) -> Job:
    """Return the one job of this key, written in the caller's transaction if it is new.

    The key names the effect, not the call (`appeal:17:sponsor:4:round:2`): asking again changes
    nothing. A worker is woken when the transaction is committed.
    """
    job, is_new = Job.objects.get_or_create(
        program=program,
        key=key,
        defaults={
            "kind": kind,
            "payload": payload or {},
            "run_after": run_after or timezone.now(),
        },
    )
    if is_new:
        transaction.on_commit(nudge.worker, robust=True)
    return job


def ask_again(job: Job) -> Job:
    """Let a job that is done or has failed run once more, with all its attempts."""
    ended = Job.objects.filter(pk=job.pk, state__in=[JobState.DONE, JobState.FAILED])
    fresh = {"attempts": 0, "percent": 0, "doing": "", "stop_asked_at": None, "done_at": None}
    if ended.update(state=JobState.PENDING, run_after=timezone.now(), **fresh):
        transaction.on_commit(nudge.worker, robust=True)
    job.refresh_from_db()
    return job


@transaction.atomic
def ask_to_stop(*, job: Job, by: User) -> Job:
    """Ask a running job to stop; what it has by then is kept where its work allows.

    One that still waits doesn't begin: it stands as failed, and may be tried again.

    Raises:
        ValidationError: the job has ended.
    """
    found = Job.objects.select_for_update().get(pk=job.pk)
    if found.state not in (JobState.PENDING, JobState.RUNNING):
        raise ValidationError("This job has ended; there is nothing to stop.")
    if found.stop_asked_at is None:
        found.stop_asked_at, found.stop_asked_by = timezone.now(), by
        if found.state == JobState.PENDING:
            found.state, found.error = JobState.FAILED, "Stopped by a person before it began."
        found.save(update_fields=["stop_asked_at", "stop_asked_by", "state", "error"])
        log_event(found, "Asked to stop.", by=by, fields=["stop_asked_at"])
    return found


@transaction.atomic
def retry(*, job: Job, by: User) -> Job:
    """Let a failed job run again. Raises ValidationError for a job that has not failed."""
    found = Job.objects.select_for_update().get(pk=job.pk)
    if found.state != JobState.FAILED:
        raise ValidationError("Only a failed job is tried again.")
    log_event(found, "Asked for another try.", by=by, fields=["state"])
    return ask_again(found)


def claim(now: dt.datetime) -> Job | None:
    """Return one due job under a fresh lease, or None. An idle poll reads only.

    An attempt counts from its beginning, so that a job that kills its worker ends as failed too.
    """
    while Job.objects.due(now).exists():
        job = _take(now)
        # None: other workers are just taking the rest. A job that was given up: look further.
        if job is None or job.state == JobState.RUNNING:
            return job
    return None


@transaction.atomic
def _take(now: dt.datetime) -> Job | None:
    """Return the first due job that no other worker holds, now running or given up."""
    skips = connection.features.has_select_for_update_skip_locked
    job = Job.objects.due(now).select_for_update(skip_locked=skips).first()
    if job is None:
        return None
    if job.attempts >= MAX_ATTEMPTS:
        job.state = JobState.FAILED
        job.error = job.error or "Its worker died at each attempt."
    else:
        job.state = JobState.RUNNING
        job.attempts += 1
        job.lease_token = uuid.uuid4()
        job.lease_until = now + dt.timedelta(seconds=settings.JOB_LEASE_SECONDS)
    job.save(update_fields=["state", "attempts", "error", "lease_token", "lease_until"])
    return job


@transaction.atomic
def finish(job: Job, write: Callable[[], object] | None = None) -> bool:
    """Write the result and mark the job done, both or neither; False when the lease was lost.

    `write` is not called after a lost lease: another worker has the job by then.
    """
    held = Job.objects.filter(pk=job.pk, state=JobState.RUNNING, lease_token=job.lease_token)
    done = {"done_at": timezone.now(), "error": "", "percent": 100, "doing": ""}
    if not held.update(state=JobState.DONE, **done):
        return False
    if write is not None:
        write()
    return True


def fail(job: Job, error: str) -> bool:
    """Write why the attempt failed; the job waits 2, 4, 8 … minutes or has failed for good.

    Returns False, and writes nothing, when the lease was lost.
    """
    over = job.attempts >= MAX_ATTEMPTS
    wait = dt.timedelta(minutes=retry_minutes(job.attempts))
    held = Job.objects.filter(pk=job.pk, state=JobState.RUNNING, lease_token=job.lease_token)
    return bool(
        held.update(
            state=JobState.FAILED if over else JobState.PENDING,
            run_after=timezone.now() + wait,
            error=error[:LONGEST_ERROR],
        )
    )
