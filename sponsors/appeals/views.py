"""The coordinator's pages of appeals."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.contrib import messages
from django.shortcuts import get_object_or_404

from shared import htmx
from shared.accounts.access import requires
from shared.accounts.roles import OFFICE, RoleKind
from shared.tables import table_page
from sponsors.appeals import actions, queries
from sponsors.appeals.filters import AppealFilter
from sponsors.appeals.forms import ApproveForm, DropForm
from sponsors.appeals.states import AppealState
from sponsors.appeals.tables import AppealTable

if TYPE_CHECKING:
    from django.http import HttpResponse

    from shared.accounts.access import StaffRequest


@requires(*OFFICE)
def appeal_list(request: StaffRequest) -> HttpResponse:
    rows = queries.appeals_for(request.user)
    extra = {"undecided": rows.filter(state=AppealState.DRAFTED).count()}
    template = "appeals/appeal_list.html"
    return table_page(request, AppealTable, rows, template, filterset=AppealFilter, extra=extra)


@requires(RoleKind.COORDINATOR)
def appeal_page(request: StaffRequest, pk: int) -> HttpResponse:
    """Show a mail as it will be sent; sending the form approves it."""
    appeal = get_object_or_404(queries.with_lines(queries.appeals_for(request.user)), pk=pk)
    sent = request.method == "POST"
    form = ApproveForm(request.POST if sent else None)
    context = {
        "form": form,
        "appeal": appeal,
        "became": queries.became(appeal),
        "undecided": appeal.state == AppealState.DRAFTED,
    }
    approve = actions.approve_appeal
    if sent and form.is_valid() and form.perform(approve, appeal=appeal, by=request.user):
        messages.success(request, f"Approved. The mail to {appeal.sponsor} waits to be sent.")
        return htmx.go(request, "appeals:appeal_page", pk)
    if sent:
        return htmx.refused(request, "appeals/appeal_page.html", context)
    return htmx.answer(request, "appeals/appeal_page.html", context)


@requires(RoleKind.COORDINATOR)
def appeal_drop(request: StaffRequest, pk: int) -> HttpResponse:
    appeal = get_object_or_404(queries.appeals_for(request.user), pk=pk)
    sent = request.method == "POST"
    form = DropForm(request.POST if sent else None)
    context = {"form": form, "appeal": appeal}
    if (
        sent
        and form.is_valid()
        and form.perform(actions.drop_appeal, appeal=appeal, by=request.user)
    ):
        messages.success(request, f"Dropped. {appeal.sponsor} gets no mail in this round.")
        return htmx.go(request, "appeals:appeal_list")
    if sent:
        return htmx.refused(request, "appeals/appeal_drop.html", context)
    return htmx.answer(request, "appeals/appeal_drop.html", context)
