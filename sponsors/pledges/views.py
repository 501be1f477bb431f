"""The coordinator's pages of pledges."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.contrib import messages
from django.shortcuts import get_object_or_404

from shared import htmx
from shared.accounts.access import requires
from shared.accounts.roles import OFFICE, RoleKind
from shared.tables import table_page
from sponsors.pledges import actions, queries
from sponsors.pledges.filters import PledgeFilter
from sponsors.pledges.forms import EndForm, PledgeForm
from sponsors.pledges.tables import PledgesToRead, PledgeTable
from sponsors.register.queries import sponsors_for

if TYPE_CHECKING:
    from django.http import HttpResponse

    from shared.accounts.access import StaffRequest


@requires(*OFFICE)
def pledge_list(request: StaffRequest) -> HttpResponse:
    rows = queries.with_needs(queries.pledges_for(request.user))
    template = "pledges/pledge_list.html"
    may_end = request.user.is_any_of([RoleKind.COORDINATOR])
    table = PledgeTable if may_end else PledgesToRead
    return table_page(request, table, rows, template, filterset=PledgeFilter)


@requires(RoleKind.COORDINATOR)
def pledge_new(request: StaffRequest, pk: int) -> HttpResponse:
    """Record what a sponsor promised by phone, and go on to the needs that it fits."""
    sponsor = get_object_or_404(sponsors_for(request.user), pk=pk)
    sent = request.method == "POST"
    form = PledgeForm(request.POST if sent else None)
    if sent and form.is_valid():
        made = form.perform(actions.record_pledge, sponsor=sponsor, by=request.user)
        if made:
            messages.success(request, f"Recorded: {made.quantity} × {made.title}.")
            return htmx.go(request, "matching:pledge_fits", made.pk)
    kinds = queries.kinds_in_words(sponsor.program)
    context = {"form": form, "sponsor": sponsor, "kinds": kinds}
    answer = htmx.refused if sent else htmx.answer
    return answer(request, "pledges/pledge_new.html", context)


@requires(RoleKind.COORDINATOR)
def pledge_end(request: StaffRequest, pk: int) -> HttpResponse:
    pledge = get_object_or_404(queries.pledges_for(request.user), pk=pk)
    sent = request.method == "POST"
    form = EndForm(request.POST if sent else None)
    context = {"form": form, "pledge": pledge}
    if sent and form.is_valid() and form.perform(actions.take_back, pledge=pledge, by=request.user):
        messages.success(request, f"{pledge.title}: ended. What it was kept for is free.")
        return htmx.go(request, "pledges:pledge_list")
    if sent:
        return htmx.refused(request, "pledges/pledge_end.html", context)
    return htmx.answer(request, "pledges/pledge_end.html", context)
