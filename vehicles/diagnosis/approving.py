"""Concluding: a fault becomes a finding, with its evidence and what brought it about."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from django.core.exceptions import ValidationError
from django.db import transaction
from django.db.models import F
from django.utils import timezone

from shared.audit.actions import log_event
from shared.people.queries import signed_name
from vehicles.diagnosis.conclusions import Standing, proof_of
from vehicles.diagnosis.gathering import at_work, is_readable, session_of
from vehicles.diagnosis.kinds import Sureness
from vehicles.diagnosis.looking import Contradicted, looking
from vehicles.diagnosis.models import Conclusion, Diagnosis
from vehicles.diagnosis.wording import evidence_of
from vehicles.inspection.models import Finding
from vehicles.intake.actions import ask_for_ranks
from vehicles.intake.models import Intake

if TYPE_CHECKING:
    from shared.accounts.models import User
    from vehicles.diagnosis.fault_model import Fault
    from vehicles.diagnosis.looking import Looking
    from vehicles.diagnosis.values import Session

LONGEST_EVIDENCE = 300
CERTAIN = 1000


@dataclass(frozen=True, kw_only=True)
class Signed:
    """How sure a conclusion is: by the rule, or by a person with a reason; `p` as computed."""

    sureness: Sureness
    p: float
    because: str = ""


@transaction.atomic
def conclude_fault(*, diagnosis: Diagnosis, fault: str, by: User) -> Conclusion:
    """Sign for a fault that the rule confirms; it becomes a finding, linked to its root cause.

    Signed for twice, it stands once.

    Raises:
        ValidationError: the diagnosis or the stay has ended, there is no such fault, it is not
            confirmed by what was seen, or this user may not inspect.
    """
    row = at_work(diagnosis, by)
    session = session_of(row)
    one, found = _fault(session, fault), _looking(session)
    judged = next(each for each in found.conclusion.judged if each.fault.code == fault)
    if judged.standing is not Standing.CONFIRMED:
        raise ValidationError(
            f"{judged.sentence} Look further, or conclude it against that with a reason."
        )
    signed = Signed(sureness=Sureness.CONFIRMED, p=found.belief.present[fault])
    return _conclude(row, session, one, signed, by)


@transaction.atomic
def overrule(*, diagnosis: Diagnosis, fault: str, because: str, by: User) -> Conclusion:
    """Conclude a fault against what was computed, with the reason.

    Raises:
        ValidationError: the diagnosis or the stay has ended, there is no such fault, no reason is
            given, or this user may not inspect.
    """
    row = at_work(diagnosis, by)
    session = session_of(row)
    one = _fault(session, fault)
    if not because.strip():
        raise ValidationError({"because": "Say why you conclude otherwise."})
    found = looking(session)
    p = 0.0 if isinstance(found, Contradicted) else found.belief.present[fault]
    signed = Signed(sureness=Sureness.OVERRULED, p=p, because=because.strip())
    return _conclude(row, session, one, signed, by)


@transaction.atomic
def withdraw_conclusion(*, conclusion: Conclusion, because: str, by: User) -> Conclusion:
    """Take a conclusion back, and its finding with it; both stay on record.

    Raises:
        ValidationError: no reason is given, its finding is cleared by a repair already, or the
            diagnosis or the stay has ended.
    """
    locked = at_work(conclusion.diagnosis, by)
    # Repairs hold the stay while they clear its findings.
    Intake.objects.select_for_update().get(pk=locked.intake_id)
    row = (
        Conclusion.objects.select_for_update(of=("self",))
        .select_related("finding")
        .get(pk=conclusion.pk)
    )
    if row.withdrawn_at:
        return row
    if not because.strip():
        raise ValidationError({"because": "Say why the conclusion is taken back."})
    if row.finding.cleared_on:
        raise ValidationError("A repair has cleared this finding. It can’t be taken back now.")
    row.withdrawn_at, row.withdrawn_because = timezone.now(), because.strip()
    row.full_clean()
    row.save()
    row.brought_about.update(root=None)
    Finding.objects.filter(pk=row.finding_id).update(
        withdrawn_because=row.withdrawn_because, version=F("version") + 1
    )
    Finding.objects.filter(caused_by=row.finding_id).update(caused_by=None)
    if is_readable(row.diagnosis.model.text):  # another cause may stand behind the one taken back
        _link(row.diagnosis, session_of(row.diagnosis))
    log_event(row.diagnosis, "A conclusion was taken back.", by=by, reason=row.withdrawn_because)
    ask_for_ranks(row.diagnosis.intake)
    return row


def _fault(session: Session, fault: str) -> Fault:
    try:
        return session.model.fault(fault)
    except ValueError as error:
        raise ValidationError({"fault": str(error)}) from error


def _looking(session: Session) -> Looking:
    found = looking(session)
    if isinstance(found, Contradicted):
        raise ValidationError(str(found.sentence))
    return found


def _conclude(
    row: Diagnosis, session: Session, fault: Fault, signed: Signed, by: User
) -> Conclusion:
    standing = row.conclusions.filter(withdrawn_at__isnull=True)
    known = standing.filter(fault=fault.code).first()
    if known:
        return known
    evidence = evidence_of(session, fault.code)
    finding = _finding(row, session, fault, signed.because or evidence, by)
    conclusion = Conclusion(
        program_id=row.program_id,
        diagnosis=row,
        fault=fault.code,
        title=fault.title,
        operation=fault.operation,
        sureness=signed.sureness,
        permille=min(round(signed.p * CERTAIN), CERTAIN),
        evidence=evidence,
        because=signed.because,
        finding=finding,
        by=by,
    )
    conclusion.full_clean()
    conclusion.save()
    _link(row, session)
    log_event(row, "A fault was concluded.", by=by, reason=signed.because, fields=[fault.code])
    ask_for_ranks(row.intake)
    return conclusion


def _finding(row: Diagnosis, session: Session, fault: Fault, evidence: str, by: User) -> Finding:
    proof = proof_of(session.model, fault.code, session.observed)
    finding = Finding(
        program_id=row.program_id,
        intake=row.intake,
        title=fault.title,
        system=fault.system,
        deficiency=fault.deficiency,
        severity=fault.severity,
        never_release=fault.never_release,
        strands=fault.strands,
        sentence=f"Diagnosed: {fault.title}."[:LONGEST_EVIDENCE],
        source=f"diagnosis, fault model {session.model.version}",
        text_seen=bool(proof),
        evidence=evidence[:LONGEST_EVIDENCE],
        found_on=row.intake.program.today(),
        found_by=signed_name(by),
    )
    finding.full_clean()
    finding.save()
    return finding


def _link(row: Diagnosis, session: Session) -> None:
    """Link each concluded fault to a concluded one that brings it about, strongest first."""
    standing = {one.fault: one for one in row.conclusions.filter(withdrawn_at__isnull=True)}
    for code, conclusion in standing.items():
        causes = session.model.fault(code).caused_by
        ranked = sorted((one for one in causes if one in standing), key=lambda one: -causes[one])
        root = standing[ranked[0]] if ranked else None
        if root and conclusion.root_id != root.pk:
            conclusion.root = root
            conclusion.save(update_fields=["root"])
            Finding.objects.filter(pk=conclusion.finding_id).update(caused_by=root.finding_id)
