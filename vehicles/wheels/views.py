"""The wheel torques of a stay; and the shop's own pages, which show cars and cautions too."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.db.models import F
from django.shortcuts import get_object_or_404, redirect
from django.views.decorators.http import require_http_methods, require_safe

from shared import htmx
from shared.accounts.access import requires
from shared.accounts.roles import SHOP, RoleKind
from shared.people.queries import KEEPERS
from shared.tables import table_page
from vehicles.intake.models import Intake
from vehicles.shop.duty import Standing, told
from vehicles.shop.filters import EquipmentFilter
from vehicles.shop.keeping import keeps_out
from vehicles.shop.kinds import EquipmentKind
from vehicles.shop.models import Equipment
from vehicles.shop.queries import piece
from vehicles.shop.tables import MARKS, EquipmentTable, InspectionTable
from vehicles.wheels import actions, gathering, queries
from vehicles.wheels.forms import TorqueForm, VoidForm
from vehicles.wheels.models import WheelTorque
from vehicles.wheels.torque import again, against_release

if TYPE_CHECKING:
    from django.http import HttpResponse, QueryDict

    from shared.accounts.access import StaffRequest
    from shared.accounts.models import Program

READ = ["GET", "HEAD", "POST"]
TECHNICIANS = SHOP - {RoleKind.VOLUNTEER}


@require_safe
@requires(*SHOP)
def shop_page(request: StaffRequest) -> HttpResponse:
    program = _program(request)
    today = program.today()
    rows = Equipment.objects.filter(program=program).select_related("bay", "program")
    lot = queries.lot_of(program, today, request.user)
    context = {
        "page": gathering.shop_page(program, today, lot),
        "cautions": gathering.cautions_of(EquipmentKind.LIFT),
        "keeps": request.user.is_any_of(KEEPERS),
        "marks": MARKS,
        "today": today,
    }
    return table_page(
        request,
        EquipmentTable,
        rows.order_by(F("retired_on").asc(nulls_first=True), "due_on", "pk"),
        "shop/shop_page.html",
        filterset=EquipmentFilter,
        extra=context,
    )


@require_safe
@requires(*SHOP)
def equipment_page(request: StaffRequest, pk: int) -> HttpResponse:
    program = _program(request)
    rows = Equipment.objects.filter(program=program)
    row = get_object_or_404(rows.select_related("bay", "program", "tagged_out_by"), pk=pk)
    today, plain = program.today(), piece(row)
    standing = plain.standing(today)
    context = {
        "piece": row,
        "standing": standing,
        "mark": MARKS[standing],
        "in_date": standing is Standing.IN_DATE,
        "sentence": told(plain, today),
        "stops": [one.stops for one in gathering.due([plain], [row.bay] if row.bay else [], today)],
        "cautions": gathering.cautions_of(plain.kind),
        "inspections": InspectionTable(row.inspections.select_related("recorded_by")),
        "keeps_out": keeps_out(row, today) if row.tagged_out else "",
        "log": gathering.history(row),
        "keeps": request.user.is_any_of(KEEPERS),
        "inspects": request.user.is_any_of(TECHNICIANS),
    }
    return htmx.answer(request, "shop/equipment_page.html", context)


@require_http_methods(READ)
@requires(*SHOP)
def torque_page(request: StaffRequest, pk: int) -> HttpResponse:
    stay = _stay(request, pk)
    gone = stay.left_on is not None
    form = TorqueForm(_sent(request), program=stay.program, gone=gone)
    if form.is_valid():
        row = form.perform(actions.record_torque, intake=stay, by=request.user)
        if row:
            said = messages.success if row.counts else messages.warning
            said(request, "Recorded." if row.counts else f"Recorded. {row.because}")
            return redirect("wheels:torque_page", pk=pk)
    known, work_on = queries.torques(stay), queries.last_wheel_work_on(stay)
    context = {
        "stay": stay,
        "form": form,
        "torques": queries.torque_rows(stay),
        "problems": against_release(known, work_on),
        "again": again(known),
        "work_on": work_on,
        "cautions": gathering.cautions_of(EquipmentKind.TORQUE_WRENCH),
    }
    answer = htmx.refused if form.errors else htmx.answer
    return answer(request, "wheels/torque_page.html", context)


@require_http_methods(READ)
@requires(*SHOP)
def void_torque(request: StaffRequest, pk: int, torque: int) -> HttpResponse:
    rows = WheelTorque.objects.filter(intake=_stay(request, pk))
    row = get_object_or_404(rows.select_related("intake", "wrench", "program"), pk=torque)
    form = VoidForm(_sent(request))
    if form.is_valid() and form.perform(actions.void_torque, torque=row, by=request.user):
        messages.success(request, "Recorded.")
        return redirect("wheels:torque_page", pk=pk)
    answer = htmx.refused if form.errors else htmx.answer
    return answer(request, "wheels/void.html", {"stay": row.intake, "torque": row, "form": form})


def _sent(request: StaffRequest) -> QueryDict | None:
    return request.POST if request.method == "POST" else None


def _program(request: StaffRequest) -> Program:
    """Return the user's program; without one nobody holds a role that opens a page."""
    if request.user.program is None:
        raise PermissionDenied
    return request.user.program


def _stay(request: StaffRequest, pk: int) -> Intake:
    rows = Intake.objects.for_user(request.user).select_related("vehicle", "program")
    return get_object_or_404(rows, pk=pk)
