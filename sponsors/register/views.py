"""The coordinator's pages of sponsors."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.contrib import messages
from django.shortcuts import get_object_or_404, redirect
from django.views.decorators.http import require_POST

from shared import htmx
from shared.accounts.access import requires
from shared.accounts.roles import OFFICE, RoleKind
from shared.links.queries import link_url
from shared.tables import table_page
from sponsors.register import actions, queries
from sponsors.register.filters import SponsorFilter
from sponsors.register.forms import SponsorEditForm, SponsorForm, as_typed
from sponsors.register.tables import SponsorTable

if TYPE_CHECKING:
    from django.http import HttpResponse

    from shared.accounts.access import StaffRequest


@requires(*OFFICE)
def sponsor_list(request: StaffRequest) -> HttpResponse:
    rows = queries.sponsors_for(request.user)
    extra = {"may_change": request.user.is_any_of([RoleKind.COORDINATOR])}
    template = "register/sponsor_list.html"
    return table_page(request, SponsorTable, rows, template, filterset=SponsorFilter, extra=extra)


@requires(*OFFICE)
def sponsor_page(request: StaffRequest, pk: int) -> HttpResponse:
    sponsor = get_object_or_404(queries.sponsors_for(request.user), pk=pk)
    link = sponsor.link
    context = {
        "sponsor": sponsor,
        "gives": queries.in_words(sponsor.gives.all()),
        "pledges": queries.pledges_in_words(sponsor),
        "appeals": queries.appeals_in_words(sponsor),
        "page_url": link_url(link) if link and not link.revoked_at else "",
        "may_change": request.user.is_any_of([RoleKind.COORDINATOR]),
    }
    return htmx.answer(request, "register/sponsor_page.html", context)


@requires(RoleKind.COORDINATOR)
def sponsor_add(request: StaffRequest) -> HttpResponse:
    sent = request.method == "POST"
    form = SponsorForm(request.POST if sent else None)
    context = {"form": form}
    if sent and form.is_valid():
        made = form.perform(actions.add_sponsor, program=request.user.program, by=request.user)
        if made:
            messages.success(request, f"{made} is on record.")
            return htmx.go(request, "register:sponsor_page", made.pk)
    if sent:
        return htmx.refused(request, "register/sponsor_form.html", context)
    return htmx.answer(request, "register/sponsor_form.html", context)


@requires(RoleKind.COORDINATOR)
def sponsor_edit(request: StaffRequest, pk: int) -> HttpResponse:
    sponsor = get_object_or_404(queries.sponsors_for(request.user), pk=pk)
    sent = request.method == "POST"
    form = SponsorEditForm(request.POST if sent else None, initial=as_typed(sponsor))
    context = {"form": form, "sponsor": sponsor}
    if sent and form.is_valid():
        changed = form.perform(actions.edit_sponsor, sponsor=sponsor, by=request.user)
        if changed:
            messages.success(request, f"{changed} was changed.")
            return htmx.go(request, "register:sponsor_page", pk)
    if sent:
        return htmx.refused(request, "register/sponsor_form.html", context)
    return htmx.answer(request, "register/sponsor_form.html", context)


@require_POST
@requires(RoleKind.COORDINATOR)
def open_page(request: StaffRequest, pk: int) -> HttpResponse:
    sponsor = get_object_or_404(queries.sponsors_for(request.user), pk=pk)
    actions.give_portal_link(sponsor=sponsor, by=request.user)
    messages.success(request, "The private page is open. Copy its address from below.")
    return redirect("register:sponsor_page", pk=pk)


@require_POST
@requires(RoleKind.COORDINATOR)
def close_page(request: StaffRequest, pk: int) -> HttpResponse:
    sponsor = get_object_or_404(queries.sponsors_for(request.user), pk=pk)
    actions.revoke_portal_link(sponsor=sponsor, by=request.user)
    messages.success(request, "The private page is closed. The address they have opens nothing.")
    return redirect("register:sponsor_page", pk=pk)
