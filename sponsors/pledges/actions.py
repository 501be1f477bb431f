"""Recording what a sponsor intends to give, taking it back, and letting it run out."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone

from shared.audit.actions import log_event
from shared.dates import short_date
from shared.jobs.actions import ask
from sponsors.pledges.models import Pledge, Supply
from sponsors.pledges.queries import known_kinds
from sponsors.pledges.states import PledgeState, SupplySource, SupplyState
from sponsors.register.models import Sponsor
from vehicles.repairs.substitutes import wear
from vehicles.repairs.suitability import Answer

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Collection, Sequence
    from uuid import UUID

    from shared.accounts.models import Program, User
    from vehicles.repairs.parts import Part

MATCH = "match"  # the kind of job that matches a program's open needs
MOST_UNITS = 200  # more of one part than a small garage uses in years (common practice)


@transaction.atomic
def record_pledge(  # noqa: PLR0913  # what is given, how much, until when, on which conditions
    *,
    sponsor: Sponsor,
    part: Part,
    title: str,
    quantity: int,
    expires_on: dt.date | None,
    client_key: UUID | None,
    counties: Sequence[str] = (),
    household_kinds: Sequence[str] = (),
    note: str = "",
    arrived: bool = False,
    by: User | None = None,
) -> Pledge:
    """Record a pledge and one unit of supply for each part, and ask for the needs to be matched.

    The same `client_key` again returns the pledge it made. `by` is None for a private link.

    Raises:
        ValidationError: quantity, day or part is not possible, or the sponsor has ended.
    """
    giver = Sponsor.objects.select_for_update().get(pk=sponsor.pk)
    if client_key is not None and (there := _sent_before(giver, client_key)):
        return there
    _check(giver, part, quantity, expires_on, today := giver.program.today())
    pledge = Pledge(
        program=giver.program,
        sponsor=giver,
        title=title,
        quantity=quantity,
        pledged_on=today,
        expires_on=expires_on,
        counties=list(counties),
        household_kinds=list(household_kinds),
        note=note,
        state=PledgeState.ARRIVED if arrived else PledgeState.INTENDED,
        client_key=client_key,
        **_facts(part),
    )
    return _kept(pledge, by)


def _kept(pledge: Pledge, by: User | None) -> Pledge:
    """Write a pledge with its units; what has arrived lies on the shelf at once."""
    pledge.full_clean()
    pledge.save()
    numbers = range(1, pledge.quantity + 1)
    Supply.objects.bulk_create([_unit(pledge, number) for number in numbers])
    log_event(pledge, "A pledge was made.", by=by, fields=["quantity", "expires_on", "state"])
    ask(program=pledge.program, key=f"{MATCH}:pledge:{pledge.pk}", kind=MATCH)
    return pledge


def _facts(part: Part) -> dict[str, Any]:
    """Return what the database holds of a part beside its name."""
    return {
        "kind": part.kind,
        "system": part.system,
        "fitment": part.fitment.to_dict(),
        "used": part.used,
    }


def _sent_before(giver: Sponsor, client_key: UUID) -> Pledge | None:
    """Return the pledge that this form made when it was sent the first time."""
    there = Pledge.objects.filter(client_key=client_key).first()
    if there is not None and there.sponsor_id != giver.pk:
        raise ValidationError("This form was used already. Open the page again.")
    return there


def _check(
    giver: Sponsor, part: Part, quantity: int, expires_on: dt.date | None, today: dt.date
) -> None:
    """Refuse with a sentence beside each field that can't be, or on top for who gives no more."""
    if giver.ended_on is not None and giver.ended_on <= today:
        raise ValidationError("This sponsor is on the list no more.")
    wrong = {}
    if not 1 <= quantity <= MOST_UNITS:
        wrong["quantity"] = f"{quantity} is not possible. Pledge 1 to {MOST_UNITS} units."
    if expires_on is not None and expires_on < today:
        day = short_date(expires_on)
        wrong["expires_on"] = f"{day} has passed. A pledge stands for today at least."
    if part.kind not in known_kinds(giver.program):
        wrong["kind"] = (
            f"“{part.kind}” is not a part that was ever needed here. Choose one of the list, or "
            "add it to what the sponsor gives."
        )
    refused = [str(fit.reason) for fit in wear(part) if fit.answer is Answer.DOES_NOT_FIT]
    if refused:
        wrong["used"] = refused[0]
    if wrong:
        raise ValidationError(wrong)


def _unit(pledge: Pledge, number: int) -> Supply:
    here = pledge.state == PledgeState.ARRIVED
    return Supply(
        program_id=pledge.program_id,
        kind=pledge.kind,
        title=pledge.title,
        system=pledge.system,
        fitment=pledge.fitment,
        used=pledge.used,
        source=SupplySource.PLEDGE,
        pledge=pledge,
        number=number,
        state=SupplyState.ON_SHELF if here else SupplyState.PLEDGED,
        expires_on=pledge.expires_on,
    )


@transaction.atomic
def take_back(*, pledge: Pledge, by: User | None = None, reason: str = "") -> Pledge:
    """End a pledge at its sponsor's wish: its units are gone, and what they were kept for is free.

    Asks for the needs to be matched without it. Taking back twice changes nothing.

    Raises:
        ValidationError: a unit has arrived, or the pledge has ended in another way.
    """
    found = Pledge.objects.select_for_update().get(pk=pledge.pk)
    if found.state == PledgeState.TAKEN_BACK:
        return found
    if found.state == PledgeState.EXPIRED:
        raise ValidationError("This pledge has run out already.")
    states = set(found.units.select_for_update().values_list("state", flat=True))
    if found.state == PledgeState.ARRIVED or states - {SupplyState.PLEDGED, SupplyState.GONE}:
        raise ValidationError("A part of this pledge is with us already. Call us about it.")
    _end([found], PledgeState.TAKEN_BACK, "The pledge was taken back.")
    log_event(found, "The pledge was taken back.", by=by, reason=reason, fields=["state"])
    ask(program=found.program, key=f"{MATCH}:without:{found.pk}", kind=MATCH)
    found.refresh_from_db()
    return found


@transaction.atomic
def expire_pledges(*, program: Program, today: dt.date) -> int:
    """End the pledges whose last day is over, and return how many; what has arrived stays here."""
    late = Pledge.objects.intended().filter(program=program, expires_on__lt=today)
    found = list(late.select_for_update().prefetch_related("units"))
    here = {SupplyState.ON_SHELF, SupplyState.FITTED}
    arrived = [row for row in found if here & {unit.state for unit in row.units.all()}]
    ran_out = [row for row in found if row not in arrived]
    _end(arrived, PledgeState.ARRIVED, "The pledge ran out.")
    _end(ran_out, PledgeState.EXPIRED, "The pledge ran out.")
    for row in found:
        log_event(row, "The pledge ran out.", by=None, fields=["state"])
    return len(found)


def _end(pledges: Collection[Pledge], state: PledgeState, because: str) -> None:
    """Put pledges into their last state: what has not arrived is gone and kept for no need."""
    for pledge in pledges:
        promised = pledge.units.filter(state__in=[SupplyState.PLEDGED, SupplyState.ON_ORDER])
        for unit in promised:
            # The table of reservations belongs to a later room; its rows hang on the unit.
            unit.reservations.filter(freed_at=None).update(
                freed_at=timezone.now(), freed_because=because
            )
        promised.update(state=SupplyState.GONE, since_at=timezone.now())
        Pledge.objects.filter(pk=pledge.pk).update(state=state, version=pledge.version + 1)


def expire_due(_payload: dict[str, object], program: Program) -> None:
    """Let the pledges of a program run out whose last day is over: a nightly job."""
    expire_pledges(program=program, today=program.today())
