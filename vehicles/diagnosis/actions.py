"""Going through a diagnosis: begin, verify the complaint, record, take back, end."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone

from shared.audit.actions import log_event
from shared.people.may import INSPECT
from shared.people.queries import refuse_unless_may
from vehicles.diagnosis.batch import learned
from vehicles.diagnosis.gathering import at_work, locked, model_of, refuse_stay, session_of
from vehicles.diagnosis.keeping import kept_model
from vehicles.diagnosis.kinds import Ended, Source, Verified
from vehicles.diagnosis.models import Diagnosis, Observation
from vehicles.diagnosis.setups import load as load_setups
from vehicles.diagnosis.storing import set_up, store
from vehicles.intake.models import Intake

if TYPE_CHECKING:
    from uuid import UUID

    from shared.accounts.models import User
    from vehicles.diagnosis.values import Seen


@transaction.atomic
def begin_diagnosis(
    *, intake: Intake, complaint: str, client_key: UUID | None = None, by: User
) -> Diagnosis:
    """Begin to look for what causes a complaint, with the model that is in force today.

    Raises:
        ValidationError: the stay has ended, nobody consented, this user may not inspect, there is
            no such complaint, or it is being diagnosed already.
    """
    intake = (
        Intake.objects.select_for_update(of=("self",)).select_related("program").get(pk=intake.pk)
    )
    if client_key:
        known = Diagnosis.objects.filter(intake=intake, client_key=client_key).first()
        if known:
            return known
    refuse_stay(intake, by)
    kept = kept_model(intake.program, complaint, by)
    experience, cars = learned(intake.program, model_of(kept.text))
    row = Diagnosis(
        program_id=intake.program_id,
        intake=intake,
        complaint=complaint,
        model=kept,
        experience=experience,
        experience_cars=cars,
        begun_by=by,
        client_key=client_key,
    )
    row.full_clean()
    row.save()
    log_event(intake, "A diagnosis was begun.", by=by, fields=[complaint])
    return row


@transaction.atomic
def verify_complaint(
    *, diagnosis: Diagnosis, verified: Verified, note: str = "", by: User
) -> Diagnosis:
    """Record whether the complaint was shown; no check of the shop comes before.

    Raises:
        ValidationError: the diagnosis or the stay has ended, or this user may not inspect.
    """
    row = at_work(diagnosis, by)
    row.verified, row.verified_note = verified, note.strip()
    row.version += 1
    row.full_clean()
    row.save()
    log_event(row, "Whether the complaint shows was recorded.", by=by, fields=["verified"])
    return row


@transaction.atomic
def record(
    *,
    diagnosis: Diagnosis,
    seen: Seen,
    source: Source = Source.SEEN,
    client_key: UUID | None = None,
    by: User,
) -> Observation:
    """Record what one check showed, or why it could not be done. Sent twice, recorded once.

    Raises:
        ValidationError: the diagnosis has ended, the check or outcome doesn't exist, it is barred
            and no note says how it was seen all the same, the complaint was not tried yet, somebody
            may not do it, or another observation stands there since it was shown.
    """
    row = at_work(diagnosis, by)
    known = Observation.objects.filter(diagnosis=row, client_key=client_key).first()
    if client_key and known:
        return _same(known, seen)
    return store(row, session_of(row), seen, source=source, client_key=client_key, by=by)


@transaction.atomic
def take_back(*, observation: Observation, by: User) -> Diagnosis:
    """Take an observation back; it stays on record and no longer counts.

    Raises:
        ValidationError: the diagnosis or the stay has ended, or this user may not inspect.
    """
    row = at_work(observation.diagnosis, by)
    rows = Observation.objects.standing().filter(pk=observation.pk)
    if rows.update(withdrawn_at=timezone.now()):
        log_event(row, "An observation was taken back.", by=by, fields=[observation.check_code])
    return row


@transaction.atomic
def change_setup(*, diagnosis: Diagnosis, code: str, made: bool, by: User) -> Diagnosis:
    """Record that something is set up, or no longer is.

    Raises:
        ValidationError: there is no such setup, or the diagnosis or the stay has ended.
    """
    row = at_work(diagnosis, by)
    if code not in load_setups():
        raise ValidationError({"code": f"“{code}” is nothing that a check asks for."})
    if made:
        set_up(row, (code,), by)
    else:
        row.setups.filter(code=code, ended_at__isnull=True).update(ended_at=timezone.now())
    log_event(row, "What is set up was changed.", by=by, fields=[code])
    return row


@transaction.atomic
def end_diagnosis(*, diagnosis: Diagnosis, how: Ended, because: str = "", by: User) -> Diagnosis:
    """End a diagnosis in one of the known ways. Ended twice, it stays as it was.

    It can be ended as well once the stay has ended, or an owner took back the consent.

    Raises:
        ValidationError: it is to be called concluded and nothing was concluded, it ends in another
            way without a reason, or this user may not inspect.
    """
    row = locked(diagnosis)
    if row.ended_at:
        return row
    refuse_unless_may(by, INSPECT, row.intake.program.today())
    concluded = row.conclusions.filter(withdrawn_at__isnull=True).exists()
    if how is Ended.CONCLUDED and not concluded:
        raise ValidationError("Nothing is concluded yet. Confirm a fault, or say how it ends.")
    if how is not Ended.CONCLUDED and not because.strip():
        raise ValidationError({"because": "Say why it ends here."})
    row.ended_at, row.ended_by, row.ended_how = timezone.now(), by, how
    row.ended_because = because.strip()
    row.version += 1
    row.full_clean()
    row.save()
    log_event(row, "A diagnosis was ended.", by=by, reason=row.ended_because)
    return row


def _same(known: Observation, seen: Seen) -> Observation:
    """Return the observation that this key recorded already, unless the form says another now."""
    if (known.check_code, known.outcome) == (seen.check, seen.outcome):
        return known
    raise ValidationError({"outcome": "This form was sent already. Open the check again."})
