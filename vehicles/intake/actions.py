"""A car's stay begins, what was told of it is put right, and what is known is ranked anew."""

from __future__ import annotations

import datetime as dt
from dataclasses import fields
from typing import TYPE_CHECKING, Any, Final

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone

from shared.audit.actions import log_event
from shared.dates import full_date
from shared.jobs.actions import ask
from vehicles.intake.check import VinState, look, refuse
from vehicles.intake.lamps import stopping
from vehicles.intake.models import Intake, Vehicle
from vehicles.intake.queries import before, last_stay, open_stay_of, stay_of_key
from vehicles.intake.values import refusals

if TYPE_CHECKING:
    from uuid import UUID

    from shared.accounts.models import Program, User
    from shared.jobs.models import Job
    from vehicles.intake.values import ArrivalAnswers, CarAnswers

#: The kind of job that ranks every open item and brings the estimates up to date.
RANK: Final = "rank_items"

CHANGED_MEANWHILE: Final = "Somebody else changed this meanwhile. Look at it again, then decide."
NOT_ON_THE_ROW: Final = {"comeback", "lamps"}


@transaction.atomic
def begin_stay(
    *,
    vehicle: Vehicle | None,
    car: CarAnswers,
    arrival: ArrivalAnswers,
    version: int | None,
    client_key: UUID,
    by: User,
) -> Intake:
    """Begin a stay of a known vehicle, or of a new one; the same `client_key` begins it once.

    `version` is that of the known vehicle as it was shown.

    Raises:
        ValidationError: the VIN is wrong, unusual without a reason, or another vehicle's; the
            vehicle is here already; a reading or a day is questioned and no reason given; a value
            is not possible; or somebody else changed the vehicle meanwhile.
    """
    program = _program(by)
    if there := stay_of_key(program, client_key):
        return there
    row = _vehicle(program, vehicle, car)
    if row.pk and (open_stay := open_stay_of(row)):
        arrived = full_date(open_stay.arrived_on)
        raise ValidationError(f"This car is here already, since {arrived}.")
    _write_car(row, car, version, by)
    stay = Intake(program=program, vehicle=row, client_key=client_key)
    if arrival.comeback:
        stay.previous = last_stay(row)
    _write_arrival(stay, arrival)
    log_event(stay, "The car arrived.", by=by, fields=["arrived_on", "odometer_mi", "complaint"])
    return stay


@transaction.atomic
def change_arrival(
    *,
    intake: Intake,
    car: CarAnswers,
    arrival: ArrivalAnswers,
    version: int,
    car_version: int,
    by: User,
) -> Intake:
    """Put right what was recorded as the car came, as long as it is here.

    Raises:
        ValidationError: as `begin_stay` does; or the stay has ended.
    """
    stay = Intake.objects.select_for_update().select_related("program").get(pk=intake.pk)
    if stay.left_on:
        raise ValidationError("This stay ended; nothing of its arrival can be changed.")
    if stay.version != version:
        raise ValidationError(CHANGED_MEANWHILE)
    row = Vehicle.objects.select_for_update().get(pk=stay.vehicle_id)
    _write_car(row, car, car_version, by)
    changed = _write_arrival(stay, arrival)
    if changed:
        log_event(stay, "What was told on arrival was put right.", by=by, fields=changed)
    return stay


def _program(by: User) -> Program:
    if by.program is None:
        raise ValidationError("You belong to no program.")
    return by.program


def _vehicle(program: Program, vehicle: Vehicle | None, car: CarAnswers) -> Vehicle:
    """Return the row to write, locked where it is known."""
    if vehicle is not None:
        return Vehicle.objects.select_for_update().get(pk=vehicle.pk, program=program)
    if car.vin and Vehicle.objects.filter(program=program, vin=car.vin).exists():
        raise ValidationError(
            {"vin": "A vehicle with this VIN is here already. Begin with its VIN again."}
        )
    return Vehicle(program=program, version=0)


def _write_car(row: Vehicle, car: CarAnswers, version: int | None, by: User) -> None:
    """Write what differs; a VIN that is kept as it stands is not questioned again."""
    is_new = row.version == 0
    wanted = {one.name: getattr(car, one.name) for one in fields(car)}
    if is_new or car.vin != row.vin:
        wanted["vin"] = _vin(car)
    changed = [name for name, value in wanted.items() if getattr(row, name) != value]
    if not changed:
        return
    if not is_new and version != row.version:
        raise ValidationError(CHANGED_MEANWHILE)
    for name in changed:
        setattr(row, name, wanted[name])
    row.version += 1
    row.full_clean()
    row.save()
    if not is_new:
        log_event(row, "What is known of the car was changed.", by=by, fields=changed)


def _vin(car: CarAnswers) -> str:
    try:
        return refuse(car.vin, car.vin_note)
    except ValueError as error:
        field = "vin" if look(car.vin).state is VinState.WRONG else "vin_note"
        raise ValidationError({field: str(error)}) from error


def _write_arrival(stay: Intake, told: ArrivalAnswers) -> list[str]:
    """Write what was told into a stay and return what changed."""
    today = stay.program.today()
    if refused := refusals(told, before(stay), today):
        raise ValidationError(refused)
    try:
        stopping(told.lamps)
    except ValueError as error:
        raise ValidationError({"lamps": str(error)}) from error
    wanted: dict[str, Any] = {
        one.name: getattr(told, one.name) for one in fields(told) if one.name not in NOT_ON_THE_ROW
    } | {"lamps": list(told.lamps), "complaint": told.complaint.strip()}
    changed = [name for name, value in wanted.items() if getattr(stay, name) != value]
    if not changed:
        return []
    for name in changed:
        setattr(stay, name, wanted[name])
    if stay.pk:
        stay.version += 1
    stay.full_clean()
    stay.save()
    return changed


def ask_for_ranks(intake: Intake) -> Job:
    """Return the one job that ranks anew once this minute is over.

    It waits for the end of the minute, so that all that is recorded in between counts.
    """
    minute = timezone.now().replace(second=0, microsecond=0)
    return ask(
        program=intake.program,
        key=f"rank:{minute:%Y-%m-%dT%H:%M}",
        kind=RANK,
        run_after=minute + dt.timedelta(minutes=1),
    )
