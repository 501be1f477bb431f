"""Earlier plans: what each promised, and what happened."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.shortcuts import get_object_or_404, render
from django.views.decorators.http import require_GET

from program.planning.history import past_plans, promises_of
from program.planning.models import Plan
from program.planning.sheet import week_sheet
from program.planning.states import PlanState
from program.planning.tables import HomeTable, PlanTable, PromiseTable, WaitTable
from shared.accounts.access import StaffRequest, requires
from shared.accounts.roles import OFFICE
from shared.tables import table_page

if TYPE_CHECKING:
    from django.http import HttpResponse


SHOWN = (PlanState.READY, PlanState.APPROVED, PlanState.SUPERSEDED)


@require_GET
@requires(*OFFICE)
def plan_list(request: StaffRequest) -> HttpResponse:
    """Show the approved plans, newest first: what was promised and what was kept."""
    rows = past_plans(request.user)
    kept = sum(row.kept for row in rows)
    extra = {"kept": kept, "due": sum(row.due for row in rows)}
    return table_page(request, PlanTable, rows, "planning/plan_list.html", extra=extra)


@require_GET
@requires(*OFFICE)
def plan_page(request: StaffRequest, number: int) -> HttpResponse:
    """Show one approved plan, car by car: the days promised, and the day it went home."""
    plans = Plan.objects.for_user(request.user).filter(approved_at__isnull=False)
    plan = get_object_or_404(plans.select_related("program", "approved_by"), number=number)
    rows = promises_of(plan, request.user)
    context = {
        "plan": plan,
        "table": PromiseTable(rows),
        "changes": plan.result.get("changes", []),
        "kept": sum(1 for row in rows if row.was_kept),
        "late": sum(1 for row in rows if row.is_late),
    }
    return render(request, "planning/plan_page.html", context)


@require_GET
@requires(*OFFICE)
def home_list(request: StaffRequest, number: int) -> HttpResponse:
    """Show every car that goes home by a plan."""
    plans = Plan.objects.for_user(request.user).filter(state__in=SHOWN)
    plan = get_object_or_404(plans.select_related("program"), number=number)
    rows = list(week_sheet(plan, request.user).homes)
    return table_page(request, HomeTable, rows, "planning/home_list.html", extra={"plan": plan})


@require_GET
@requires(*OFFICE)
def waiting_list(request: StaffRequest, number: int) -> HttpResponse:
    """Show every car that waits in a plan, with what it lacks."""
    plans = Plan.objects.for_user(request.user).filter(state__in=SHOWN)
    plan = get_object_or_404(plans.select_related("program"), number=number)
    rows = list(week_sheet(plan, request.user).waits)
    return table_page(request, WaitTable, rows, "planning/waiting_list.html", extra={"plan": plan})
