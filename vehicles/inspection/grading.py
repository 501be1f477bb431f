"""Findings as they follow from readings, and classes that people set against the catalogue.

Up at once with a reason, down by two people.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone

from shared.audit.actions import log_event
from shared.people.may import INSPECT, SIGN_OFF
from shared.people.queries import refuse_unless_may
from vehicles.inspection.criteria import DeficiencyClass
from vehicles.inspection.judged import finding_title, judged_fields, makes_finding
from vehicles.inspection.models import Finding, Reading, Regrade
from vehicles.intake.actions import ask_for_ranks
from vehicles.intake.models import Intake

if TYPE_CHECKING:
    from shared.accounts.models import User
    from vehicles.inspection.criteria import Criterion
    from vehicles.inspection.judge import Judgment

_FINDING_FIELDS = (
    *("system", "deficiency", "severity", "never_release", "strands", "us_reject"),
    *("reason_key", "sentence", "source", "text_seen"),
)


@transaction.atomic
def regrade(
    *, reading: Reading, becomes: DeficiencyClass, because: str, title: str, by: User
) -> Regrade:
    """Set the class of what was read: worse at once, better once a second person agrees.

    `title` names the finding where the catalogue saw none. The severity stays.

    Raises:
        ValidationError: the reading no longer stands, its finding is put right, the class is the
            same, a change waits already, no reason is given, or this user may not inspect.
    """
    intake = Intake.objects.select_for_update().select_related("program").get(pk=reading.intake_id)
    reading = Reading.objects.get(pk=reading.pk)
    refuse_unless_may(by, INSPECT, intake.program.today())
    finding = _gradable(intake, reading, title)
    was = DeficiencyClass(finding.deficiency)
    if becomes is was:
        raise ValidationError({"becomes": f"The class is {was.value} already."})
    raised = becomes.worse_than(was)
    if finding._state.adding:
        finding.full_clean()
        finding.save()
    row = Regrade(
        program_id=reading.program_id,
        finding=finding,
        reading=reading,
        was=was,
        becomes=becomes,
        because=because.strip(),
        by=by,
        waits=not raised,
    )
    row.full_clean()
    row.save()
    what = "The class was raised." if raised else "A lower class was proposed."
    log_event(finding, what, by=by, reason=row.because, fields=["deficiency"])
    if raised:
        _apply(row, intake)
    return row


def _gradable(intake: Intake, reading: Reading, title: str) -> Finding:
    """Return the finding whose class is set, a new one where the catalogue saw none."""
    if intake.left_on or reading.replaced_at:
        raise ValidationError("This reading no longer stands. Look at the one that does.")
    finding = Finding.objects.filter(reading=reading).first() or _new(reading, title)
    if finding.cleared_on:
        raise ValidationError(f"This finding was put right on {finding.cleared_on}.")
    return finding


def _new(reading: Reading, title: str) -> Finding:
    """Return the finding of a reading in which the catalogue saw nothing wrong, not yet saved."""
    return Finding(
        program_id=reading.program_id,
        intake_id=reading.intake_id,
        reading=reading,
        title=title,
        found_on=reading.read_on,
        found_by=reading.read_by,
        **{name: getattr(reading, name) for name in _FINDING_FIELDS},
    )


def _apply(row: Regrade, intake: Intake) -> None:
    """Give the finding its class; one without any is withdrawn, unless work hangs on it."""
    finding: Finding = row.finding  # type: ignore[assignment]  # it is always written
    finding.deficiency = row.becomes
    none = row.becomes == DeficiencyClass.NONE
    if none and not finding.strands and not finding.items.exists():
        finding.withdrawn_because = f"Lowered to none: {row.because}"[:200]
    elif not none:
        finding.withdrawn_because = ""
    finding.version += 1
    finding.save(update_fields=["deficiency", "withdrawn_because", "version"])
    ask_for_ranks(intake)


@transaction.atomic
def answer(*, regrade: Regrade, agree: bool, because: str, by: User) -> Regrade:
    """Lower the class as proposed, or leave it with a reason, as the second person.

    Raises:
        ValidationError: it no longer waits, this is the person who proposed it, this user may not
            sign off, or a refusal has no reason.
    """
    row, intake = _waiting(regrade, by)
    if not agree and not because.strip():
        raise ValidationError({"because": "Say why the class stays."})
    row.waits, row.second, row.second_at = False, by, timezone.now()
    row.refused_because = "" if agree else because.strip()
    row.full_clean()
    row.save(update_fields=["waits", "second", "second_at", "refused_because"])
    finding: Finding = row.finding  # type: ignore[assignment]  # it is always written
    if agree:
        what, reason = "The class was lowered by a second person.", row.because
        _apply(row, intake)
    else:
        what, reason = "A lower class was refused.", row.refused_because
    log_event(finding, what, by=by, reason=reason, fields=["deficiency"] if agree else [])
    return row


def _waiting(regrade: Regrade, by: User) -> tuple[Regrade, Intake]:
    """Return the change that still waits, and its stay, both locked, once this user may answer."""
    found = Regrade.objects.select_related("finding").get(pk=regrade.pk)
    finding: Finding = found.finding  # type: ignore[assignment]  # it is always written
    stays = Intake.objects.select_for_update().select_related("program")
    intake = stays.get(pk=finding.intake_id)
    row = (
        Regrade.objects.select_for_update(of=("self",))
        .select_related("finding", "by")
        .get(pk=regrade.pk)
    )
    if not row.waits:
        raise ValidationError("This change was answered already, or the point was read again.")
    if row.by_id == by.pk:
        raise ValidationError(f"The second person has to be somebody other than {row.by}.")
    refuse_unless_may(by, SIGN_OFF, intake.program.today())
    return row, intake


def settle_on_new_reading(finding: Finding, judged: DeficiencyClass) -> DeficiencyClass:
    """Return the class of a finding whose point was read again, and close what waited.

    A class that somebody raised stays raised: it comes down only by two people.
    """
    rows = list(finding.regrades.order_by("pk"))
    for row in rows:
        if row.waits:
            row.waits, row.refused_because = False, "The point was read again."
            row.save(update_fields=["waits", "refused_because"])
    applied = [row for row in rows if not row.waits and not row.refused_because]
    raised = [DeficiencyClass(row.becomes) for row in applied[-1:]]
    return max([judged, *raised], key=lambda one: one.rank)


def follow(reading: Reading, criterion: Criterion, judgment: Judgment, by: User) -> None:
    """Open the finding of a reading, carry over the one of its point, or withdraw that one."""
    finding = (
        Finding.objects.open()
        .filter(
            intake_id=reading.intake_id,
            reading__criterion=reading.criterion,
            reading__position=reading.position,
        )
        .first()
    )
    if makes_finding(judgment):
        _open_finding(reading, criterion, judgment, finding)
    elif finding:
        settle_on_new_reading(finding, DeficiencyClass.NONE)
        _withdraw(finding, by=by)
    if finding or makes_finding(judgment):
        ask_for_ranks(reading.intake)


def _withdraw(finding: Finding, *, by: User) -> None:
    """Withdraw the finding, unless work hangs on it: then a person decides on that work first."""
    if finding.items.exists():
        return
    finding.withdrawn_because = "The point was read again."
    finding.version += 1
    finding.save(update_fields=["withdrawn_because", "version"])
    log_event(finding, "The finding was withdrawn.", by=by, reason="read again")


def _open_finding(
    reading: Reading, criterion: Criterion, judgment: Judgment, finding: Finding | None
) -> None:
    """Open the finding, or carry the one of this point over to the new reading."""
    fields = judged_fields(criterion, judgment)
    if finding is None:
        finding = Finding(program_id=reading.program_id, intake_id=reading.intake_id)
    else:
        finding.version += 1
        fields["deficiency"] = settle_on_new_reading(finding, judgment.deficiency).value
    finding.reading = reading
    finding.title = finding_title(criterion, reading.position, judgment)
    finding.found_on, finding.found_by = reading.read_on, reading.read_by
    for name, value in fields.items():
        setattr(finding, name, value)
    finding.full_clean()
    finding.save()
