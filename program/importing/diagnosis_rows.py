"""Rows of diagnoses become objects: what was seen, what was signed for, whether it held."""

from __future__ import annotations

import datetime as dt
from hashlib import sha256
from typing import TYPE_CHECKING, Any

from django.db.models import Max

from program.importing.batch import write
from program.importing.diagnosing import causes_of
from program.importing.work_rows import cleared_on
from vehicles.diagnosis.batch import learned
from vehicles.diagnosis.complaints import load, text_of
from vehicles.diagnosis.conclusions import proof_of
from vehicles.diagnosis.kinds import Origin, Source, Verified
from vehicles.diagnosis.models import Conclusion, Diagnosis, Held, KeptModel, Observation
from vehicles.diagnosis.wording import evidence_of
from vehicles.inspection.models import Finding

if TYPE_CHECKING:
    from program.importing.batch import Batch
    from program.importing.rows import Row
    from shared.accounts.models import User

LONGEST_EVIDENCE = 300
NAME_LENGTH = 120
#: A sheet has days and no clock: what is begun stands before what is seen, and that before the end.
BEFORE, AFTER, BETWEEN = dt.timedelta(hours=-3), dt.timedelta(hours=3), dt.timedelta(minutes=1)


def diagnoses(batch: Batch) -> None:
    """Write the diagnoses, each with the shipped text of its fault model."""
    rows = batch.rows("diagnoses")
    first = {row["complaint"]: row for row in reversed(rows)}
    kept = {
        complaint: _kept(batch, row, by)
        for complaint, row in first.items()
        if (by := batch.signer(row, "by"))
    }
    batch.make("diagnoses", [_diagnosis(batch, row, kept[row["complaint"]]) for row in rows])


def _kept(batch: Batch, row: Row, by: User) -> KeptModel:
    """Return the shipped text of a complaint as the program keeps it; also beside one of its own.

    The text that is in force may be another, but the sheets speak of the shipped one.
    """
    text, model = text_of(row["complaint"]), load()[row["complaint"]]
    digest = sha256(text.encode()).hexdigest()
    there = KeptModel.objects.filter(program=batch.program, complaint=model.code)
    known = there.filter(sha256=digest, origin=Origin.SHIPPED).first()
    if known:
        return known
    return KeptModel.objects.create(
        program=batch.program,
        complaint=model.code,
        number=(there.aggregate(last=Max("number"))["last"] or 0) + 1,
        version=model.version,
        title=model.title,
        text=text,
        sha256=digest,
        origin=Origin.SHIPPED,
        by=by,
        at=batch.moment(row["begun"]),
    )


def _diagnosis(batch: Batch, row: Row, kept: KeptModel) -> Diagnosis:
    ended = row["ended"]
    return Diagnosis(
        program=batch.program,
        intake=batch.stays[row["case"]],
        complaint=row["complaint"],
        model=kept,
        verified=row["verified"] or Verified.NOT_YET,
        verified_note=row["note"],
        begun_at=batch.moment(row["begun"]) + BEFORE,
        begun_by=batch.signer(row, "by"),
        ended_at=batch.moment(ended) + AFTER if ended else None,
        ended_by=(batch.signer(row, "ended_by") or batch.signer(row, "by")) if ended else None,
        ended_how=row["ended_how"],
        ended_because=row["ended_because"],
    )


def observations(batch: Batch) -> None:
    """Write what the checks showed; those of one day stay in the order of the sheet."""
    rows = batch.rows("observations")
    batch.make("observations", [_observation(batch, row, n) for n, row in enumerate(rows)])


def _observation(batch: Batch, row: Row, number: int) -> Observation:
    model = batch.checked.diagnosed[row["diagnosis"]].model
    usual = Source.ASKED if model.check(row["check"]).asked else Source.SEEN
    return Observation(
        program=batch.program,
        diagnosis=batch.named(row, "diagnosis", "diagnoses"),
        check_code=row["check"],
        outcome=row["outcome"],
        could_not=row["could_not"],
        note=row["note"],
        source=row["source"] or usual,
        by=batch.signer(row, "by"),
        seen_by=signed(batch, row),
        at=batch.moment(row["seen"]) + number % 60 * BETWEEN,
    )


def conclusions(batch: Batch) -> None:
    """Write the conclusions with their findings, and link each to what brought it about."""
    rows = batch.rows("conclusions")
    named = {row.ref: batch.finding(row["finding"]) if row["finding"] else None for row in rows}
    days = cleared_on(batch)
    found = {row.ref: named[row.ref] or _finding(batch, row, days.get(row.ref)) for row in rows}
    write([found[ref] for ref, one in named.items() if one is None])
    batch.findings |= {row.key: found[row.ref] for row in rows}
    batch.make("conclusions", [_conclusion(batch, row, found[row.ref]) for row in rows])
    _link(batch, rows)


def _conclusion(batch: Batch, row: Row, finding: Finding) -> Conclusion:
    diagnosed = batch.checked.diagnosed[row["diagnosis"]]
    fault = diagnosed.model.fault(row["fault"])
    return Conclusion(
        program=batch.program,
        diagnosis=batch.named(row, "diagnosis", "diagnoses"),
        fault=fault.code,
        title=fault.title,
        operation=fault.operation,
        sureness=row["sureness"],
        permille=diagnosed.permille(fault.code),
        evidence=evidence_of(diagnosed.session, fault.code),
        because=row["because"],
        finding=finding,
        by=batch.signer(row, "by"),
        at=batch.moment(row["signed"]) + AFTER - BETWEEN,
    )


def _finding(batch: Batch, row: Row, cleared_on: dt.date | None) -> Finding:
    """Return the finding that a conclusion is where the sheets have none for it."""
    diagnosed = batch.checked.diagnosed[row["diagnosis"]]
    model, fault = diagnosed.model, diagnosed.model.fault(row["fault"])
    evidence = row["because"] or evidence_of(diagnosed.session, fault.code)
    return Finding(
        program=batch.program,
        intake=batch.named(row, "diagnosis", "diagnoses").intake,
        title=fault.title,
        system=fault.system,
        deficiency=fault.deficiency,
        severity=fault.severity,
        never_release=fault.never_release,
        strands=fault.strands,
        sentence=f"Diagnosed: {fault.title}.",
        source=f"diagnosis, fault model {model.version}",
        text_seen=bool(proof_of(model, fault.code, diagnosed.session.observed)),
        evidence=evidence[:LONGEST_EVIDENCE],
        found_on=row["signed"],
        found_by=signed(batch, row),
        cleared_on=cleared_on,
    )


def _link(batch: Batch, rows: Any) -> None:
    """Link each concluded fault to a concluded one that brings it about, strongest first."""
    made = {(row["diagnosis"], row["fault"]): batch.objects[row.key] for row in rows}
    linked = []
    for (ref, fault), conclusion in made.items():
        causes = batch.checked.diagnosed[ref].model.fault(fault).caused_by
        ranked = sorted((one for one in causes if (ref, one) in made), key=lambda one: -causes[one])
        if ranked:
            conclusion.root = made[ref, ranked[0]]
            linked.append(conclusion)
    Conclusion.objects.bulk_update(linked, ["root"])
    open_ended = [
        one
        for one in linked
        if one.finding.caused_by is None and not _rests_on(one.root.finding, one.finding)
    ]
    for one in open_ended:
        one.finding.caused_by = one.root.finding
    Finding.objects.bulk_update([one.finding for one in open_ended], ["caused_by"])


def _rests_on(finding: Finding | None, other: Finding) -> bool:
    """Return whether the sheet says already that `other` brought `finding` about."""
    while finding and finding != other:
        finding = finding.caused_by
    return finding is not None


def held(batch: Batch) -> None:
    """Write which repairs held."""
    batch.make(
        "held",
        [
            Held(
                program=batch.program,
                diagnosis=batch.named(row, "diagnosis", "diagnoses"),
                repaired_on=row["repaired"],
                asked_on=row["asked"],
                gone=row["gone"],
                causes=causes_of(row),
                note=row["note"],
                by=batch.signer(row, "by"),
                at=batch.moment(row["asked"]),
            )
            for row in batch.rows("held")
        ],
    )


def experience(batch: Batch) -> None:
    """Let the diagnoses that go on start from what the repairs that held have taught by now."""
    going = [batch.objects[row.key] for row in batch.rows("diagnoses") if not row["ended"]]
    models = {row.ref: batch.checked.diagnosed[row.ref].model for row in batch.rows("diagnoses")}
    taught = {
        model.code: learned(batch.program, model)
        for model in {one.code: one for one in models.values()}.values()
        if any(row.complaint == model.code for row in going)
    }
    for row in going:
        row.experience, row.experience_cars = taught[row.complaint]
    Diagnosis.objects.bulk_update(going, ["experience", "experience_cars"])


def signed(batch: Batch, row: Row) -> str:
    """Return who did what a row says, with the credential that the sheets give."""
    person = batch.named(row, "by", "people")
    return (f"{person.name}, {person.credential}" if person.credential else person.name)[
        :NAME_LENGTH
    ]
