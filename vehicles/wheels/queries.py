"""Reading wheel torques, when wheels were last worked on, and which car stands where."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.db.models import Q

from vehicles.custody.conditions import IN_CARE, Mobility, Step
from vehicles.custody.models import Condition
from vehicles.intake.models import Intake
from vehicles.repairs.models import RepairItem
from vehicles.repairs.states import ItemState
from vehicles.shop import duty
from vehicles.shop.kinds import EquipmentKind
from vehicles.shop.models import Equipment
from vehicles.shop.queries import spaces
from vehicles.shop.systems import System
from vehicles.wheels.models import WheelTorque
from vehicles.wheels.torque import Torque, against_release

if TYPE_CHECKING:
    import datetime as dt

    from django.db.models import QuerySet

    from shared.accounts.models import Program, User
    from shared.problems import Problem

#: What has to come off begins so where it is a wheel.
WHEELS_OFF = "wheels"
OTHER_CAR = "another car"


def torque_rows(stay: Intake) -> QuerySet[WheelTorque]:
    """Return the torques of a stay, newest first, void ones too."""
    return WheelTorque.objects.filter(intake=stay).select_related("wrench", "by")


def torques(stay: Intake) -> list[Torque]:
    """Return the torques of a stay as the pure module reads them; one query."""
    zone = stay.program.zone
    return [
        Torque(
            id=row.pk,
            on=row.at.astimezone(zone).date(),
            wheels=tuple(row.pattern.split()),
            odometer_mi=row.odometer_mi,
            is_again=row.is_again,
            counts=row.counts,
            void=bool(row.voided_because),
        )
        for row in WheelTorque.objects.filter(intake=stay)
    ]


def last_wheel_work_on(stay: Intake) -> dt.date | None:
    """Return the day of the last done job for which a wheel came off, or None."""
    off = Q(access__startswith=WHEELS_OFF) | Q(system__in=[System.WHEELS, System.TIRES])
    rows = RepairItem.objects.filter(off, intake=stay, state=ItemState.DONE)
    return rows.order_by("-done_on").values_list("done_on", flat=True).first()


def torque_problems(stay: Intake) -> tuple[Problem, ...]:
    """Return what is missing of the wheels before the car may leave; two queries."""
    return against_release(torques(stay), last_wheel_work_on(stay))


def wrenches(program: Program) -> QuerySet[Equipment]:
    """Return the torque wrenches that are not retired, those in date first."""
    rows = Equipment.objects.filter(
        program=program, kind=EquipmentKind.TORQUE_WRENCH, retired_on=None
    )
    return rows.select_related("program").order_by("tagged_out", "-due_on", "pk")


def lot_of(program: Program, day: dt.date, user: User | None = None) -> duty.Lot:
    """Return who stands on which space, and the room for cars that don't roll; three queries.

    A car at another shop stands nowhere here. One that is withheld from the user is “another car”;
    without a user every car is named.
    """
    here = [step for step in IN_CARE if step is not Step.SUBLET]
    rows = Condition.objects.filter(program=program, step__in=here).select_related("vehicle")
    stays = Intake.objects.filter(program=program).open()
    if user:
        stays = stays.exclude(vehicle__withheld_from=user)
    known = dict(stays.values_list("vehicle_id", "pk"))
    cars = [
        duty.Car(
            id=known.get(row.vehicle_id, 0),
            label=OTHER_CAR if user and row.vehicle_id not in known else str(row.vehicle),
            place=row.place,
            rolls=row.mobility != Mobility.DEAD,
        )
        for row in rows
    ]
    return duty.lot(spaces(program), cars, day)
