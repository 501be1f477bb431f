"""Authorizing an estimate: it is frozen, and the work may go as far as its 80 percent point."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone

from program.decisions.gathering import is_current, repair_consents
from program.decisions.models import Authorization
from program.decisions.queries import against_repair, cases_for
from program.decisions.states import SupplementState
from shared.audit.actions import log_event
from shared.money import usd
from vehicles.custody.queries import open_stay
from vehicles.repairs.models import Estimate, RepairItem
from vehicles.repairs.queries import latest_estimate

if TYPE_CHECKING:
    from uuid import UUID

    from program.cases.models import Case
    from shared.accounts.models import User
    from vehicles.intake.models import Intake

STALE = "The estimate is not that of today’s work and prices. Rank and estimate the open items."
MOST_REASON = 200


@transaction.atomic
def authorize(
    *, case: Case, intake: Intake, estimate: int, cents: int, client_key: UUID, by: User
) -> Authorization:
    """Freeze the newest estimate of a stay and let the work go as far as its 80 percent point.

    The owner's yes is the consent to the repair that is in force. The same `client_key` again
    returns what it wrote.

    Args:
        case: the case of the stay's car.
        intake: the stay.
        estimate: the number of the estimate on screen.
        cents: the amount on screen.
        client_key: of this form.
        by: who decides on the budget; nobody with a tie to the household.

    Raises:
        ValidationError: the stay has ended, it is authorized already, no owner who has to has
            consented to the repair, or the estimate or the amount is not that of today.
    """
    stay = open_stay(intake)
    if there := Authorization.objects.filter(client_key=client_key, intake=stay).first():
        return there
    refuse_tied(case, by)
    if Authorization.objects.filter(intake=stay, ended_at=None).exists():
        raise ValidationError("This stay is authorized already. Ask for a supplement.")
    if barred := against_repair(stay):
        raise ValidationError(barred)
    newest = _newest(stay, estimate, cents)
    row = _authorization(stay, newest)
    row.case, row.by, row.client_key = case, by, client_key
    row.full_clean()
    row.save()
    freeze(newest)
    log_event(stay, f"Estimate {newest.number} was authorized.", by=by, fields=["authorizations"])
    return row


def _authorization(stay: Intake, newest: Estimate) -> Authorization:
    """Return what the newest consent and the estimate amount to, not saved yet."""
    # Without a consent the repair would have been refused.
    consent = repair_consents(stay)[-1]
    return Authorization(
        program_id=stay.program_id,
        intake=stay,
        estimate=newest,
        cents=newest.p80_cents,
        minutes=newest.p80_minutes,
        owner=consent.owner,
        owner_how=consent.how,
        owner_on=consent.given_on,
        interpreter=consent.interpreter,
        witness=consent.witness,
    )


def _newest(stay: Intake, number: int, cents: int) -> Estimate:
    """Return the newest estimate, locked, once it is what was looked at and still holds."""
    newest = latest_estimate(stay)
    if newest is None or not RepairItem.objects.open().filter(intake=stay).exists():
        raise ValidationError("Nothing to authorize: no estimate of open items was made.")
    if newest.number != number:
        raise ValidationError(
            f"Estimate {newest.number} is the newest. Look at it, then authorize."
        )
    if not is_current(stay, newest):
        raise ValidationError(STALE)
    if cents != newest.p80_cents:
        raise ValidationError(
            f"{usd(cents)} is not the estimate’s 80 percent point, {usd(newest.p80_cents)}."
        )
    return newest


def freeze(estimate: Estimate) -> None:
    """Freeze an estimate, unless it is frozen: that version is never changed any more."""
    Estimate.objects.filter(pk=estimate.pk, frozen_at=None).update(frozen_at=timezone.now())


def refuse_tied(case: Case, by: User) -> None:
    """Raise ValidationError for a user whom a tie withholds the case from."""
    if not cases_for(by).filter(pk=case.pk).exists():
        raise ValidationError("Somebody else decides on this car.")


@transaction.atomic
def end_authorization(*, authorization: Authorization, because: str, by: User) -> Authorization:
    """End an authorization with its reason; what was done under it stays done.

    Raises:
        ValidationError: the stay has ended, no reason is given, or a supplement waits for answers.
    """
    stay = open_stay(authorization.intake)
    row = Authorization.objects.select_for_update().get(pk=authorization.pk)
    if row.ended_at:
        return row
    refuse_tied(row.case, by)
    if row.supplements.filter(state=SupplementState.ASKED).exists():
        raise ValidationError("A supplement waits for its answers. They come first.")
    row.ended_at, row.ended_because = timezone.now(), reason_of(because)
    row.full_clean()
    row.save()
    log_event(
        stay, "The authorization ended.", by=by, reason=row.ended_because, fields=["authorizations"]
    )
    return row


def reason_of(because: str) -> str:
    """Return a reason on one line, or refuse one that is missing or too long."""
    reason = " ".join(because.split())
    if not reason:
        raise ValidationError({"because": "Say why."})
    if len(reason) > MOST_REASON:
        raise ValidationError({"because": f"Say it in {MOST_REASON} characters at most."})
    return reason
