"""From the rows of a diagnosis to the plain values that are computed with."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

from django.core.exceptions import ValidationError

from shared.people.may import INSPECT
from shared.people.queries import refuse_unless_may
from shared.policy.queries import policies
from vehicles.codes.queries import counted, lowest_volts, only_pending, scans_of, stored, whole
from vehicles.codes.urgency import Signs, first_words
from vehicles.custody.acts import Act
from vehicles.custody.queries import refuse_without
from vehicles.diagnosis.learning import applied
from vehicles.diagnosis.looking import against
from vehicles.diagnosis.modelfile import read
from vehicles.diagnosis.models import Diagnosis
from vehicles.diagnosis.queries import repaired, setups_made, standing
from vehicles.diagnosis.spoken import Told, ToldCheck, speaks_to
from vehicles.diagnosis.values import Session, Step

if TYPE_CHECKING:
    from collections.abc import Mapping

    from shared.accounts.models import User
    from vehicles.diagnosis.fault_model import FaultModel
    from vehicles.diagnosis.models import KeptModel, Observation
    from vehicles.diagnosis.spoken import Spoken
    from vehicles.intake.models import Intake

KEPT_TEXTS = 64


@lru_cache(maxsize=KEPT_TEXTS)
def model_of(text: str) -> FaultModel:
    """Return the model of a text; the last ones used are kept."""
    return read(text)


class UnreadableError(ValidationError):
    """The text that a diagnosis began with can't be read any more, after an upgrade."""

    def __init__(self, kept: KeptModel) -> None:
        super().__init__(
            f"The fault model of this diagnosis, “{kept}”, was written for an earlier release and"
            " can’t be read any more. What was recorded stays as it is. End this diagnosis and"
            " begin a new one to go on."
        )


def model_behind(diagnosis: Diagnosis) -> FaultModel:
    """Return the model with which a diagnosis began.

    Raises:
        UnreadableError: a later release can't read its text any more.
    """
    try:
        return model_of(diagnosis.model.text)
    except ValueError as error:
        raise UnreadableError(diagnosis.model) from error


def readable(texts: Mapping[str, str]) -> dict[str, str]:
    """Return those texts that are models, by complaint."""
    return {code: text for code, text in texts.items() if is_readable(text)}


def is_readable(text: str) -> bool:
    """Return whether a text is a model."""
    try:
        model_of(text)
    except ValueError:
        return False
    return True


def session_of(diagnosis: Diagnosis) -> Session:
    """Return a diagnosis as it stands now.

    Raises:
        UnreadableError: a later release can't read its text any more.
    """
    shipped = model_behind(diagnosis)
    model = applied(shipped, **diagnosis.experience) if diagnosis.experience else shipped
    program = diagnosis.program
    return Session(
        model=model,
        steps=tuple(_step(row) for row in standing(diagnosis)),
        setups=setups_made(diagnosis),
        rate=policies(program, program.today())["shop_hour_cents"],
        cars=diagnosis.experience_cars,
        shipped={fault.code: fault.weight for fault in shipped.faults},
        settled=repaired(diagnosis),
    )


def _step(row: Observation) -> Step:
    return Step(
        check=row.check_code,
        outcome=row.outcome,
        could_not=row.could_not,
        note=row.note,
        source=row.source,
        seen_by=row.seen_by,
        at=row.at,
        pk=row.pk,
    )


def told_of(intake: Intake, session: Session) -> Told | None:
    """Return what the trouble codes of a stay say for a diagnosis, or None where none were read."""
    scans = scans_of(intake)
    counting = counted(scans)
    if not counting:
        return None
    kept = stored(counting)
    signs = Signs(battery_volts=lowest_volts(counting))
    spoken = speaks_to(
        kept, [session.model], full_scan=whole(scans, counting), pending=only_pending(counting)
    )
    return Told(
        scan=counting[0].pk,
        weak=signs.battery_weak,
        words=first_words(kept, signs)[1:],
        rows=tuple(_told(session, one) for one in spoken.get(session.model.code, ())),
    )


def _told(session: Session, one: Spoken) -> ToldCheck:
    check, step = session.model.check(one.check), session.step(one.check)
    return ToldCheck(
        spoken=one,
        step=step,
        recorded=session.label(step) if step else "",
        against=tuple(against(session, check)) if (check.bars or check.after) and not step else (),
    )


def at_work(diagnosis: Diagnosis, by: User) -> Diagnosis:
    """Return the row, locked, once this user may go on with it.

    Raises:
        ValidationError: the diagnosis or the stay has ended, nobody consented, or this user may not
            inspect.
    """
    row = locked(diagnosis)
    if row.ended_at:
        raise ValidationError("This diagnosis has ended. Begin a new one to look further.")
    refuse_stay(row.intake, by)
    return row


def locked(diagnosis: Diagnosis) -> Diagnosis:
    """Return the row, locked, with its stay and its model."""
    rows = Diagnosis.objects.select_for_update(of=("self",))
    return rows.select_related("intake__program", "model", "program").get(pk=diagnosis.pk)


def refuse_stay(intake: Intake, by: User) -> None:
    """Return nothing where this user may diagnose the car of a stay today.

    Raises:
        ValidationError: the stay has ended, nobody consented, or this user may not inspect.
    """
    if intake.left_on:
        raise ValidationError("This stay has ended. Open a new intake to diagnose the car again.")
    today = intake.program.today()
    refuse_without(intake, Act.DIAGNOSE, today)
    refuse_unless_may(by, INSPECT, today)
