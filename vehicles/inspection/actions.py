"""Recording what was read, or why it was not, with the finding that follows from it."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING
from uuid import uuid5

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone

from shared.audit.actions import log_event
from shared.people.may import acts_for_point
from shared.people.models import Person
from shared.people.queries import refuse_unless_may
from vehicles.custody.acts import Act
from vehicles.custody.queries import refuse_without
from vehicles.inspection import reading as typing
from vehicles.inspection.depths import Depth
from vehicles.inspection.gathering import said_across, sheet_of
from vehicles.inspection.grading import follow
from vehicles.inspection.judge import GOOD, judge
from vehicles.inspection.judged import judged_fields
from vehicles.inspection.models import Inspection, NotRead, Reading
from vehicles.inspection.queries import catalogue_of
from vehicles.inspection.reading import Typed
from vehicles.intake.models import Intake

if TYPE_CHECKING:
    from collections.abc import Sequence
    from uuid import UUID

    from shared.accounts.models import User
    from vehicles.inspection.catalogue import Catalogue
    from vehicles.inspection.criteria import Criterion
    from vehicles.inspection.judge import Judgment
    from vehicles.inspection.points import Point
    from vehicles.inspection.reading import Missed

ENDED = "This stay has ended. Open a new intake to read the car again."
NAME_LENGTH = 120
LONGEST = 366 * 86_400  # seconds; a wait beyond a year is refused like one of a year
ROAD_TEST = "road-test"  # the caution of points that are read on the road


@transaction.atomic
def record_reading(*, intake: Intake, typed: Typed, by: User) -> Reading:
    """Judge and record one reading, replace the one before it, and open or withdraw its finding.

    Sent twice with one client key it is recorded once. What the local limits of that day say
    counts, and the reading keeps the shipped limit beside it. Three numbers across a tire bring the
    tread depth and the wear that they say, and the finding is at those.

    Raises:
        ValidationError: the stay has ended, no owner consented, this user may not read the point,
            it doesn't exist, the final sheet is not open, the value is not possible, it was read
            too long ago, or somebody else recorded the point since it was shown.
    """
    intake = _locked(intake)
    if typed.client_key:
        known = Reading.objects.filter(intake=intake, client_key=typed.client_key).first()
        if known:
            return _same(known, typed)
    today = intake.program.today()
    catalogue = catalogue_of(intake.program, today)
    _refuse_work(intake, _criterion(catalogue, typed), final=typed.final, by=by)
    day = _day(intake, typed, today)
    reading = _record(intake, typed, catalogue, day, by)
    for more in said_across(reading, catalogue):
        _record(intake, more, catalogue, day, by)
    return reading


def _day(intake: Intake, typed: Typed, today: dt.date) -> dt.date:
    """Return the day on which it was read, which is an earlier one when it waited offline."""
    read_at = timezone.now() - dt.timedelta(seconds=min(typed.seconds_ago, LONGEST))
    day = read_at.astimezone(intake.program.zone).date()
    try:
        return typing.day_read(day, today=today, arrived_on=intake.arrived_on)
    except ValueError as error:
        raise ValidationError({"value": str(error)}) from error


def _record(intake: Intake, typed: Typed, catalogue: Catalogue, day: dt.date, by: User) -> Reading:
    """Store what was typed as the catalogue judges it, with the finding that follows."""
    criterion = _criterion(catalogue, typed)
    judgment = _judgment(criterion, typed)
    _replace(intake, typed)
    reading = _reading(intake, typed, criterion, judgment, by)
    reading.catalogue_version, reading.read_on = catalogue.version, day
    reading.full_clean()
    reading.save()
    _lift(intake, typed)
    if not (criterion.detail_of and criterion.is_measured):
        follow(reading, criterion, judgment, by)
    log_event(intake, "A reading was recorded.", by=by, fields=[typed.criterion])
    return reading


@transaction.atomic
def record_good(
    *,
    intake: Intake,
    criterion: str,
    places: Sequence[str],
    final: bool,
    client_key: UUID,
    by: User,
) -> list[Point]:
    """Record `good` at each of these places of what is seen; one that is read stays as it is.

    Returns the places that somebody else read, or could not read, since they were shown.

    Raises:
        ValidationError: the criterion is measured, or a reading of it is refused; none is recorded.
    """
    intake = _locked(intake)
    section = sheet_of(intake, Depth.FINAL if final else Depth.FULL).section(criterion)
    if section is None or section.criterion.is_measured:
        raise ValidationError("Only what is seen is called good at several places at once.")
    stands = []
    for point in section.points:
        key = uuid5(client_key, point.position)
        if point.position not in places or (point.reading and point.reading.client_key == key):
            continue
        if point.reading or point.not_read:
            stands.append(point)
            continue
        typed = Typed(
            criterion=criterion,
            position=point.position,
            value=GOOD,
            final=final,
            seen_id=point.seen_id,
            client_key=key,
        )
        record_reading(intake=intake, typed=typed, by=by)
    return stands


@transaction.atomic
def record_not_read(*, intake: Intake, missed: Missed, by: User) -> NotRead:
    """Record why a point is not read. It stays unread, and a later reading lifts this.

    Raises:
        ValidationError: the stay has ended, the point doesn't exist, or no reason is given.
    """
    intake = _locked(intake)
    if missed.client_key:
        known = NotRead.objects.filter(intake=intake, client_key=missed.client_key).first()
        if known:
            return known
    if intake.left_on:
        raise ValidationError(ENDED)
    _criterion(catalogue_of(intake.program, intake.program.today()), missed)
    _lift(intake, missed)
    row = NotRead(
        program_id=intake.program_id,
        intake=intake,
        criterion=missed.criterion,
        position=missed.position,
        final=missed.final,
        because=missed.because.strip(),
        by=by,
        client_key=missed.client_key,
    )
    row.full_clean()
    row.save()
    log_event(intake, "A point could not be read.", by=by, fields=[missed.criterion])
    return row


def _locked(intake: Intake) -> Intake:
    rows = Intake.objects.select_for_update(of=("self",)).select_related("program", "vehicle")
    return rows.get(pk=intake.pk)


def _same(known: Reading, typed: Typed) -> Reading:
    """Return the reading that this key recorded already, unless the form says another now."""
    if (known.typed, known.position) == (typed.value.strip(), typed.position):
        return known
    raise ValidationError(
        {
            "value": f"This form was sent already: {known.sentence} "
            "Open the point again to change it."
        }
    )


def _refuse_work(intake: Intake, criterion: Criterion, *, final: bool, by: User) -> None:
    """Refuse a reading on which the owner, the rule on people or the sheet has a word."""
    if intake.left_on:
        raise ValidationError(ENDED)
    today = intake.program.today()
    cautions = [caution.code for caution in criterion.cautions]
    refuse_without(intake, Act.DIAGNOSE, today)
    if ROAD_TEST in cautions:
        refuse_without(intake, Act.ROAD_TEST, today)
    for act in acts_for_point(criterion.group, cautions):
        refuse_unless_may(by, act, today)
    opened = Inspection.objects.open().filter(intake=intake, depth=Depth.FINAL)
    if final and not opened.exists():
        raise ValidationError(
            "The final sheet is not open. Begin it, so that its odometer is known."
        )


def _criterion(catalogue: Catalogue, typed: Typed | Missed) -> Criterion:
    criterion = catalogue.criteria.get(typed.criterion)
    if criterion is None:
        raise ValidationError({"criterion": f"“{typed.criterion}” is not a point of the sheet."})
    if typed.position not in (criterion.positions or ("",)):
        places = ", ".join(criterion.positions) or "none"
        raise ValidationError(
            {"position": f"“{typed.position}” is no place of {criterion.title}. Places: {places}."}
        )
    if typed.final and Depth.FINAL not in criterion.depths:
        raise ValidationError({"criterion": f"“{criterion.title}” is not on the final sheet."})
    return criterion


def _judgment(criterion: Criterion, typed: Typed) -> Judgment:
    try:
        return judge(criterion, typed.value, typed.unit)
    except ValueError as error:
        raise ValidationError({"value": str(error)}) from error


def _replace(intake: Intake, typed: Typed) -> None:
    """Let the reading that stands go; refuse when it is not the one that was on screen."""
    readings = Reading.objects.current().filter(intake=intake, final=typed.final)
    before = readings.filter(criterion=typed.criterion, position=typed.position).first()
    if before is None:
        return
    if before.pk != typed.seen_id:
        raise ValidationError(
            {
                "value": f"{before.read_by} recorded meanwhile: {before.sentence} "
                "Nothing of yours is lost: look, then record again."
            }
        )
    before.replaced_at = timezone.now()
    before.save(update_fields=["replaced_at"])


def _lift(intake: Intake, point: Typed | Missed) -> None:
    """Take back that the point could not be read."""
    rows = NotRead.objects.filter(
        intake=intake,
        criterion=point.criterion,
        position=point.position,
        final=point.final,
        lifted_at__isnull=True,
    )
    rows.update(lifted_at=timezone.now())


def _reading(
    intake: Intake, typed: Typed, criterion: Criterion, judgment: Judgment, by: User
) -> Reading:
    return Reading(
        program_id=intake.program_id,
        intake=intake,
        criterion=criterion.code,
        position=typed.position,
        typed=typed.value.strip(),
        unit=_unit(criterion, typed),
        final=typed.final,
        limit=judgment.limit,
        shipped_limit=judgment.shipped_limit,
        limit_because=judgment.limit_because,
        read_by=_reader(by),
        recorded_by=by,
        client_key=typed.client_key,
        **judged_fields(criterion, judgment),
    )


def _unit(criterion: Criterion, typed: Typed) -> str:
    """Return the code of the unit that the number is in: one typed with it wins over the rest."""
    if not criterion.is_measured:
        return ""
    number, _ = typing.typed(criterion, typed.value, typed.unit)
    return number.unit


def _reader(by: User) -> str:
    """Return who reads, with the credential held that day."""
    person = Person.objects.filter(user=by).first()
    credential = person.credential if person else ""
    return (f"{by}, {credential}" if credential else str(by))[:NAME_LENGTH]
