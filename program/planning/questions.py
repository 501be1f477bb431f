"""Pages that ask something of a plan: why a car goes or waits, and what a change would do."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import Http404
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_GET, require_http_methods, require_POST

from program.cases.models import Case
from program.planning import actions
from program.planning.forms import TryForm
from program.planning.models import Pin, Plan, WhatIf
from program.planning.points import case_sheet, described
from program.planning.queries import facts_of
from program.planning.states import PlanState
from program.planning.what_if import Answer
from shared import htmx
from shared.accounts.access import StaffRequest, requires
from shared.accounts.roles import OFFICE, RoleKind
from shared.jobs.models import Job

if TYPE_CHECKING:
    from collections.abc import Callable

    from django.db.models import QuerySet
    from django.http import HttpResponse

SHOWN = (PlanState.READY, PlanState.APPROVED, PlanState.SUPERSEDED)
SHOWN_QUESTIONS = 12


def _plan(request: StaffRequest, number: int) -> Plan:
    """Return a computed plan that kept its facts, or 404."""
    plans = Plan.objects.for_user(request.user).filter(state__in=SHOWN, result__has_key="facts")
    return get_object_or_404(plans.select_related("program", "approved_by"), number=number)


@require_http_methods(["GET", "POST"])
@requires(*OFFICE)
def case_why(request: StaffRequest, number: int, case: str) -> HttpResponse:
    """Show why a car goes home by a plan or waits, what pays, and what would change that."""
    plan = _plan(request, number)
    row = get_object_or_404(Case.objects.for_user(request.user), number=case)
    sheet = case_sheet(plan, row)
    if sheet is None:
        raise Http404
    if request.method == "POST":
        return _ask_why(request, plan, case)
    job = Job.objects.filter(program=plan.program, key=f"why:{plan.pk}:{case}").first()
    context = {
        "plan": plan,
        "case": row,
        "sheet": sheet,
        "waits_for": bool(job and not sheet.exact and job.state not in ("done", "failed")),
        "pin": Pin.objects.filter(case=row, ended_at=None).select_related("by").first(),
        "may_plan": _may_plan(request),
        "is_over": plan.state == PlanState.SUPERSEDED,
    }
    return htmx.answer(request, "planning/case_why.html", context, part="reasons")


def _ask_why(request: StaffRequest, plan: Plan, case: str) -> HttpResponse:
    try:
        actions.ask_why(plan=plan, case_id=case)
    except ValidationError as refusal:
        messages.error(request, refusal.messages[0])
    return htmx.go(request, "planning:case_why", plan.number, case)


def _may_plan(request: StaffRequest) -> bool:
    return request.user.is_any_of([RoleKind.COORDINATOR])


def _questions(plan: Plan) -> QuerySet[WhatIf]:
    return WhatIf.objects.filter(plan=plan).select_related("asked_by")


@require_http_methods(["GET", "POST"])
@requires(RoleKind.COORDINATOR)
def try_out(request: StaffRequest, number: int) -> HttpResponse:
    """Ask what a change would do to a plan, and show what was asked before."""
    plan = _plan(request, number)
    facts = facts_of(plan)
    form = TryForm(
        request.POST if request.method == "POST" else None,
        facts=facts,
        planned=plan_cases(plan),
        initial=_first(request),
    )
    if form.is_valid():
        asked = form.perform(actions.ask_what_if, plan=plan, by=request.user)
        if asked:
            return htmx.go(request, "planning:what_if", number, asked.pk)
    rows = [(row, described(row, facts)) for row in _questions(plan)[:SHOWN_QUESTIONS]]
    context = {"plan": plan, "form": form, "rows": rows}
    return render(request, "planning/try.html", context, status=422 if form.errors else 200)


def _first(request: StaffRequest) -> dict[str, Any]:
    """Return what a link proposes to try; the person may change it before asking."""
    return {name: request.GET[name] for name in TryForm.base_fields if name in request.GET}


def plan_cases(plan: Plan) -> frozenset[str]:
    """Return the cases that go home by a plan."""
    return frozenset(row["case_id"] for row in plan.result["plan"]["cases"])


@require_GET
@requires(RoleKind.COORDINATOR)
def what_if(request: StaffRequest, number: int, pk: int) -> HttpResponse:
    """Show the answer to one question: the need weight first, then everything."""
    plan = _plan(request, number)
    question = get_object_or_404(_questions(plan), pk=pk)
    answer = Answer.from_json(question.result) if question.result else None
    context = {
        "plan": plan,
        "question": question,
        "asked": described(question, facts_of(plan)),
        "answer": answer,
        "waits": question.state == PlanState.ASKED,
    }
    return htmx.answer(request, "planning/what_if.html", context, part="answer")


@require_POST
@requires(RoleKind.COORDINATOR)
def plan_cancel(request: StaffRequest, number: int) -> HttpResponse:
    """Give up a plan that is being computed."""
    return _while_computed(request, number, actions.cancel_plan, "The plan was given up.")


@require_POST
@requires(RoleKind.COORDINATOR)
def search_end(request: StaffRequest, number: int) -> HttpResponse:
    """End the search with the best plan found so far."""
    return _while_computed(request, number, actions.end_search, "The search ends in a moment.")


def _while_computed(
    request: StaffRequest, number: int, action: Callable[..., Plan], said: str
) -> HttpResponse:
    plan = get_object_or_404(Plan.objects.for_user(request.user), number=number)
    try:
        action(plan=plan, by=request.user)
    except ValidationError as refusal:
        messages.error(request, refusal.messages[0])
    else:
        messages.success(request, said)
    return redirect("planning:week")
