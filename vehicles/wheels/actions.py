"""Wheels are torqued; a torque is void. It counts when its wrench was in date that day."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from django.core.exceptions import ValidationError
from django.db import transaction

from shared.audit.actions import log_event
from shared.people.may import work_on
from shared.people.queries import refuse_unless_may
from vehicles.custody.acts import Act
from vehicles.custody.queries import open_stay, refuse_without
from vehicles.intake.models import Intake
from vehicles.shop.models import Equipment
from vehicles.shop.queries import piece
from vehicles.shop.systems import System
from vehicles.wheels.models import WheelTorque
from vehicles.wheels.queries import torques
from vehicles.wheels.torque import WHEELS, refusal, too_soon

if TYPE_CHECKING:
    from uuid import UUID

    from shared.accounts.models import User
    from vehicles.wheels.values import Tightened

FARTHEST_MI: Final = 10_000  # driven since the car came; more is a slip of the finger
SENT: Final = "This form was sent already. Open the page again, then record the torque."


@transaction.atomic
def record_torque(
    *, intake: Intake, said: Tightened, client_key: UUID | None = None, by: User
) -> WheelTorque:
    """Record that wheels were torqued. Sent twice, recorded once.

    With a wrench that is overdue or tagged out it is recorded and doesn't count, and so does a
    second time before 50 miles. The second time may be after the stay has ended.

    Raises:
        ValidationError: the stay has ended, nobody consented, this user may not work on wheels, no
            wheel is named, the wrench is retired, or the odometer can't be right.
    """
    stay = Intake.objects.select_for_update().get(pk=intake.pk)
    known = WheelTorque.objects.filter(program=stay.program_id, client_key=client_key).first()
    if client_key and known:
        return _same(known, stay, said)
    _refuse_work(stay, said, by)
    row = _torque(stay, said, by)
    row.client_key = client_key
    row.full_clean()
    row.save()
    counts = "" if row.counts else ", which doesn’t count"
    log_event(stay, f"The wheels were torqued{counts}.", by=by, fields=["torques"])
    return row


def _refuse_work(stay: Intake, said: Tightened, by: User) -> None:
    """Refuse work on a car that nobody may work on, or by who may not work on wheels."""
    today = stay.program.today()
    if not (said.is_again and stay.left_on):
        open_stay(stay)
        refuse_without(stay, Act.DIAGNOSE, today)
    refuse_unless_may(by, work_on(System.WHEELS), today)


def _torque(stay: Intake, said: Tightened, by: User) -> WheelTorque:
    """Return what is to be recorded, and whether it counts: by its wrench and the miles driven."""
    wrench = Equipment.objects.select_for_update(of=("self",)).get(pk=said.wrench_id)
    if wrench.retired_on:
        raise ValidationError({"wrench": f"{wrench} is retired. Take another wrench."})
    _refuse_odometer(stay, said)
    because = refusal(piece(wrench), stay.program.today()) or _too_soon(stay, said)
    return WheelTorque(
        program_id=stay.program_id,
        intake=stay,
        wrench=wrench,
        foot_pounds=said.foot_pounds,
        pattern=" ".join(wheel for wheel in WHEELS if wheel in said.wheels),
        odometer_mi=said.odometer_mi,
        is_again=said.is_again,
        by=by,
        wrench_due_on=wrench.due_on,
        counts=because is None,
        because=str(because or ""),
    )


@transaction.atomic
def void_torque(*, torque: WheelTorque, because: str, by: User) -> WheelTorque:
    """Take a torque out of what counts; it stays on record. Done twice, it stays so.

    Raises:
        ValidationError: the reason is missing, or this user may not work on wheels.
    """
    row = WheelTorque.objects.select_for_update(of=("self",)).get(pk=torque.pk)
    if row.voided_because:
        return row
    refuse_unless_may(by, work_on(System.WHEELS), row.program.today())
    if not because.strip():
        raise ValidationError({"because": "Say why it doesn’t count."})
    row.voided_because = because.strip()
    row.full_clean()
    row.save()
    what = "A wheel torque was taken back."
    log_event(row.intake, what, by=by, reason=row.voided_because, fields=["torques"])
    return row


def _refuse_odometer(stay: Intake, said: Tightened) -> None:
    """Refuse a reading that can't be of this stay, and a second time without any."""
    shows, arrived = said.odometer_mi, stay.odometer_mi
    if said.is_again and shows is None:
        raise ValidationError({"odometer_mi": "The second time needs the odometer."})
    if shows is None or arrived is None or arrived <= shows <= arrived + FARTHEST_MI:
        return
    raise ValidationError(
        {"odometer_mi": f"It showed {arrived:,} miles when it came; {shows:,} is a slip."}
    )


def _too_soon(stay: Intake, said: Tightened) -> object:
    if not said.is_again:
        return None
    try:
        return too_soon(torques(stay), said.odometer_mi)
    except ValueError as error:
        raise ValidationError({"odometer_mi": str(error)}) from error


def _same(known: WheelTorque, stay: Intake, said: Tightened) -> WheelTorque:
    """Return what this key recorded already, unless the form says something else now."""
    was = (known.intake_id, known.wrench_id, known.foot_pounds, known.is_again)
    if was == (stay.pk, said.wrench_id, said.foot_pounds, said.is_again):
        return known
    raise ValidationError(SENT)
