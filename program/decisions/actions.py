"""Asking for what goes beyond an authorization, answering it and taking it back."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone

from program.decisions.approving import (
    MOST_REASON,
    authorize,
    end_authorization,
    freeze,
    reason_of,
    refuse_tied,
)
from program.decisions.authorization import MOST_CENTS, may_grant, seen_key, still_to_sign
from program.decisions.gathering import counted_items, joined_of
from program.decisions.keeping import payments_for, set_aside_for
from program.decisions.models import Supplement
from program.decisions.queries import against_repair, works
from program.decisions.sheet import in_language, more_of, number_of, sheet_of
from program.decisions.states import SupplementState
from shared.audit.actions import log_event
from shared.documents.actions import issue
from shared.money import usd
from vehicles.custody.acts import OwnerKind
from vehicles.custody.authority import Named
from vehicles.custody.kinds import SignedHow
from vehicles.custody.queries import may_sign, open_stay
from vehicles.repairs.computing import make_estimate
from vehicles.repairs.costs import rates_of
from vehicles.repairs.models import RepairItem
from vehicles.repairs.queries import given_of

if TYPE_CHECKING:
    from collections.abc import Callable, Collection
    from uuid import UUID

    from program.decisions.queries import Work
    from program.decisions.sheet import OwnerAnswer, Sheet
    from shared.accounts.models import User
    from vehicles.intake.models import Intake, Photo
    from vehicles.repairs.models import Estimate

__all__ = [
    "answer_budget",
    "answer_owner",
    "ask_supplement",
    "authorize",
    "end_authorization",
    "withdraw_supplement",
]

CHANGED = "Somebody else changed this meanwhile. Look at it again, then decide."
FIGURES = "The figures have changed since they were shown. Look at them again, then ask."
READ_AGAIN = "The words have changed since they were read. Read them again, then sign."
BOTH_SIGN = "The title joins its names with “and”: {names} has to say yes too, on the same paper."


@transaction.atomic
def ask_supplement(  # noqa: PLR0913  # what is asked has this many parts
    *,
    intake: Intake,
    items: Collection[RepairItem],
    reason: str,
    photo: Photo,
    seen: str,
    client_key: UUID,
    by: User,
) -> Supplement:
    """Ask for what the car comes to beyond its authorization; the amount is computed, not typed.

    `seen` is the `seen_key` of the figures on screen. The same `client_key` again returns what it
    wrote.

    Raises:
        ValidationError: the stay has ended or is not authorized, a supplement waits already, an
            item is not open on this car, the photo does not show it, the figures have changed, or
            nothing or far too much goes beyond what was authorized.
    """
    stay = open_stay(intake)
    if there := Supplement.objects.filter(client_key=client_key, program=stay.program_id).first():
        return there
    work = works([stay.pk]).get(stay.pk)
    if work is None:
        raise ValidationError("Nothing is authorized on this stay yet.")
    refuse_tied(work.authorization.case, by)
    rows = _asked_for(stay, work, items, photo, seen)
    row = _supplement(work)
    row.reason, row.photo = " ".join(reason.split()), photo
    row.asked_by, row.client_key = by, client_key
    row.full_clean()
    row.save()
    row.items.set(rows)
    _estimated(stay, by)
    log_event(stay, f"Supplement {row.number} was asked for.", by=by, fields=["supplements"])
    return row


def _supplement(work: Work) -> Supplement:
    """Return the next supplement of a stay with the figures of today, not saved yet."""
    return Supplement(
        program_id=work.authorization.program_id,
        authorization=work.authorization,
        number=1 + max((one.number for one in work.supplements), default=0),
        cents=work.forecast.over_cents,
        minutes=work.more_minutes,
        to_go_cents=work.forecast.to_go_cents,
        spent_cents=work.forecast.spent_cents,
    )


def _asked_for(
    stay: Intake, work: Work, items: Collection[RepairItem], photo: Photo, seen: str
) -> list[RepairItem]:
    """Return the items asked for, once all that was sent fits this car and these figures."""
    if work.waiting:
        raise ValidationError(f"Supplement {work.waiting.number} waits for its answers already.")
    rows = list(RepairItem.objects.open().filter(intake=stay, pk__in=[one.pk for one in items]))
    if not rows or len(rows) != len({one.pk for one in items}):
        raise ValidationError({"items": "Tick work that is open on this car."})
    if photo.intake_id != stay.pk or photo.voided_at:
        raise ValidationError({"photo": "The photo has to show this car, on this stay."})
    cents = work.forecast.over_cents
    if seen != seen_key(work.forecast.total_cents, work.minutes):
        raise ValidationError(FIGURES)
    if cents > MOST_CENTS:
        raise ValidationError(
            f"{usd(cents)} more is no repair: at most {usd(MOST_CENTS)}. Look at the prices."
        )
    if not cents and {one.pk for one in rows} <= counted_items(stay):
        raise ValidationError("Nothing goes beyond what was authorized.")
    return rows


def _estimated(stay: Intake, by: User) -> Estimate:
    """Return the estimate of the open items as they are, a new version where it differs."""
    return make_estimate(intake=stay, given=given_of(stay), rates=rates_of(stay.program), by=by)


def _open(supplement: Supplement, version: int) -> Supplement:
    """Return the supplement, locked after its stay, or refuse one that was closed or changed."""
    open_stay(supplement.authorization.intake)
    rows = Supplement.objects.select_for_update(of=("self",))
    row = rows.select_related("authorization__case", "authorization__intake__program").get(
        pk=supplement.pk
    )
    if not SupplementState(row.state).is_open:
        raise ValidationError(f"Supplement {row.number} is {row.state} already.")
    if row.version != version:
        raise ValidationError(CHANGED)
    return row


@transaction.atomic
def answer_owner(
    *, supplement: Supplement, answer: OwnerAnswer, draw: Callable[[Sheet], bytes], by: User
) -> Supplement:
    """Record what the owners said; a yes is kept as the paper that `draw` makes.

    Raises:
        ValidationError: it is closed or changed, it was answered, somebody said yes who may not or
            not all who have to, the words, the signature, the witness or the money is missing.
    """
    row = _open(supplement, answer.version)
    stay = row.authorization.intake
    refuse_tied(row.authorization.case, by)
    if row.owner_at:
        raise ValidationError("The owner has said yes already.")
    signers = may_sign(stay)
    if not answer.signed or {one.pk for one in answer.signed} - {one.pk for one in signers}:
        raise ValidationError({"signed": "Tick who said it: only who may sign the repair."})
    row.owner, row.owner_noted_by = answer.signed[0], by
    if not answer.yes:
        return _declined(row, f"The owner said no: {reason_of(answer.because)}", by)
    _check_yes(row, answer)
    row.owner_how, row.owner_at = answer.how or "", timezone.now()
    row.interpreter, row.witness = answer.interpreter.strip(), answer.witness.strip()
    words = in_language(more_of(row), answer.language)
    sheet = sheet_of(row, words, signers, answer)
    issue(holder=row, number=number_of(row), title=words.title, content=draw(sheet), by=by)
    return _settled(row, f"The owner agreed to supplement {row.number}.", by)


def _check_yes(row: Supplement, answer: OwnerAnswer) -> None:
    """Refuse a yes that is not all of one: who has to give it, how, and to which words."""
    stay = row.authorization.intake
    named = [Named(id=o.pk, name=o.name, kind=OwnerKind(o.kind)) for o in may_sign(stay)]
    missing = still_to_sign(named, joined_of(stay), {one.pk for one in answer.signed})
    if missing:
        names = ", ".join(one.name for one in missing)
        raise ValidationError({"signed": BOTH_SIGN.format(names=names)})
    if answer.how is None or answer.how is SignedHow.IMPORTED:
        raise ValidationError({"how": "Say how the yes was given."})
    if answer.how is SignedHow.PHONE and not answer.witness.strip():
        raise ValidationError({"witness": "A consent on the phone needs somebody who heard it."})
    if answer.how is SignedHow.SCREEN and (not answer.strokes or len(answer.signed) > 1):
        raise ValidationError({"how": "The pad takes one name. Sign on it, or all on paper."})
    if answer.read != in_language(more_of(row), answer.language).digest:
        raise ValidationError(READ_AGAIN)
    if barred := against_repair(stay):
        raise ValidationError(barred)


@transaction.atomic
def answer_budget(
    *, supplement: Supplement, yes: bool, because: str = "", version: int, by: User
) -> Supplement:
    """Record what the budget says to a supplement, by another person than who asked for it.

    Raises:
        ValidationError: it is closed or changed, it was answered, who asks would grant it, no fund
            has the money for a yes, or a no has no reason.
    """
    row = _open(supplement, version)
    refuse_tied(row.authorization.case, by)
    if row.budget_at:
        raise ValidationError("The budget has said yes already.")
    if not may_grant(asked_by=row.asked_by_id, grants=by.pk):
        raise ValidationError("Who asks for money doesn’t grant it: another person answers.")
    row.budget_by = by
    if not yes:
        return _declined(row, f"The budget said no: {reason_of(because)}", by)
    payments_for(row, _estimated(row.authorization.intake, by))
    row.budget_at = timezone.now()
    return _settled(row, f"The budget agreed to supplement {row.number}.", by)


@transaction.atomic
def withdraw_supplement(
    *, supplement: Supplement, because: str, version: int, by: User
) -> Supplement:
    """Take a supplement back that nobody has answered in full; only who asked does.

    Raises:
        ValidationError: it is closed or changed, another person asked, or no reason is given.
    """
    row = _open(supplement, version)
    if row.asked_by_id != by.pk:
        raise ValidationError("Only who asked for it takes it back.")
    return _closed(row, SupplementState.WITHDRAWN, reason_of(because), by)


def _settled(row: Supplement, said: str, by: User) -> Supplement:
    """Keep a yes; with both the amount rises, its money is set aside, the estimate is frozen."""
    stay = row.authorization.intake
    log_event(stay, said, by=by, fields=["supplements"])
    if row.owner_at and row.budget_at:
        estimate = _estimated(stay, by)
        set_aside_for(row=row, estimate=estimate, by=by)
        freeze(estimate)
        return _closed(row, SupplementState.AGREED, "", by)
    return _kept(row)


def _declined(row: Supplement, because: str, by: User) -> Supplement:
    return _closed(row, SupplementState.DECLINED, because[:MOST_REASON], by)


def _closed(row: Supplement, state: SupplementState, because: str, by: User) -> Supplement:
    row.state, row.closed_because, row.closed_at = state, because, timezone.now()
    stay = row.authorization.intake
    said = f"Supplement {row.number} is {state.value}."
    log_event(stay, said, by=by, reason=because, fields=["supplements"])
    return _kept(row)


def _kept(row: Supplement) -> Supplement:
    row.version += 1
    row.full_clean()
    row.save()
    return row
