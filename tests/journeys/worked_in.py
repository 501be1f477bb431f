"""What the addresses of the shop and of wheel torques take, in the demonstration."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from tests.journeys.looked_into import each
from tests.vehicles.wheels.rows import make_torque
from vehicles.models import Bay, BayClosure, Equipment, Intake, Space, WheelTorque

if TYPE_CHECKING:
    from tests.journeys.looked_into import Rows


def bays_and_wheels(stay: Intake) -> Rows:
    """Return what the addresses take; a bay is closed for a day, a torque made where none is."""
    lift = Equipment.objects.get(kind="lift")
    # In date: what is overdue can't be put back.
    jack = Equipment.objects.filter(kind="jack").latest("due_on")
    jack.tagged_out, jack.tagged_out_because = True, "It sinks under load"
    jack.save()
    space = [[Space.objects.earliest("pk").pk]]
    wrench = Equipment.objects.filter(kind="torque_wrench").latest("due_on")
    # On every car: whoever follows the links looks at some of a kind only.
    for other in Intake.objects.filter(left_on=None, torques=None):
        make_torque(intake=other, wrench=wrench)
    torque = WheelTorque.objects.filter(intake=stay).latest("pk")
    today = stay.program.today()
    closure, _ = BayClosure.objects.get_or_create(
        program=stay.program, bay=lift.bay, from_on=today, until_on=today, reason="The floor"
    )
    shut: dict[str, Any] = {"program": stay.program, "closed_on": today}
    shed, _ = Bay.objects.get_or_create(name="Shed", **shut)
    corner, _ = Space.objects.get_or_create(name="Corner", **shut)
    about = ("equipment_page", "equipment_edit", "equipment_inspect", "equipment_retire")
    both = ("equipment_tag_out", "equipment_back")
    bay = ("bay_edit", "bay_close_days", "bay_close")
    return [
        *each([[lift.pk], [jack.pk]], *(f"shop:{name}" for name in about + both)),
        ("shop:equipment_tag", [[jack.pk]]),
        *each([[lift.bay_id]], *(f"shop:{name}" for name in bay)),
        ("shop:closure_take_back", [[closure.pk]]),
        ("shop:bay_reopen", [[shed.pk]]),
        ("shop:space_close", space),
        ("shop:space_reopen", [[corner.pk]]),
        ("wheels:torque_page", [[stay.pk]]),
        ("wheels:void_torque", [[stay.pk, torque.pk]]),
    ]
