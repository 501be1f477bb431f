"""The cars that are here, the page of one stay, and its repair items."""

from __future__ import annotations

from http import HTTPStatus
from typing import TYPE_CHECKING, Any

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.db.models import Q
from django.http import Http404
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_POST, require_safe

from shared.accounts.access import requires
from shared.accounts.roles import SHOP
from shared.policy.queries import policies
from shared.tables import table_page
from vehicles.custody.forms import MoveForm
from vehicles.custody.queries import authority, owners
from vehicles.inspection.criteria import DeficiencyClass
from vehicles.inspection.gathering import sheet_of
from vehicles.inspection.queries import lacking_equipment, open_findings, with_sheet_state
from vehicles.intake.models import Intake
from vehicles.intake.queries import check_vin
from vehicles.repairs import actions
from vehicles.repairs.filters import VehicleFilter
from vehicles.repairs.forms import AddItemForm, FirstForm
from vehicles.repairs.models import RepairItem
from vehicles.repairs.queries import is_stale, latest_estimate, timeline, with_work
from vehicles.repairs.states import ItemState
from vehicles.repairs.tables import FindingTable, ItemTable, VehicleTable

if TYPE_CHECKING:
    from django.http import HttpResponse

    from shared.accounts.access import StaffRequest

ITEMS = "repairs/item_list.html"


@require_safe
@requires(*SHOP)
def vehicle_list(request: StaffRequest) -> HttpResponse:
    rows = with_sheet_state(Intake.objects.for_user(request.user).open(), _lacking(request))
    rows = rows.select_related("vehicle__condition").order_by("arrived_on", "pk")
    dangerous = rows.filter(Q(worst=DeficiencyClass.DANGEROUS.rank)).count()
    return table_page(
        request,
        VehicleTable,
        rows,
        "intake/vehicle_list.html",
        filterset=VehicleFilter,
        extra={"dangerous": dangerous},
    )


@require_safe
@requires(*SHOP)
def vehicle_page(request: StaffRequest, pk: int) -> HttpResponse:
    stay = _stay(request, pk)
    condition = getattr(stay.vehicle, "condition", None)
    findings = open_findings(stay)
    context = {
        "stay": stay,
        "condition": condition,
        "move": MoveForm(condition=condition) if condition and not stay.left_on else None,
        "vin": check_vin(stay.vehicle),
        "sheet": sheet_of(stay),
        "dangerous": [one for one in findings if one.deficiency == DeficiencyClass.DANGEROUS],
        "findings": FindingTable(findings),
        "open_items": RepairItem.objects.open().filter(intake=stay).count(),
        "owners": owners(stay),
        "authority": authority(stay, stay.program.today()),
        "log": timeline(stay),
    }
    return render(request, "intake/vehicle_page.html", context)


@require_safe
@requires(*SHOP)
def item_list(request: StaffRequest, pk: int) -> HttpResponse:
    return _items(request, _stay(request, pk))


@require_POST
@requires(*SHOP)
def add_item(request: StaffRequest, pk: int) -> HttpResponse:
    stay = _stay(request, pk)
    form = AddItemForm(request.POST, stay=stay)
    item = None
    if form.is_valid():
        item = form.perform(actions.add_item, intake=stay, by=request.user)
    if item is None:
        return _items(request, stay, add=form)
    return _changed(request, stay, f"Added: {item.title}.")


@require_POST
@requires(*SHOP)
def require_first(request: StaffRequest, pk: int) -> HttpResponse:
    stay = _stay(request, pk)
    form = FirstForm(request.POST, stay=stay)
    row = form.perform(actions.require_first, by=request.user) if form.is_valid() else None
    if row is None:
        return _items(request, stay, first=form)
    return _changed(request, stay, f"Recorded: {row}.")


@require_POST
@requires(*SHOP)
def mark_done(request: StaffRequest, pk: int, item: int) -> HttpResponse:
    stay = _stay(request, pk)
    row = get_object_or_404(RepairItem, intake=stay, pk=item)
    try:
        actions.mark_done(item=row, on=stay.program.today(), by=request.user)
    except ValidationError as refusal:
        messages.error(request, refusal.messages[0])
        return redirect("repairs:item_list", pk=stay.pk)
    return _changed(request, stay, f"Done: {row.title}.")


@require_POST
@requires(*SHOP)
def make_estimate(request: StaffRequest, pk: int) -> HttpResponse:
    stay = _stay(request, pk)
    if stay.left_on:
        raise Http404
    estimate = actions.make_estimate(
        intake=stay, given=(), cents_per_hour=_cents_per_hour(stay), by=request.user
    )
    return _changed(request, stay, f"Ranked again. This is estimate {estimate.number}.")


def _lacking(request: StaffRequest) -> dict[str, str]:
    program = request.user.program
    return lacking_equipment(program, program.today()) if program else {}


def _stay(request: StaffRequest, pk: int) -> Intake:
    stays = Intake.objects.for_user(request.user)
    return get_object_or_404(stays.select_related("vehicle__condition", "program"), pk=pk)


def _cents_per_hour(stay: Intake) -> int:
    return policies(stay.program, stay.program.today())["labor_cents_per_hour"]


def _changed(request: StaffRequest, stay: Intake, said: str) -> HttpResponse:
    """Rank the items of the stay again, say what was done, and show them."""
    actions.rank_stay(
        intake=stay, given=(), cents_per_hour=_cents_per_hour(stay), today=stay.program.today()
    )
    messages.success(request, said)
    return redirect("repairs:item_list", pk=stay.pk)


def _items(request: StaffRequest, stay: Intake, **forms: Any) -> HttpResponse:
    """Return the items of a stay; a form that was refused stands on it as it was typed."""
    items = list(with_work(stay.items.ranked()).prefetch_related("needs_first__first"))
    open_items = [item for item in items if item.state == ItemState.OPEN]
    estimate = latest_estimate(stay)
    context = {
        "stay": stay,
        "items": ItemTable(open_items),
        "closed": [item for item in items if item.state != ItemState.OPEN],
        "estimate": estimate,
        "is_stale": estimate is not None and is_stale(estimate, open_items),
        "add": AddItemForm(stay=stay),
        "first": FirstForm(stay=stay) if len(open_items) > 1 else None,
    } | forms
    status = HTTPStatus.UNPROCESSABLE_ENTITY if forms else HTTPStatus.OK
    return render(request, ITEMS, context, status=status)
