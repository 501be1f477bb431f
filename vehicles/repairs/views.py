"""The cars that are here, the page of one stay, and its repair items."""

from __future__ import annotations

from dataclasses import replace
from functools import partial
from http import HTTPStatus
from typing import TYPE_CHECKING, Any

from django.contrib import messages
from django.core.exceptions import ValidationError
from django.db.models import Q
from django.http import Http404
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from shared.accounts.access import requires
from shared.accounts.roles import SHOP, RoleKind
from shared.tables import table_page
from vehicles.codes.queries import counted, scans_of, stop_words
from vehicles.custody.acts import Act
from vehicles.custody.forms import MoveForm
from vehicles.custody.queries import authority, owners
from vehicles.inspection.criteria import DeficiencyClass
from vehicles.inspection.gathering import sheet_of
from vehicles.inspection.queries import lacking_equipment, open_findings, with_sheet_state
from vehicles.intake.lamps import lamp, stopping
from vehicles.intake.models import Intake
from vehicles.intake.queries import check_vin, has_walked
from vehicles.repairs import actions, forms, queries
from vehicles.repairs.computing import rank_page as ranked
from vehicles.repairs.costs import rates_of
from vehicles.repairs.filters import VehicleFilter
from vehicles.repairs.gathering import cautions_of, offer_of, offers
from vehicles.repairs.models import RepairItem
from vehicles.repairs.next_step import StayFacts, next_of_stay
from vehicles.repairs.states import ItemState
from vehicles.repairs.tables import FindingTable, ItemTable, VehicleTable
from vehicles.repairs.writing import Taken

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from django.http import HttpResponse

    from shared.accounts.access import StaffRequest
    from shared.forms import Form
    from vehicles.custody.authority import Authority
    from vehicles.inspection.sheet import Sheet
    from vehicles.intake.models import Photo


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
    condition, sheet = getattr(stay.vehicle, "condition", None), sheet_of(stay)
    findings, photos = open_findings(stay), list(stay.photos.kept())
    acts = authority(stay, stay.program.today())
    facts = replace(_facts(stay, sheet, acts, photos), findings=len(findings))
    context = {
        "stay": stay,
        "condition": condition,
        "move": MoveForm(condition=condition) if condition and not stay.left_on else None,
        "vin": check_vin(stay.vehicle),
        "sheet": sheet,
        "next": None if stay.left_on else next_of_stay(facts),
        "dangerous": [one for one in findings if one.deficiency == DeficiencyClass.DANGEROUS],
        "stopping": stopping(stay.lamps),
        "code_stops": stop_words(counted(scans_of(stay))),
        "lit": [lamp(code) for code in stay.lamps],
        "photos": photos,
        "findings": FindingTable(findings),
        "open_items": facts.items,
        "owners": owners(stay),
        "authority": acts,
        "log": queries.timeline(stay),
    }
    return render(request, "intake/vehicle_page.html", context)


def _facts(
    stay: Intake, sheet: Sheet, acts: Sequence[Authority], photos: Sequence[Photo]
) -> StayFacts:
    """Return what decides on the next thing, but for findings."""
    met = {one.act for one in acts if one.met}
    return StayFacts(
        asked=hasattr(stay, "standing"),
        may_look=Act.DIAGNOSE in met,
        may_repair=Act.REPAIR in met,
        stopped=any(one.stopped for one in acts),
        tagged=hasattr(stay, "key_tag"),
        walked=has_walked(stay, photos),
        depth=sheet.depth if sheet.inspection else "",
        is_open=sheet.is_open,
        left=sheet.left,
        items=RepairItem.objects.open().filter(intake=stay).count(),
    )


@require_safe
@requires(*SHOP)
def item_list(request: StaffRequest, pk: int) -> HttpResponse:
    return _items(request, _stay(request, pk))


@require_POST
@requires(*SHOP)
def add_item(request: StaffRequest, pk: int) -> HttpResponse:
    stay = _stay(request, pk)
    form = forms.AddItemForm(request.POST, stay=stay)
    add = partial(form.perform, actions.add_item, intake=stay, by=request.user)
    item = add() if form.is_valid() else None
    if item is None:
        return _items(request, stay, add=form)
    return _changed(request, stay, f"Added: {item.title}.")


@require_POST
@requires(*SHOP)
def require_first(request: StaffRequest, pk: int) -> HttpResponse:
    stay = _stay(request, pk)
    form = forms.FirstForm(request.POST, stay=stay)
    row = form.perform(actions.require_first, by=request.user) if form.is_valid() else None
    if row is None:
        return _items(request, stay, first=form)
    return _changed(request, stay, f"Recorded: {row}.")


@require_POST
@requires(*SHOP)
def mark_done(request: StaffRequest, pk: int, item: int) -> HttpResponse:
    row = _row(request, pk, item)
    done = partial(actions.mark_done, item=row, on=row.program.today())
    return _act(request, row.intake, f"Done: {row.title}.", done)


@require_POST
@requires(*SHOP)
def attach_finding(request: StaffRequest, pk: int, item: int, finding: int) -> HttpResponse:
    row = _row(request, pk, item)
    found = get_object_or_404(row.intake.findings, pk=finding)
    attach = partial(actions.attach_finding, item=row, finding=found)
    return _act(request, row.intake, f"{row.title}: clears {found.title} too.", attach)


@require_POST
@requires(*SHOP)
def take_proposals(request: StaffRequest, pk: int) -> HttpResponse:
    stay, keys = _stay(request, pk), dict.fromkeys(request.POST.getlist("take"))
    taken, seen = [Taken(key=key) for key in keys], request.POST.get("seen", "")
    take = partial(actions.take_proposals, intake=stay, taken=taken, seen=seen)
    return _act(request, stay, f"On the list now: {len(keys)} more.", take)


@require_http_methods(["GET", "HEAD", "POST"])
@requires(*SHOP)
def proposal_page(request: StaffRequest, pk: int, key: str) -> HttpResponse:
    stay = _stay(request, pk)
    found = offers(stay)
    proposal = found.proposal(key)
    if proposal is None or stay.left_on:
        messages.error(request, "This is not proposed any more. Look at what is on the list.")
        return redirect("repairs:item_list", pk=stay.pk)
    form = forms.ProposalForm(request.POST or None, proposal=proposal, seen=found.seen)
    if form.is_valid() and form.perform(actions.take_proposals, intake=stay, by=request.user):
        return _changed(request, stay, f"On the list now: {proposal.title}.")
    context = {"stay": stay, "offer": offer_of(proposal), "form": form}
    return render(request, "repairs/proposal_page.html", context, status=_status(form))


@require_http_methods(["GET", "HEAD", "POST"])
@requires(*SHOP)
def item_page(request: StaffRequest, pk: int, item: int) -> HttpResponse:
    row = _row(request, pk, item)
    form = forms.EditItemForm(request.POST or None, item=row)
    if form.is_valid() and form.perform(actions.edit_item, item=row, by=request.user):
        return _changed(request, row.intake, f"Changed: {row.title}.")
    return _item(request, row, form=form)


@require_POST
@requires(*SHOP)
def withdraw_item(request: StaffRequest, pk: int, item: int) -> HttpResponse:
    row, form = _row(request, pk, item), forms.WithdrawForm(request.POST)
    if form.is_valid() and form.perform(actions.withdraw_item, item=row, by=request.user):
        return _changed(request, row.intake, f"Off the list: {row.title}.")
    return _item(request, row, withdraw=form)


@require_POST
@requires(RoleKind.LEAD_TECHNICIAN)
def reopen_item(request: StaffRequest, pk: int, item: int) -> HttpResponse:
    row, form = _row(request, pk, item), forms.ReopenForm(request.POST)
    if form.is_valid() and form.perform(actions.reopen_item, item=row, by=request.user):
        return _changed(request, row.intake, f"Open again: {row.title}.")
    return _item(request, row, reopen=form)


@require_safe
@requires(*SHOP)
def rank_page(request: StaffRequest, pk: int) -> HttpResponse:
    stay = _stay(request, pk)
    return render(request, "repairs/rank_page.html", {"stay": stay, "page": ranked(stay)})


@require_POST
@requires(*SHOP)
def make_estimate(request: StaffRequest, pk: int) -> HttpResponse:
    stay = _stay(request, pk)
    if stay.left_on:
        raise Http404
    given, rates = queries.given_of(stay), rates_of(stay.program)
    estimate = actions.make_estimate(intake=stay, given=given, rates=rates, by=request.user)
    return _changed(request, stay, f"Ranked again. This is estimate {estimate.number}.")


def _lacking(request: StaffRequest) -> dict[str, str]:
    program = request.user.program
    return lacking_equipment(program, program.today()) if program else {}


def _stay(request: StaffRequest, pk: int) -> Intake:
    stays = Intake.objects.for_user(request.user)
    return get_object_or_404(stays.select_related("vehicle__condition", "program"), pk=pk)


def _changed(request: StaffRequest, stay: Intake, said: str) -> HttpResponse:
    """Rank the items of the stay again, say what was done, and show them."""
    actions.rank_now(stay)
    messages.success(request, said)
    return redirect("repairs:item_list", pk=stay.pk)


def _row(request: StaffRequest, pk: int, item: int) -> RepairItem:
    return get_object_or_404(_stay(request, pk).items.select_related("program"), pk=item)


def _act(request: StaffRequest, stay: Intake, said: str, act: Callable[..., Any]) -> HttpResponse:
    """Run an action that asks nothing more, and say what was done or why not."""
    try:
        done = act(by=request.user)
    except ValidationError as refusal:
        messages.error(request, " ".join(refusal.messages))
        return redirect("repairs:item_list", pk=stay.pk)
    return _changed(request, stay, said if done else "This is on the list already.")


def _status(*sent: Form) -> HTTPStatus:
    refused = any(form.is_bound for form in sent)
    return HTTPStatus.UNPROCESSABLE_ENTITY if refused else HTTPStatus.OK


def _item(request: StaffRequest, row: RepairItem, **typed: Form) -> HttpResponse:
    """Return the page of one item; a form that was refused stands on it as it was typed."""
    lead = request.user.is_any_of({RoleKind.LEAD_TECHNICIAN})
    context = {
        "stay": row.intake,
        "item": row,
        "cautions": cautions_of(row.operation),
        "form": forms.EditItemForm(item=row),
        "withdraw": forms.WithdrawForm(initial={"version": row.version}),
        "reopen": forms.ReopenForm() if lead else None,
    } | typed
    return render(request, "repairs/item_page.html", context, status=_status(*typed.values()))


def _items(request: StaffRequest, stay: Intake, **typed: Form) -> HttpResponse:
    """Return the items of a stay; a form that was refused stands on it as it was typed."""
    items = list(queries.with_work(stay.items.ranked()).prefetch_related("needs_first__first"))
    open_items = [item for item in items if item.state == ItemState.OPEN]
    estimate = queries.latest_estimate(stay)
    context = {
        "stay": stay,
        "offers": None if stay.left_on else offers(stay),
        "items": ItemTable(open_items, causes=queries.after_causes(open_items)),
        "untold": queries.untold(items),
        "closed": [item for item in items if item.state != ItemState.OPEN],
        "estimate": estimate,
        "is_stale": estimate is not None and queries.is_stale(estimate, open_items),
        "add": forms.AddItemForm(stay=stay),
        "first": forms.FirstForm(stay=stay) if len(open_items) > 1 else None,
    } | typed
    return render(request, "repairs/item_list.html", context, status=_status(*typed.values()))
