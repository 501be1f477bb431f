"""The coordinator's pages of matches."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.shortcuts import get_object_or_404, redirect
from django.views.decorators.http import require_POST

from shared import htmx
from shared.accounts.access import requires
from shared.accounts.roles import OFFICE, RoleKind
from sponsors.matching import actions, queries
from sponsors.matching.forms import FreeForm
from sponsors.pledges.queries import given, kept_for, pledges_for, with_needs

if TYPE_CHECKING:
    from django.http import HttpResponse

    from shared.accounts.access import StaffRequest


@requires(*OFFICE)
def match_list(request: StaffRequest) -> HttpResponse:
    program = queries.program_of(request.user)
    context = {
        "matched": queries.matched(program, program.today()),
        "may_change": request.user.is_any_of([RoleKind.COORDINATOR]),
    }
    return htmx.answer(request, "matching/match_list.html", context)


@requires(*OFFICE)
def pledge_fits(request: StaffRequest, pk: int) -> HttpResponse:
    """Show which open needs a pledge fits, and why it does not fit the others of its part."""
    pledge = get_object_or_404(with_needs(pledges_for(request.user)), pk=pk)
    context = {
        "pledge": pledge,
        "given": given(pledge),
        "kept_for": kept_for(pledge),
        "rows": queries.tried(pledge, pledge.program.today()),
    }
    return htmx.answer(request, "matching/pledge_fits.html", context)


@require_POST
@requires(RoleKind.COORDINATOR)
def match_again(request: StaffRequest) -> HttpResponse:
    program = queries.program_of(request.user)
    new = actions.match_open(program=program, today=program.today())
    messages.success(request, f"Matched. New pairs: {new}.")
    return redirect("matching:match_list")


@require_POST
@requires(RoleKind.COORDINATOR)
def match_confirm(request: StaffRequest, pk: int) -> HttpResponse:
    row = get_object_or_404(queries.reservations_for(request.user), pk=pk)
    try:
        actions.confirm(reservation=row, by=request.user)
    except ValidationError as refusal:
        messages.error(request, refusal.messages[0])
    else:
        messages.success(request, f"Confirmed: {row}. No later matching moves it.")
    return redirect("matching:match_list")


@requires(RoleKind.COORDINATOR)
def match_free(request: StaffRequest, pk: int) -> HttpResponse:
    row = get_object_or_404(queries.reservations_for(request.user), pk=pk)
    sent = request.method == "POST"
    form = FreeForm(request.POST if sent else None)
    context = {"form": form, "row": row}
    if sent and form.is_valid() and form.perform(actions.free, reservation=row, by=request.user):
        messages.success(request, f"Free again: {row.supply}.")
        return htmx.go(request, "matching:match_list")
    if sent:
        return htmx.refused(request, "matching/match_free.html", context)
    return htmx.answer(request, "matching/match_free.html", context)
