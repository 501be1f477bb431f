"""Moving a household, setting how it may be reached, and keeping tied staff away from it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.core.exceptions import ValidationError
from django.db import transaction

from program.households.models import Household, Tie
from program.households.stages import WAYS_OUT, Stage, decide_by, move
from shared.audit.actions import log_event
from shared.outbox.models import Address
from vehicles.intake.models import Vehicle

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Collection, Mapping

    from shared.accounts.models import User
    from shared.outbox.contact import Channel, MaySay

CHANGED_MEANWHILE = "Somebody else changed this household meanwhile. Look at it again, then decide."


@transaction.atomic
def move_stage(
    *, household: Household, to: Stage, on: dt.date, by: User, version: int, reason: str = ""
) -> Household:
    """Put a household into a stage that may follow its own, and set the day to decide by.

    Raises:
        ValidationError: the table has no such move, a way out has no reason, or somebody else
            changed the household since it was shown.
    """
    found = Household.objects.select_for_update().get(pk=household.pk)
    if found.version != version:
        raise ValidationError(CHANGED_MEANWHILE)
    if to in WAYS_OUT and not reason.strip():
        raise ValidationError({"reason": f"“{to.label}” needs its reason."})
    try:
        found.stage = move(Stage(found.stage), to)
    except ValueError as error:
        raise ValidationError({"to": str(error)}) from error
    found.stage_since_on, found.decide_by_on = on, decide_by(to, on)
    found.version += 1
    found.validate_constraints()
    found.save()
    log_event(
        found,
        f"The household is “{to.label}”.",
        by=by,
        reason=reason.strip(),
        fields=["stage", "stage_since_on", "decide_by_on"],
    )
    return found


@transaction.atomic
def set_safe_contact(  # noqa: PLR0913  # the rule has this many parts
    *,
    household: Household,
    channel: Channel,
    says: MaySay,
    barred: bool,
    email: str,
    phone: str,
    language: str,
    hours: str,
    speaks_for: str,
    asked_on: dt.date,
    by: User,
    version: int,
) -> Address:
    """Write how a household may safely be reached and what may be said; mail obeys it at once.

    The log names the fields that changed, never what stands in them.

    Raises:
        ValidationError: the channel has nothing to reach, or somebody else changed the rule.
    """
    home = Household.objects.select_for_update().get(pk=household.pk)
    address = Address.objects.select_for_update().get(pk=home.address_id)
    if address.version != version:
        raise ValidationError(CHANGED_MEANWHILE)
    home.safe_contact_on = asked_on
    wanted: dict[str, object] = {
        "channel": channel,
        "says": says,
        "barred": barred,
        "email": email.strip(),
        "phone": phone.strip(),
        "language": language,
        "hours": hours.strip(),
        "speaks_for": speaks_for.strip(),
    }
    return _written(home, address, wanted, by)


def _written(home: Household, address: Address, wanted: Mapping[str, object], by: User) -> Address:
    """Save a household's rule and the day it was asked."""
    changed = _change(address, wanted)
    address.version += 1
    address.full_clean()
    address.save()
    home.save(update_fields=["safe_contact_on"])
    log_event(home, "Asked how the household may safely be reached.", by=by, fields=changed)
    return address


def _change(address: Address, wanted: Mapping[str, object]) -> list[str]:
    """Write values into an address and return the names of those that differ."""
    changed = [name for name, value in wanted.items() if getattr(address, name) != value]
    for name in changed:
        setattr(address, name, wanted[name])
    return changed


@transaction.atomic
def declare_tie(*, household: Household, user: User, by: User) -> Tie:
    """Keep a user from seeing, or deciding for, a household and its cars.

    Raises:
        ValidationError: the tie is on record already, or the user is of another program.
    """
    if user.program_id != household.program_id:
        raise ValidationError("This user belongs to another program.")
    tie = Tie(program_id=household.program_id, household=household, user=user)
    tie.full_clean()
    tie.save()
    _withhold(tie)
    log_event(household, f"A tie of user {user.pk} was declared.", by=by)
    return tie


def withhold_cars(households: Collection[int]) -> None:
    """Keep cars that came to households after a tie was declared from whoever is tied."""
    for tie in Tie.objects.filter(household__in=households, ended_on=None):
        _withhold(tie)


def _withhold(tie: Tie) -> None:
    for vehicle in _vehicles(tie.household):
        vehicle.withheld_from.add(tie.user)


@transaction.atomic
def end_tie(*, tie: Tie, on: dt.date, reason: str, by: User) -> Tie:
    """End a tie; the user sees the household's cars again unless another tie keeps them away.

    Raises:
        ValidationError: the tie has ended, no reason is given, or the user ends an own tie.
    """
    found = Tie.objects.select_for_update().get(pk=tie.pk)
    if found.ended_on:
        raise ValidationError("This tie has ended already.")
    if not reason.strip():
        raise ValidationError({"reason": "Why the tie ended has to be on record."})
    if found.user_id == by.pk:
        raise ValidationError("Nobody ends a tie of their own. Another person has to.")
    found.ended_on = on
    found.save(update_fields=["ended_on"])
    for vehicle in _vehicles(found.household):
        if vehicle not in _tied_vehicles(found.user):
            vehicle.withheld_from.remove(found.user)
    log_event(found.household, f"The tie of user {found.user_id} ended.", by=by, reason=reason)
    return found


def _vehicles(household: Household) -> list[Vehicle]:
    """Return the cars of all cases of a household, whether open or closed."""
    numbers = household.cases.exclude(vehicle=None).values("vehicle_id")
    return list(Vehicle.objects.filter(pk__in=numbers))


def _tied_vehicles(user: User) -> list[Vehicle]:
    """Return the cars that some standing tie keeps from a user."""
    ties = Tie.objects.filter(user=user, ended_on__isnull=True)
    return [
        vehicle for tie in ties.select_related("household") for vehicle in _vehicles(tie.household)
    ]
