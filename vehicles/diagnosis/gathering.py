"""From the rows of a diagnosis to the plain values that are computed with."""

from __future__ import annotations

from functools import lru_cache
from typing import TYPE_CHECKING

from django.core.exceptions import ValidationError

from shared.people.may import INSPECT
from shared.people.queries import refuse_unless_may
from shared.policy.queries import policies
from vehicles.codes.queries import counted, lowest_volts, only_pending, scans_of, stored, whole
from vehicles.codes.urgency import WEAK_VOLTS, Signs, first_words
from vehicles.custody.acts import Act
from vehicles.custody.queries import refuse_without
from vehicles.diagnosis.learning import applied
from vehicles.diagnosis.looking import against
from vehicles.diagnosis.modelfile import read
from vehicles.diagnosis.models import Diagnosis
from vehicles.diagnosis.queries import setups_made, standing
from vehicles.diagnosis.spoken import Told, ToldCheck, speaks_to
from vehicles.diagnosis.values import Session, Step

if TYPE_CHECKING:
    from shared.accounts.models import User
    from vehicles.diagnosis.fault_model import FaultModel
    from vehicles.diagnosis.models import Observation
    from vehicles.diagnosis.spoken import Spoken
    from vehicles.intake.models import Intake

KEPT_TEXTS = 64


@lru_cache(maxsize=KEPT_TEXTS)
def model_of(text: str) -> FaultModel:
    """Return the model of a text; the last ones used are kept."""
    return read(text)


def session_of(diagnosis: Diagnosis) -> Session:
    """Return a diagnosis as it stands now."""
    shipped = model_of(diagnosis.model.text)
    model = applied(shipped, **diagnosis.experience) if diagnosis.experience else shipped
    program = diagnosis.program
    return Session(
        model=model,
        steps=tuple(_step(row) for row in standing(diagnosis)),
        setups=setups_made(diagnosis),
        rate=policies(program, program.today())["shop_hour_cents"],
        cars=diagnosis.experience_cars,
        shipped={fault.code: fault.weight for fault in shipped.faults},
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
    volts = lowest_volts(counting)
    spoken = speaks_to(
        kept, [session.model], full_scan=whole(scans, counting), pending=only_pending(counting)
    )
    return Told(
        scan=counting[0].pk,
        weak=volts is not None and volts < WEAK_VOLTS,
        words=first_words(kept, Signs(battery_volts=volts))[1:],
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
    rows = Diagnosis.objects.select_for_update(of=("self",))
    row = rows.select_related("intake__program", "model", "program").get(pk=diagnosis.pk)
    if row.ended_at:
        raise ValidationError("This diagnosis has ended. Begin a new one to look further.")
    refuse_stay(row.intake, by)
    return row


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
