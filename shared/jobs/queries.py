"""The jobs a person may see."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from shared.accounts.roles import RoleKind
from shared.jobs.models import Job, JobQuerySet

if TYPE_CHECKING:
    from shared.accounts.models import User


def jobs_for(user: User) -> JobQuerySet:
    """Return the jobs of the user's program, newest first."""
    return Job.objects.filter(program=user.program).order_by("-asked_at", "-pk")


def how_far(user: User, key: str) -> dict[str, Any]:
    """Return what `jobs/asked.html` says of the job with this key, to this user."""
    return {
        "job": jobs_for(user).filter(key=key).first(),
        "may_retry": user.is_any_of([RoleKind.COORDINATOR]),
    }
