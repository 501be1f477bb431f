"""The fluids of a stay: the list, the page of one, and what is done there."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.http import Http404
from django.shortcuts import get_object_or_404
from django.views.decorators.http import require_POST, require_safe

from shared.accounts.access import requires
from shared.accounts.roles import SHOP
from shared.htmx import answer, go, refused
from vehicles.fluids import actions
from vehicles.fluids.computing import list_of, page_of
from vehicles.fluids.forms import DemandForm, PourForm, ReadForm
from vehicles.fluids.gathering import state_of
from vehicles.fluids.models import FluidReading, TopUp
from vehicles.fluids.rows import load
from vehicles.intake.models import Intake

if TYPE_CHECKING:
    from collections.abc import Callable

    from django.http import HttpResponse

    from shared.accounts.access import StaffRequest
    from shared.forms import Form
    from vehicles.fluids.gathering import State
    from vehicles.fluids.rows import Fluid

PAGE = "fluids/fluid_page.html"


@require_safe
@requires(*SHOP)
def fluid_list(request: StaffRequest, pk: int) -> HttpResponse:
    stay = _stay(request, pk)
    rows = list_of(stay)
    kept_off = [row.state for row in rows if not row.state.may_run]
    context = {"stay": stay, "rows": rows, "kept_off": kept_off}
    return answer(request, "fluids/fluid_list.html", context)


@require_safe
@requires(*SHOP)
def fluid_page(request: StaffRequest, pk: int, fluid: str) -> HttpResponse:
    stay, one = _stay(request, pk), _fluid(fluid)
    return answer(request, PAGE, _context(stay, state_of(stay, one)))


@require_POST
@requires(*SHOP)
def set_demand(request: StaffRequest, pk: int, fluid: str) -> HttpResponse:
    stay, one = _stay(request, pk), _fluid(fluid)
    state = state_of(stay, one)
    form = DemandForm(request.POST, fluid=one, rule=state.rule)

    def act() -> object:
        return actions.set_demand(intake=stay, fluid=one, demand=form.demand(), by=request.user)

    if _done(form, act):
        return _back(request, stay, one)
    form.show_again(state.rule)
    return refused(request, PAGE, _context(stay, state, maker_form=form))


@require_POST
@requires(*SHOP)
def record_reading(request: StaffRequest, pk: int, fluid: str) -> HttpResponse:
    stay, one = _stay(request, pk), _fluid(fluid)
    form = ReadForm(request.POST, fluid=one)

    def act() -> object:
        return actions.record_reading(intake=stay, fluid=one, noted=form.noted(), by=request.user)

    if _done(form, act):
        return _back(request, stay, one)
    return refused(request, PAGE, _context(stay, state_of(stay, one), read_form=form))


@require_POST
@requires(*SHOP)
def pour(request: StaffRequest, pk: int, fluid: str) -> HttpResponse:
    stay, one = _stay(request, pk), _fluid(fluid)
    form = PourForm(request.POST, fluid=one)

    def act() -> object:
        return actions.pour(intake=stay, fluid=one, poured=form.poured(), by=request.user)

    if _done(form, act):
        return _back(request, stay, one)
    return refused(request, PAGE, _context(stay, state_of(stay, one), pour_form=form))


@require_POST
@requires(*SHOP)
def take_back_reading(request: StaffRequest, pk: int, fluid: str, reading: int) -> HttpResponse:
    stay, one = _stay(request, pk), _fluid(fluid)
    row = get_object_or_404(FluidReading, intake=stay, fluid=fluid, pk=reading)
    _try(request, lambda: actions.take_back_reading(reading=row, fluid=one, by=request.user))
    return _back(request, stay, one)


@require_POST
@requires(*SHOP)
def take_back_pour(request: StaffRequest, pk: int, fluid: str, top_up: int) -> HttpResponse:
    stay, one = _stay(request, pk), _fluid(fluid)
    row = get_object_or_404(TopUp, reading__intake=stay, reading__fluid=fluid, pk=top_up)
    _try(request, lambda: actions.take_back_pour(top_up=row, fluid=one, by=request.user))
    return _back(request, stay, one)


def _stay(request: StaffRequest, pk: int) -> Intake:
    stays = Intake.objects.for_user(request.user).select_related("vehicle", "program")
    return get_object_or_404(stays, pk=pk)


def _fluid(code: str) -> Fluid:
    try:
        return load()[code]
    except KeyError as error:
        raise Http404 from error


def _done(form: Form, act: Callable[[], object]) -> object | None:
    """Do what was typed, or put what stands against it into the form."""
    if not form.is_valid():
        return None
    try:
        return act()
    except ValidationError as refusal:
        form.refuse(refusal)
        return None


def _try(request: StaffRequest, act: Callable[[], object]) -> None:
    """Do one thing; what is refused is said on the next page."""
    try:
        act()
    except ValidationError as refusal:
        for sentence in refusal.messages:
            messages.error(request, sentence)


def _back(request: StaffRequest, stay: Intake, fluid: Fluid) -> HttpResponse:
    return go(request, "fluids:fluid_page", pk=stay.pk, fluid=fluid.code)


def _context(stay: Intake, state: State, **sent: Form) -> dict[str, Any]:
    """Return what the page shows: its forms where the stay goes on, a sent one in its place."""
    shown = {"stay": stay} | page_of(stay, state)
    if stay.left_on:
        return shown
    fluid, newest = state.fluid, state.newest
    forms: dict[str, Form] = {
        "maker_form": DemandForm(fluid=fluid, rule=state.rule),
        "read_form": ReadForm(fluid=fluid),
    }
    if shown["may_pour"] and newest:
        forms["pour_form"] = PourForm(fluid=fluid, reading=newest.pk)
    # One thing comes next: asking the maker, pouring, or reading.
    asks_first = bool(fluid.asks) and state.rule is None
    reads_next = "read_form" in sent or not (asks_first or "pour_form" in forms)
    return shown | forms | sent | {"asks_first": asks_first, "reads_next": reads_next}
