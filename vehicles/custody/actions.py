"""Moving a car: from step to step of its stay, and from place to place."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone

from shared.audit.actions import log_event
from vehicles.custody.conditions import Mobility, Step, move
from vehicles.custody.models import Condition

if TYPE_CHECKING:
    from shared.accounts.models import User
    from vehicles.intake.models import Vehicle


@transaction.atomic
def move_vehicle(
    *,
    vehicle: Vehicle,
    step: Step,
    mobility: Mobility | None = None,
    place: str | None = None,
    by: User,
    version: int | None = None,
) -> Condition:
    """Put a car into a step, with how it moves and where it stands; None leaves either as it is.

    The step it is in already is allowed, so that only its place can change. `version` is that of
    the condition on screen.

    Raises:
        ValidationError: the table of steps has no such move, a value is not possible, or somebody
            else moved the car since it was shown.
    """
    condition = _condition(vehicle)
    if version is not None and version != condition.version:
        raise ValidationError(
            f"Somebody else moved this car meanwhile: it is “{Step(condition.step).label}” now."
        )
    changed = _changed(condition, step, mobility, place)
    if not changed:
        return condition
    condition.version += 1
    condition.full_clean()
    condition.save()
    log_event(vehicle, f"The car is “{step.label}”.", by=by, fields=changed)
    return condition


def _condition(vehicle: Vehicle) -> Condition:
    """Return the condition of the car, locked; a car that has none yet is expected."""
    rows = Condition.objects.select_for_update().filter(vehicle=vehicle)
    return rows.first() or Condition(program_id=vehicle.program_id, vehicle=vehicle, version=0)


def _changed(
    condition: Condition, step: Step, mobility: Mobility | None, place: str | None
) -> list[str]:
    """Write the wanted values into the condition and return the names of those that changed."""
    now = Step(condition.step)
    if step is not now:
        try:
            condition.step = move(now, step)
        except ValueError as error:
            raise ValidationError({"step": str(error)}) from error
        condition.since_at = timezone.now()
    wanted = {"mobility": mobility, "place": None if place is None else place.strip()}
    changed = ["step"] if step is not now else []
    for name, value in wanted.items():
        if value is not None and getattr(condition, name) != value:
            setattr(condition, name, value)
            changed.append(name)
    return changed
