"""Recording what was read, with the finding that follows from it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone

from shared.audit.actions import log_event
from vehicles.inspection.catalogue import load
from vehicles.inspection.judge import judge
from vehicles.inspection.judged import finding_title, judged_fields, makes_finding
from vehicles.inspection.models import Finding, Reading
from vehicles.intake.models import Intake

if TYPE_CHECKING:
    from uuid import UUID

    from shared.accounts.models import User
    from vehicles.inspection.criteria import Criterion
    from vehicles.inspection.judge import Judgment


@dataclass(frozen=True, kw_only=True)
class Typed:
    """What a technician typed for one point; `seen_id` is the reading shown there on screen."""

    criterion: str
    position: str = ""
    value: str
    unit: str = ""
    seen_id: int | None = None
    client_key: UUID | None = None


@transaction.atomic
def record_reading(*, intake: Intake, typed: Typed, by: User) -> Reading:
    """Judge and record one reading, replace the one before it, and open or withdraw its finding.

    Sent twice with one client key it is recorded once.

    Raises:
        ValidationError: the stay has ended, the point doesn't exist, the value is not possible, or
            somebody else recorded the point since it was shown.
    """
    intake = Intake.objects.select_for_update().get(pk=intake.pk)
    if typed.client_key:
        known = Reading.objects.filter(intake=intake, client_key=typed.client_key).first()
        if known:
            return known
    if intake.left_on:
        raise ValidationError("This stay has ended. Open a new intake to read the car again.")
    criterion = _criterion(typed)
    judgment = _judgment(criterion, typed)
    before = _stands(intake, typed)
    _replace(before, by=by)
    reading = _reading(intake, typed, criterion, judgment, by)
    if makes_finding(judgment):
        _open_finding(reading, criterion, judgment, before)
    log_event(intake, "A reading was recorded.", by=by, fields=[typed.criterion])
    return reading


def _criterion(typed: Typed) -> Criterion:
    criterion = load().criteria.get(typed.criterion)
    if criterion is None:
        raise ValidationError({"criterion": f"“{typed.criterion}” is not a point of the sheet."})
    if typed.position not in (criterion.positions or ("",)):
        places = ", ".join(criterion.positions) or "none"
        raise ValidationError(
            {"position": f"“{typed.position}” is no place of {criterion.title}. Places: {places}."}
        )
    return criterion


def _judgment(criterion: Criterion, typed: Typed) -> Judgment:
    try:
        return judge(criterion, typed.value, typed.unit)
    except ValueError as error:
        raise ValidationError({"value": str(error)}) from error


def _stands(intake: Intake, typed: Typed) -> Reading | None:
    """Return the reading that stands now; refuse when it is not the one that was on screen."""
    readings = Reading.objects.current().filter(intake=intake)
    before = readings.filter(criterion=typed.criterion, position=typed.position).first()
    if before and before.pk != typed.seen_id:
        raise ValidationError(
            {
                "value": f"{before.read_by} recorded {before.typed} {before.unit}".rstrip()
                + " here meanwhile. Nothing of yours is lost: look, then record again."
            }
        )
    return before


def _replace(before: Reading | None, *, by: User) -> None:
    """End the reading that stood, and withdraw its finding unless work hangs on it."""
    if before is None:
        return
    before.replaced_at = timezone.now()
    before.save(update_fields=["replaced_at"])
    finding = Finding.objects.open().filter(reading=before, items__isnull=True).first()
    if finding:
        finding.withdrawn_because = "The point was read again."
        finding.version += 1
        finding.save(update_fields=["withdrawn_because", "version"])
        log_event(finding, "The finding was withdrawn.", by=by, reason="read again")


def _reading(
    intake: Intake, typed: Typed, criterion: Criterion, judgment: Judgment, by: User
) -> Reading:
    reading = Reading(
        program_id=intake.program_id,
        intake=intake,
        criterion=criterion.code,
        position=typed.position,
        typed=typed.value.strip(),
        unit=typed.unit or criterion.unit,
        limit=judgment.limit,
        catalogue_version=load().version,
        read_on=by.program.today() if by.program else timezone.now().date(),
        read_by=str(by),
        recorded_by=by,
        client_key=typed.client_key,
        **judged_fields(criterion, judgment),
    )
    reading.full_clean()
    reading.save()
    return reading


def _open_finding(
    reading: Reading, criterion: Criterion, judgment: Judgment, before: Reading | None
) -> None:
    """Open the finding; one on which work hangs already is carried over to the new reading."""
    finding = Finding.objects.open().filter(reading=before).first() if before else None
    finding = finding or Finding(program_id=reading.program_id, intake_id=reading.intake_id)
    finding.reading = reading
    finding.title = finding_title(criterion, reading.position, judgment)
    finding.found_on, finding.found_by = reading.read_on, reading.read_by
    for name, value in judged_fields(criterion, judgment).items():
        setattr(finding, name, value)
    finding.full_clean()
    finding.save()
