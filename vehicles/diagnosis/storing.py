"""Storing what checks showed, one by one, or taken over from the trouble codes that were read."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone

from shared.audit.actions import log_event
from shared.people.may import acts_for_point
from shared.people.queries import refuse_unless_may, signed_name
from vehicles.custody.acts import Act
from vehicles.custody.queries import refuse_without
from vehicles.diagnosis.gathering import at_work, session_of, told_of
from vehicles.diagnosis.kinds import Source, Verified
from vehicles.diagnosis.looking import against
from vehicles.diagnosis.models import Diagnosis, Observation, SetupMade
from vehicles.diagnosis.values import Seen

if TYPE_CHECKING:
    from collections.abc import Collection
    from uuid import UUID

    from shared.accounts.models import User
    from vehicles.diagnosis.fault_model import Check
    from vehicles.diagnosis.spoken import Told, ToldCheck
    from vehicles.diagnosis.values import Session

ROAD, RAISED = "road", "raised"
MOST_NAMED = 15  # codes in a note, so that it has room for what a person adds


@transaction.atomic
def take_codes(
    *, diagnosis: Diagnosis, scan: int, checks: Collection[str], note: str = "", by: User
) -> list[Observation]:
    """Record what the trouble codes say of these checks; one that is recorded already is left.

    `scan` is the newest reading that was on screen.

    Raises:
        ValidationError: the diagnosis has ended, codes were read since, nothing is taken over, the
            codes do not speak to a check, the complaint was not tried yet, or the battery was weak
            or something else stands against a check and no note says why it counts all the same.
    """
    row = at_work(diagnosis, by)
    session = session_of(row)
    told = told_of(row.intake, session)
    if told is None or told.scan != scan:
        raise ValidationError("Codes were read or withdrawn meanwhile. Look, then take them over.")
    wanted = [told.row(code) for code in checks]
    if not wanted:
        raise ValidationError({"checks": "Tick what is taken over."})
    chosen = [one for one in wanted if one and not one.step]
    if None in wanted:
        raise ValidationError({"checks": "No code speaks to this check."})
    if chosen and not note.strip():
        _refuse_without_note(told, chosen)
    return [_taken(row, session, one, note.strip(), by) for one in chosen]


def _refuse_without_note(told: Told, chosen: Collection[ToldCheck]) -> None:
    weak = ["These codes were set on a weak battery."] if told.weak else []
    sentences = [*weak, *(sentence for one in chosen for sentence in one.against)]
    if sentences:
        raise ValidationError(
            {
                "note": [
                    f"{one} If they count all the same, say why."
                    for one in dict.fromkeys(sentences)
                ]
            }
        )


def _taken(row: Diagnosis, session: Session, one: ToldCheck, note: str, by: User) -> Observation:
    codes = ", ".join(one.spoken.codes[:MOST_NAMED]) or "No code stored"
    more = len(one.spoken.codes) - MOST_NAMED
    codes += f" and {more} more" if more > 0 else ""
    pending = " (pending)" if one.spoken.pending else ""
    said = f"{codes}{pending}. {note}".strip()
    seen = Seen(check=one.spoken.check, outcome=one.spoken.outcome, note=said)
    return store(row, session, seen, source=Source.CODES, by=by)


def store(
    row: Diagnosis,
    session: Session,
    seen: Seen,
    *,
    source: Source,
    client_key: UUID | None = None,
    by: User,
) -> Observation:
    """Store what one check showed in a diagnosis that is locked.

    Raises:
        ValidationError: the check or outcome doesn't exist, it is barred and no note says how it
            was seen all the same, the complaint was not tried yet, somebody may not do it, or
            another observation stands there since it was shown.
    """
    check = _check(session, seen)
    if seen.outcome and not check.asked:
        _refuse_work(row, check, source, by)
        _refuse_barred(session, check, seen.note)
    _replace(row, seen)
    found = Observation(
        program_id=row.program_id,
        diagnosis=row,
        check_code=check.code,
        outcome=seen.outcome,
        could_not=seen.could_not.strip(),
        note=seen.note.strip(),
        source=Source.ASKED if check.asked and source is Source.SEEN else source,
        by=by,
        seen_by=signed_name(by),
        client_key=client_key,
    )
    found.full_clean()
    found.save()
    if seen.outcome and source is Source.SEEN:
        set_up(row, check.setups, by)
    what = "A check was recorded." if seen.outcome else "A check could not be done."
    log_event(row, what, by=by, fields=[check.code])
    return found


def set_up(row: Diagnosis, codes: Collection[str], by: User) -> None:
    """Record what is made true for checks, once for each."""
    have = set(row.setups.filter(ended_at__isnull=True).values_list("code", flat=True))
    SetupMade.objects.bulk_create(
        SetupMade(program_id=row.program_id, diagnosis=row, code=code, by=by)
        for code in codes
        if code not in have
    )


def _check(session: Session, seen: Seen) -> Check:
    try:
        check = session.model.check(seen.check)
        if seen.outcome:
            check.place(seen.outcome)
    except ValueError as error:
        raise ValidationError({"outcome": str(error)}) from error
    if not seen.outcome and not seen.could_not.strip():
        raise ValidationError({"outcome": "Say what was seen, or why it could not be done."})
    return check


def _refuse_work(row: Diagnosis, check: Check, source: Source, by: User) -> None:
    """Refuse what the order of work, the owner or the rule on people stands against."""
    if row.verified == Verified.NOT_YET:
        raise ValidationError("First say whether the complaint shows; then the checks count.")
    if source is Source.CODES:
        return  # nothing is done at the car any more
    today = row.intake.program.today()
    if ROAD in check.setups:
        refuse_without(row.intake, Act.ROAD_TEST, today)
    group = "look_under" if RAISED in check.setups else ""
    for act in acts_for_point(group, check.cautions):
        refuse_unless_may(by, act, today)


def _refuse_barred(session: Session, check: Check, note: str) -> None:
    """Refuse what danger, or another check that comes first, stands against."""
    barred = against(session, check)
    if barred and not note.strip():
        raise ValidationError(
            {"note": [f"{one} If it was seen all the same, say how." for one in barred]}
        )


def _replace(row: Diagnosis, seen: Seen) -> None:
    """Let the observation that stands go; refuse when it is not the one that was on screen."""
    before = row.observations.standing().filter(check_code=seen.check).first()
    if before is None:
        return
    if before.pk != seen.seen_id:
        raise ValidationError(
            {
                "outcome": f"{before.seen_by} recorded this check meanwhile. "
                "Nothing of yours is lost: look, then record again."
            }
        )
    before.withdrawn_at = timezone.now()
    before.save(update_fields=["withdrawn_at"])
