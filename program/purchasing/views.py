"""The pages of needs: what lacks, how far it is, and whether it fits."""

from __future__ import annotations

from functools import partial
from http import HTTPStatus
from typing import TYPE_CHECKING, Any

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_POST, require_safe

from program.purchasing import forms, queries, tables
from program.purchasing.actions import make_sure
from program.purchasing.filters import NeedFilter
from shared.accounts.access import requires
from shared.accounts.roles import OFFICE, SHOP, RoleKind
from shared.audit.models import Event
from shared.tables import table_page
from vehicles.repairs import keeping
from vehicles.repairs.ages import aged, problems, taken
from vehicles.repairs.models import Need
from vehicles.repairs.states import NeedState
from vehicles.repairs.substitutes import POLICY, verdicts
from vehicles.shop.systems import System

if TYPE_CHECKING:
    from collections.abc import Callable

    from django.http import HttpResponse

    from program.purchasing.queries import NeedRow
    from shared.accounts.access import StaffRequest
    from shared.accounts.models import Program
    from shared.forms import Form

DECIDERS = (RoleKind.COORDINATOR, RoleKind.LEAD_TECHNICIAN)
MOST_ASKED = 7


@require_safe
@requires(*OFFICE, *SHOP)
def need_list(request: StaffRequest) -> HttpResponse:
    asked = NeedFilter(request.GET)
    needs = queries.needs_of(request.user, closed=asked.closed)
    rows = queries.need_rows(request.user, _program(request), needs)
    ask = queries.to_find_out(rows)
    extra = {
        "filter": asked,
        "ask": ask[:MOST_ASKED],
        "more": len(ask[MOST_ASKED:]),
        "count": len(rows),
        "lacking": sum(row.kept < row.need.quantity for row in rows),
        "held": sum(row.held is not None for row in rows),
        "closed": asked.closed,
        "office": request.user.is_any_of(OFFICE),
    }
    narrowed = asked.narrowed(rows)
    return table_page(request, tables.NeedTable, narrowed, "purchasing/need_list.html", extra=extra)


@require_safe
@requires(*OFFICE, *SHOP)
def need_page(request: StaffRequest, pk: int) -> HttpResponse:
    return _page(request, _need(request, pk))


@require_POST
@requires(*DECIDERS)
def need_conditions(request: StaffRequest, pk: int) -> HttpResponse:
    need = _need(request, pk)
    form = forms.ConditionsForm(request.POST, need=need)
    act = partial(keeping.set_conditions, need=need)
    return _act(request, need, conditions=(form, act, "Recorded: what it may be."))


@require_POST
@requires(*SHOP)
def need_ask(request: StaffRequest, pk: int) -> HttpResponse:
    need = _need(request, pk)
    act = partial(keeping.take_asking, need=need)
    return _act(request, need, ask=(forms.AskForm(request.POST), act, "Recorded: you find it out."))


@require_POST
@requires(*SHOP)
def need_checked(request: StaffRequest, pk: int) -> HttpResponse:
    need = _need(request, pk)
    form = forms.FitForm(request.POST, need=need, near=_row(request, need).asking.near)
    act = partial(make_sure, need=need)
    return _act(request, need, fit=(form, act, f"Recorded: it fits. {_read(need, form)}".strip()))


def _read(need: Need, form: forms.FitForm) -> str:
    """Return why a used tire or battery may be used, and by whose rule; empty for other parts."""
    data, today = form.cleaned_data if form.is_valid() else {}, need.program.today()
    unit = data.get("unit")
    if not unit or not unit.used or not aged(need.kind) or problems(need.kind, data["worn"], today):
        return ""
    return f"{taken(need.kind, data['worn'], today)} Rule from: {POLICY}."


def _program(request: StaffRequest) -> Program:
    if request.user.program is None:
        raise PermissionDenied
    return request.user.program


def _need(request: StaffRequest, pk: int) -> Need:
    rows = Need.objects.for_user(request.user)
    return get_object_or_404(rows.select_related("item__intake", "program"), pk=pk)


def _act(
    request: StaffRequest, need: Need, **sent: tuple[Form, Callable[..., Any], str]
) -> HttpResponse:
    """Run the one action that was sent, or show the page with what is wrong with it."""
    [(name, (form, act, said))] = sent.items()
    if form.is_valid() and form.perform(act, by=request.user):
        messages.success(request, said)
        return redirect("purchasing:need_page", need.pk)
    return _page(request, need, **{name: form})


def _page(request: StaffRequest, need: Need, **typed: Form) -> HttpResponse:
    """Return the page of one need; a form that was refused stands on it as it was typed."""
    row = _row(request, need)
    user, is_open = request.user, need.state == NeedState.OPEN
    shop = is_open and user.is_any_of(SHOP)
    context = {
        "row": row,
        "need": need,
        "fitment": tables.fitment_of(need),
        "may_be": tables.may_be_in_words(need),
        "price": tables.price_in_words(need),
        "shown": tables.shown_in_words(row),
        "rules": tables.ConditionTable(verdicts(need.kind, System(need.system))),
        "conditions": forms.ConditionsForm(need=need) if _decides(request, need) else None,
        "ask": forms.AskForm() if shop and row.asking.what else None,
        "fit": forms.FitForm(need=need, near=row.asking.near) if shop else None,
        "works": user.is_any_of(SHOP),
        "office": user.is_any_of(OFFICE),
        "log": Event.objects.about("need", need.pk).select_related("by"),
    } | typed
    status = HTTPStatus.UNPROCESSABLE_ENTITY if typed else HTTPStatus.OK
    return render(request, "purchasing/need_page.html", context, status=status)


def _row(request: StaffRequest, need: Need) -> NeedRow:
    rows = Need.objects.filter(pk=need.pk).select_related("item__intake")
    return queries.need_rows(request.user, need.program, rows)[0]


def _decides(request: StaffRequest, need: Need) -> bool:
    return need.state == NeedState.OPEN and request.user.is_any_of(DECIDERS)
