"""Beginning and ending an inspection, taking it over, and the program's own limits."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone

from shared.audit.actions import log_event
from shared.people.may import INSPECT
from shared.people.queries import refuse_unless_may
from vehicles.custody.acts import Act
from vehicles.custody.queries import refuse_without
from vehicles.inspection.catalogue import refuse_override
from vehicles.inspection.depths import Depth
from vehicles.inspection.gathering import sheet_of
from vehicles.inspection.models import Inspection, LocalLimit
from vehicles.inspection.queries import inspections_of, limits_in_force, override_of
from vehicles.intake.models import Intake

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Sequence

    from shared.accounts.models import User
    from vehicles.inspection.sheet import Sheet

ENDED = "This stay has ended. Open a new intake to read the car again."
LONGEST = 300  # of the sentence that ended a look


@transaction.atomic
def begin_inspection(
    *, intake: Intake, depth: Depth, odometer_mi: int | None = None, by: User
) -> Inspection:
    """Begin to go through a car at one depth; a final sheet notes the odometer.

    Raises:
        ValidationError: the stay has ended, nobody consented, this user may not inspect, another
            sheet is open, or the odometer shows less than before.
    """
    intake = Intake.objects.select_for_update().select_related("program").get(pk=intake.pk)
    if intake.left_on:
        raise ValidationError(ENDED)
    today = intake.program.today()
    refuse_without(intake, Act.DIAGNOSE, today)
    refuse_unless_may(by, INSPECT, today)
    known = inspections_of(intake)
    for one in known:
        if one.ended_at is None:
            raise ValidationError(
                f"{Depth(one.depth).label}: open already, {one.hands} has it in hand. "
                "Take it over, or end it first."
            )
    if depth is Depth.FINAL:
        _check_odometer(intake, known, odometer_mi)
    row = Inspection(
        program_id=intake.program_id,
        intake=intake,
        depth=depth,
        begun_by=by,
        hands=by,
        odometer_mi=odometer_mi if depth is Depth.FINAL else None,
    )
    row.full_clean()
    row.save()
    log_event(intake, f"{depth.label}: begun.", by=by)
    return row


def _check_odometer(intake: Intake, known: Sequence[Inspection], miles: int | None) -> None:
    """Refuse a final sheet without the odometer, or with less on it than before."""
    if miles is None:
        raise ValidationError(
            {"odometer_mi": "The final sheet needs the odometer: its readings expire by miles."}
        )
    before = [intake.odometer_mi or 0, *(one.odometer_mi or 0 for one in known)]
    if miles < max(before):
        raise ValidationError(
            {"odometer_mi": f"{miles:,} is less than the {max(before):,} miles read before."}
        )


@transaction.atomic
def end_inspection(*, inspection: Inspection, by: User) -> Inspection:
    """End an inspection and note how many points it leaves unread; unread is never good.

    A look that found what ends it notes that finding.

    Raises:
        ValidationError: somebody ended it already, or this user may not inspect.
    """
    row = _open(inspection)
    sheet = sheet_of(row.intake, Depth(row.depth))
    row.ended_at, row.ended_by = timezone.now(), by
    asked = (one for one in sheet.sections if not (one.settled or one.criterion.detail_of))
    row.unread = sum(section.unread for section in asked)
    row.stopped_because = _stopped(sheet)
    _check_and_save(row, ["ended_at", "ended_by", "unread", "stopped_because"], by)
    log_event(row.intake, f"{Depth(row.depth).label}: ended, {row.unread} points unread.", by=by)
    return row


def _stopped(sheet: Sheet) -> str:
    point = sheet.stop
    if point is None or point.reading is None:
        return ""
    return f"{point.title}: {point.reading.sentence}"[:LONGEST]


@transaction.atomic
def take_over(*, inspection: Inspection, by: User) -> Inspection:
    """Put an open inspection into the hands of this user; whoever had it may still record.

    Raises:
        ValidationError: it has ended, or this user may not inspect.
    """
    row = _open(inspection)
    if row.hands_id == by.pk:
        return row
    row.hands = by
    _check_and_save(row, ["hands"], by)
    log_event(row.intake, f"{Depth(row.depth).label}: taken over.", by=by)
    return row


def _open(inspection: Inspection) -> Inspection:
    """Return the inspection, locked and still open."""
    rows = Inspection.objects.select_for_update(of=("self",))
    row = rows.select_related("intake__vehicle", "intake__program").get(pk=inspection.pk)
    if row.ended_at:
        raise ValidationError(f"{Depth(row.depth).label}: ended already.")
    return row


def _check_and_save(row: Inspection, fields: list[str], by: User) -> None:
    refuse_unless_may(by, INSPECT, row.intake.program.today())
    row.version += 1
    row.full_clean(exclude=["intake", "program"])
    row.save(update_fields=[*fields, "version"])


@transaction.atomic
def set_limit(*, by: User, **fields: str | dt.date) -> LocalLimit:
    """Set a limit of the program's state over the catalogue's, from a day on.

    `fields` are criterion, reason, typed, since_on, because and source.

    Raises:
        ValidationError: the catalogue has no such limit, the new one changes nothing, starts too
            far ahead, lets a worse number count as better, or is looser without a source.
    """
    if by.program is None:
        raise ValidationError("This user belongs to no program.")
    row = LocalLimit(program=by.program, by=by, **fields)
    row.full_clean()
    try:
        others = [override_of(one) for one in limits_in_force(by.program, row.since_on)]
        refuse_override(override_of(row), today=by.program.today(), others=others)
    except ValueError as error:
        raise ValidationError({"typed": str(error)}) from error
    row.save()
    log_event(row, "A local limit was set.", by=by, reason=row.because)
    return row


@transaction.atomic
def end_limit(*, limit: LocalLimit, because: str, by: User) -> LocalLimit:
    """End a local limit today; what was judged by it stays as it was judged.

    Raises:
        ValidationError: it ended already, or no reason is given.
    """
    row = LocalLimit.objects.select_for_update().select_related("program").get(pk=limit.pk)
    if row.ended_on:
        raise ValidationError(f"This limit ended on {row.ended_on}.")
    if not because.strip():
        raise ValidationError({"because": "Say why the limit ends."})
    row.ended_on = max(row.program.today(), row.since_on)
    row.full_clean(exclude=["program"])
    row.save(update_fields=["ended_on"])
    log_event(row, "A local limit was ended.", by=by, reason=because.strip())
    return row
