"""The jobs a person may see."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shared.jobs.models import Job, JobQuerySet

if TYPE_CHECKING:
    from shared.accounts.models import User


def jobs_for(user: User) -> JobQuerySet:
    """Return the jobs of the user's program, newest first."""
    return Job.objects.filter(program=user.program).order_by("-asked_at", "-pk")
