"""Small pages about a household; the page of its case leads here and is returned to."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.contrib import messages
from django.shortcuts import get_object_or_404, redirect

from program.households import actions
from program.households.forms import ContactForm, StageForm, TieForm
from program.households.models import Household
from shared import htmx
from shared.accounts.access import requires
from shared.accounts.roles import RoleKind

if TYPE_CHECKING:
    from django.http import HttpResponse

    from shared.accounts.access import StaffRequest
    from shared.forms import Form

EDITORS = (RoleKind.COORDINATOR, RoleKind.CASEWORKER)


def _household(request: StaffRequest, pk: int) -> Household:
    rows = Household.objects.for_user(request.user).select_related("address", "program")
    return get_object_or_404(rows, pk=pk)


@requires(*EDITORS)
def safe_contact(request: StaffRequest, pk: int) -> HttpResponse:
    household = _household(request, pk)
    form = ContactForm.for_household(household, request.POST or None)
    done = form.is_valid() and form.perform(
        actions.set_safe_contact, household=household, by=request.user
    )
    if done:
        messages.success(request, "Recorded. Mail obeys this from now on.")
        return _back(household)
    return _form(request, household, form, "households/safe_contact.html")


@requires(*EDITORS)
def move_stage(request: StaffRequest, pk: int) -> HttpResponse:
    household = _household(request, pk)
    form = StageForm(household, request.POST or None)
    moved = form.is_valid() and form.perform(
        actions.move_stage, household=household, on=household.program.today(), by=request.user
    )
    if moved:
        messages.success(request, f"Recorded: {form.cleaned_data['to'].label.lower()}.")
        return _back(household)
    return _form(request, household, form, "households/move_stage.html")


@requires(*EDITORS)
def declare_tie(request: StaffRequest, pk: int) -> HttpResponse:
    household = _household(request, pk)
    form = TieForm(household, request.POST or None)
    tie = form.is_valid() and form.perform(
        actions.declare_tie, household=household, by=request.user
    )
    if tie:
        messages.success(request, "Recorded. This person no longer sees the household.")
        own = form.cleaned_data["user"] == request.user
        return redirect("desk:case_list") if own else _back(household)
    return _form(request, household, form, "households/declare_tie.html")


def _form(request: StaffRequest, household: Household, form: Form, template: str) -> HttpResponse:
    """Return the page of one form, with its refusals where there are some."""
    context = {"household": household, "form": form, "case": household.cases.last()}
    answer = htmx.refused if form.errors else htmx.answer
    return answer(request, template, context)


def _back(household: Household) -> HttpResponse:
    """Return to the household's newest case, or to all cases while it has none."""
    case = household.cases.order_by("closed_on", "-opened_on", "-pk").filter(closed_on=None).first()
    case = case or household.cases.order_by("-opened_on", "-pk").first()
    return redirect("desk:case_page", case.number) if case else redirect("desk:case_list")
