"""The coordinator's page of background jobs."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.shortcuts import get_object_or_404, redirect
from django.views.decorators.http import require_POST

from shared.accounts.access import requires
from shared.accounts.roles import RoleKind
from shared.jobs import actions, queries
from shared.jobs.filters import JobFilter
from shared.jobs.tables import JobTable
from shared.tables import table_page

if TYPE_CHECKING:
    from collections.abc import Callable

    from django.http import HttpResponse

    from shared.accounts.access import StaffRequest
    from shared.jobs.models import Job


@requires(RoleKind.COORDINATOR)
def job_list(request: StaffRequest) -> HttpResponse:
    rows = queries.jobs_for(request.user)
    extra = {"failed": rows.failed().count(), "waiting": rows.waiting().count()}
    return table_page(
        request, JobTable, rows, "jobs/job_list.html", filterset=JobFilter, extra=extra
    )


@require_POST
@requires(RoleKind.COORDINATOR)
def retry(request: StaffRequest, pk: int) -> HttpResponse:
    return _decide(request, pk, actions.retry, "The job waits for its next try.")


@require_POST
@requires(RoleKind.COORDINATOR)
def stop(request: StaffRequest, pk: int) -> HttpResponse:
    return _decide(request, pk, actions.ask_to_stop, "The job was asked to stop.")


def _decide(request: StaffRequest, pk: int, action: Callable[..., Job], said: str) -> HttpResponse:
    """Call an action on one job, say what came of it, and go back to where it was asked."""
    job = get_object_or_404(queries.jobs_for(request.user), pk=pk)
    try:
        action(job=job, by=request.user)
    except ValidationError as refusal:
        messages.error(request, refusal.messages[0])
    else:
        messages.success(request, said)
    return redirect("jobs:job_list")
