"""Recording what was read, with the finding that follows from it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone

from shared.audit.actions import log_event
from shared.people.models import Person
from vehicles.inspection import units
from vehicles.inspection.catalogue import load
from vehicles.inspection.judge import judge
from vehicles.inspection.judged import finding_title, judged_fields, makes_finding
from vehicles.inspection.models import Finding, Reading
from vehicles.intake.actions import ask_for_ranks
from vehicles.intake.models import Intake

if TYPE_CHECKING:
    from uuid import UUID

    from shared.accounts.models import User
    from vehicles.inspection.criteria import Criterion
    from vehicles.inspection.judge import Judgment

NAME_LENGTH = 120


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
    if before:
        before.replaced_at = timezone.now()
        before.save(update_fields=["replaced_at"])
    reading = _reading(intake, typed, criterion, judgment, by)
    finding = _finding_here(reading)
    if makes_finding(judgment):
        _open_finding(reading, criterion, judgment, finding)
    elif finding:
        _withdraw(finding, by=by)
    if finding or makes_finding(judgment):
        ask_for_ranks(intake)
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
                "value": f"{before.read_by} recorded meanwhile: {before.sentence} "
                "Nothing of yours is lost: look, then record again."
            }
        )
    return before


def _finding_here(reading: Reading) -> Finding | None:
    """Return the open finding of the same point, whichever reading it goes back to."""
    return (
        Finding.objects.open()
        .filter(
            intake_id=reading.intake_id,
            reading__criterion=reading.criterion,
            reading__position=reading.position,
        )
        .first()
    )


def _withdraw(finding: Finding, *, by: User) -> None:
    """Withdraw the finding, unless work hangs on it: then a person decides on that work first."""
    if finding.items.exists():
        return
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
        unit=_unit(criterion, typed),
        limit=judgment.limit,
        catalogue_version=load().version,
        read_on=by.program.today() if by.program else timezone.now().date(),
        read_by=_reader(by),
        recorded_by=by,
        client_key=typed.client_key,
        **judged_fields(criterion, judgment),
    )
    reading.full_clean()
    reading.save()
    return reading


def _unit(criterion: Criterion, typed: Typed) -> str:
    """Return the code of the unit that the number is in: one typed with it wins over the rest."""
    if not criterion.is_measured:
        return ""
    word = criterion.marked_limit
    value, _, marked = typed.value.lower().partition(word) if word else (typed.value, "", "")
    beside = units.parse(marked, typed.unit or criterion.unit).unit if word else typed.unit
    return units.parse(value, beside or criterion.unit).unit


def _reader(by: User) -> str:
    """Return who reads, with the credential held that day."""
    person = Person.objects.filter(user=by).first()
    credential = person.credential if person else ""
    return (f"{by}, {credential}" if credential else str(by))[:NAME_LENGTH]


def _open_finding(
    reading: Reading, criterion: Criterion, judgment: Judgment, finding: Finding | None
) -> None:
    """Open the finding, or carry the one of this point over to the new reading."""
    if finding is None:
        finding = Finding(program_id=reading.program_id, intake_id=reading.intake_id)
    else:
        finding.version += 1
    finding.reading = reading
    finding.title = finding_title(criterion, reading.position, judgment)
    finding.found_on, finding.found_by = reading.read_on, reading.read_by
    for name, value in judged_fields(criterion, judgment).items():
        setattr(finding, name, value)
    finding.full_clean()
    finding.save()
