"""Diagnoses that came to a conclusion and were repaired, as rows."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, Any

from django.utils import timezone

from shared.accounts.roles import RoleKind
from tests.factories import make_finding, make_intake, make_item, make_program, make_user
from tests.vehicles.diagnosis.rows import HOT
from vehicles.diagnosis.keeping import save_model
from vehicles.diagnosis.kinds import Ended, Sureness
from vehicles.models import Conclusion, Diagnosis, Held, KeptModel, Observation

if TYPE_CHECKING:
    from shared.models import Program, User
    from vehicles.models import Intake

LONG_AGO = 60  # days


def days_ago(days: int, program: Program | None = None) -> dt.date:
    """Return the day so many days before the program's today."""
    return (program or make_program()).today() - dt.timedelta(days=days)


def model_row(program: Program, by: User, text: str = HOT) -> KeptModel:
    """Return the program's own model of a hot engine, saved at its first use."""
    known = KeptModel.objects.in_use().filter(program=program, complaint="hot").first()
    return known or save_model(
        program=program, complaint="hot", text=text, because="Ours", seen_number=0, by=by
    )


def concluded(fault: str = "hose", stay: Intake | None = None, **fields: Any) -> Diagnosis:
    """Return an ended diagnosis of a hot engine that found one fault; nothing is repaired.

    `seen` are the checks and their outcomes, `permille` what was said of the fault, `begun` how
    many days ago it began, `text` the fault model.
    """
    stay = stay or make_intake(arrived_on=days_ago(70))
    by = fields.pop("by", None) or make_user(RoleKind.TECHNICIAN, program=stay.program)
    begun = timezone.now() - dt.timedelta(days=fields.pop("begun", 65))
    row = Diagnosis.objects.create(
        program=stay.program,
        intake=stay,
        complaint="hot",
        model=model_row(stay.program, by, fields.pop("text", HOT)),
        begun_by=by,
        begun_at=begun,
        ended_at=begun,
        ended_by=by,
        ended_how=Ended.CONCLUDED,
    )
    for check, outcome in fields.pop("seen", {}).items():
        Observation.objects.create(
            program=stay.program,
            diagnosis=row,
            check_code=check,
            outcome=outcome,
            by=by,
            seen_by=str(by),
        )
    Conclusion.objects.create(
        program=stay.program,
        diagnosis=row,
        fault=fault,
        title=fault.capitalize(),
        sureness=fields.pop("sureness", Sureness.CONFIRMED),
        permille=fields.pop("permille", 950),
        because="As seen",
        finding=make_finding(intake=stay, title=f"{fault} of {row.pk}"),
        by=by,
    )
    return row


def repaired(fault: str = "hose", days: int = LONG_AGO, **fields: Any) -> Diagnosis:
    """Return such a diagnosis whose conclusion was repaired so many days ago."""
    row = concluded(fault, **fields)
    day = days_ago(days, row.program)
    finding = row.conclusions.get().finding
    finding.cleared_on = day
    finding.save()
    title = f"Repair of {finding.pk}"
    make_item(intake=row.intake, findings=[finding], title=title, state="done", done_on=day)
    return row


def held(*causes: str, days: int = LONG_AGO, gone: bool = True, **fields: Any) -> Held:
    """Return what was said today of a repair that many days ago; it proved these causes."""
    row = repaired(fields.pop("fault", None) or next(iter(causes), "") or "hose", days, **fields)
    return Held.objects.create(
        program=row.program,
        diagnosis=row,
        repaired_on=days_ago(days, row.program),
        asked_on=row.program.today(),
        gone=gone,
        causes=list(causes),
        by=row.begun_by,
    )


def come_back(row: Diagnosis, days: int = 10) -> Intake:
    """Return the stay that began when the car came back with its old trouble."""
    stay = row.intake
    stay.left_on = days_ago(days + 5, row.program)
    stay.save()
    return make_intake(
        vehicle=stay.vehicle, previous=stay, arrived_on=days_ago(days, row.program), consents=()
    )
