"""The plan of the coming weeks: computed, explained, approved, printed."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import Http404, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from program.cases.models import Case
from program.planning.actions import approve_plan, ask_plan, pin_case, unpin_case
from program.planning.forms import PinForm
from program.planning.jobs import input_of
from program.planning.models import Pin, Plan
from program.planning.pdf import wall_sheet
from program.planning.pictures import bay_board, fund_picture, households
from program.planning.queries import approved_plan, job_of, newest_plan
from program.planning.sheet import week_sheet
from program.planning.states import PlanState
from program.planning.tables import FundTable, HomeTable, HoursTable, WantedTable
from shared import htmx
from shared.accounts.access import StaffRequest, requires
from shared.accounts.roles import OFFICE, RoleKind
from shared.problems import Problem
from shared.say import Say

if TYPE_CHECKING:
    from program.planning.sheet import WeekSheet

SHOWN = (PlanState.READY, PlanState.APPROVED)
SHOWN_HOMES = 30  # of a large program; all stand on a page of their own


@require_GET
@requires(*OFFICE)
def week(request: StaffRequest) -> HttpResponse:
    """Show the newest plan, or that it is being computed, or that there is none."""
    plan = newest_plan(request.user.program) if request.user.program else None
    pins = Pin.objects.filter(case__in=Case.objects.for_user(request.user), ended_at=None)
    context: dict[str, object] = {
        "plan": plan,
        "may_plan": _may_plan(request),
        "pins": pins.select_related("case", "by"),
        "in_force": approved_plan(plan.program) if plan else None,
    }
    if plan is None or plan.state not in SHOWN:
        context["job"] = job_of(plan) if plan else None
        return htmx.answer(request, "planning/no_week.html", context, part="progress")
    if htmx.wants_part(request):  # the plan that this page waited for is there
        return htmx.go(request, "planning:week")
    sheet = week_sheet(plan, request.user)
    return render(request, "planning/week.html", context | _drawn(sheet))


def _may_plan(request: StaffRequest) -> bool:
    return request.user.is_any_of([RoleKind.COORDINATOR])


def _drawn(sheet: WeekSheet) -> dict[str, object]:
    homes = HomeTable(sheet.homes[:SHOWN_HOMES])
    homes.whole = sheet.homes
    return {
        "sheet": sheet,
        "homes": homes,
        "wanted": WantedTable(sheet.wanted),
        "funds": FundTable(sheet.funds),
        "hours": HoursTable(sheet.weeks),
        "board": bay_board(sheet, households(sheet)) if sheet.stays else None,
        "fund_picture": fund_picture(sheet),
    }


@require_POST
@requires(RoleKind.COORDINATOR)
def plan_ask(request: StaffRequest) -> HttpResponse:
    """Ask for a plan from the facts as they are now."""
    if request.user.program is None:
        raise Http404
    ask_plan(program=request.user.program, by=request.user)
    return redirect("planning:week")


@require_POST
@requires(RoleKind.COORDINATOR)
def plan_approve(request: StaffRequest, number: int) -> HttpResponse:
    """Approve a plan, unless the facts have changed since it was computed."""
    plan = get_object_or_404(Plan.objects.for_user(request.user), number=number)
    try:
        approve_plan(plan=plan, now=input_of(plan), by=request.user)
    except ValidationError as refusal:
        problems = [Problem(Say(sentence)) for sentence in refusal.messages]
        context = {
            "title": "The plan was not approved",
            "problems": problems,
            "back": reverse("planning:week"),
        }
        return htmx.refused(request, "422.html", context)
    messages.success(request, f"Plan {plan.number} is approved. Money, parts and dates are set.")
    return redirect("planning:week")


@require_http_methods(["GET", "POST"])
@requires(RoleKind.COORDINATOR)
def case_pin(request: StaffRequest, number: str) -> HttpResponse:
    """Keep a case in the next plans or out of them."""
    case = get_object_or_404(Case.objects.for_user(request.user).open(), number=number)
    form = PinForm(request.POST or None)
    if form.is_valid() and form.perform(pin_case, case=case, by=request.user):
        messages.success(request, f"Case {number} is pinned. A new plan is being computed.")
        return redirect("planning:week")
    context = {"form": form, "case": case, "pin": case.pins.filter(ended_at=None).first()}
    return render(request, "planning/pin.html", context, status=422 if form.errors else 200)


@require_POST
@requires(RoleKind.COORDINATOR)
def case_unpin(request: StaffRequest, number: str) -> HttpResponse:
    """Take the pin off a case."""
    case = get_object_or_404(Case.objects.for_user(request.user), number=number)
    if unpin_case(case=case, by=request.user):
        messages.success(request, f"The pin is off {number}. A new plan is being computed.")
    else:
        messages.error(request, f"{number} was not pinned any more. Nothing was changed.")
    return redirect("planning:week")


@require_GET
@requires(*OFFICE, RoleKind.LEAD_TECHNICIAN, RoleKind.TECHNICIAN)
def week_pdf(request: StaffRequest, number: int) -> HttpResponse:
    """Return the plan as one PDF for the shop's wall."""
    plans = Plan.objects.for_user(request.user).filter(state__in=SHOWN)
    plan = get_object_or_404(plans.select_related("program"), number=number)
    content = wall_sheet(week_sheet(plan, request.user), garage=plan.program.name)
    response = HttpResponse(content, content_type="application/pdf")
    response["Content-Disposition"] = f'inline; filename="plan-{number}.pdf"'
    response["Cache-Control"] = "no-store"
    return response
