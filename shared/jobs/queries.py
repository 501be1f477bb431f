"""The jobs a person may see, and what stands in the queue."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shared.jobs.models import Job
from shared.jobs.states import JobState

if TYPE_CHECKING:
    from django.db.models import QuerySet

    from shared.accounts.models import Program, User


def jobs_for(user: User) -> QuerySet[Job]:
    """Return the jobs of the user's program, newest first."""
    return Job.objects.filter(program=user.program).order_by("-asked_at", "-pk")


def failed(program: Program) -> QuerySet[Job]:
    """Return the jobs that have failed for good: a person has to look."""
    return Job.objects.filter(program=program, state=JobState.FAILED)
