"""Moving a car within the shop; the form stands on the page of its stay."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.contrib import messages
from django.shortcuts import get_object_or_404, redirect
from django.views.decorators.http import require_POST

from shared.accounts.access import requires
from shared.accounts.roles import SHOP
from vehicles.custody import keeping
from vehicles.custody.conditions import Step
from vehicles.custody.forms import MoveForm
from vehicles.intake.models import Intake

if TYPE_CHECKING:
    from django.http import HttpResponse

    from shared.accounts.access import StaffRequest


@require_POST
@requires(*SHOP)
def move_vehicle(request: StaffRequest, pk: int) -> HttpResponse:
    stays = Intake.objects.for_user(request.user).open()
    stay = get_object_or_404(stays.select_related("vehicle__condition"), pk=pk)
    form = MoveForm(request.POST, condition=stay.vehicle.condition)
    moved = None
    if form.is_valid():
        moved = form.perform(keeping.move_vehicle, vehicle=stay.vehicle, by=request.user)
    if moved:
        messages.success(request, f"Recorded: the car is “{Step(moved.step).label}”.")
    for fault in form.faults:
        messages.error(request, fault["sentence"])
    return redirect("intake:vehicle_page", pk=stay.pk)
