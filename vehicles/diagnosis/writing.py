"""Case reports of a diagnosis: put together from its rows, issued, and kept as handed out."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Final

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone

from shared.audit.actions import log_event
from shared.dates import full_date
from shared.documents.actions import issue
from shared.documents.models import Document
from shared.people.queries import signed_name
from vehicles.diagnosis.explain import explain
from vehicles.diagnosis.gathering import session_of
from vehicles.diagnosis.kinds import Sureness
from vehicles.diagnosis.known import Concluded, Ending, Record, Text
from vehicles.diagnosis.models import Diagnosis
from vehicles.diagnosis.values import Step
from vehicles.inspection.catalogue import cautions
from vehicles.inspection.values import Shot
from vehicles.intake.kinds import PhotoAbout
from vehicles.intake.queries import photos_of
from vehicles.intake.storing import open_photo

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Callable, Iterator

    from django.db.models import QuerySet

    from shared.accounts.models import User
    from vehicles.diagnosis.explain import Case
    from vehicles.diagnosis.models import Conclusion
    from vehicles.diagnosis.values import Session
    from vehicles.inspection.criteria import Caution

TITLE: Final = "Case report"
MOST_SHOTS: Final = 6


def issued(diagnosis: Diagnosis) -> QuerySet[Document]:
    """Return the case reports issued about a diagnosis, newest first, without their bytes."""
    rows = Document.objects.filter(
        program_id=diagnosis.program_id, holder_kind="diagnosis", holder_id=diagnosis.pk
    )
    return rows.defer("content").select_related("by").order_by("-issued_at", "-pk")


def next_number(diagnosis: Diagnosis) -> str:
    """Return the number that the next case report of a diagnosis gets."""
    return f"D-{diagnosis.pk}-{issued(diagnosis).count() + 1}"


@transaction.atomic
def issue_case(
    *, diagnosis: Diagnosis, number: str, compose: Callable[[Case], bytes], by: User
) -> Document:
    """Issue the case report of a diagnosis as it stands now, and keep its bytes.

    `number` is the one that the page offered: sent twice, the report is issued once. `compose` lays
    the case out, while nobody else changes what stands in it.

    Raises:
        ValidationError: somebody else has issued a report of this diagnosis since the page was
            shown.
    """
    rows = Diagnosis.objects.select_related(
        "intake__vehicle", "intake__program", "model", "program", "begun_by", "ended_by"
    )
    row = rows.select_for_update(of=("self",)).get(pk=diagnosis.pk)
    known = next((one for one in issued(row) if one.number == number), None)
    if known and known.by_id == by.pk:
        return known
    if known or number != next_number(row):
        raise ValidationError(
            "Another report of this diagnosis was issued meanwhile. Look at the list."
        )
    content = compose(case_of(row, number, by))
    document = issue(holder=row, number=number, title=TITLE, content=content, by=by)
    log_event(row, "A case report was issued.", by=by, fields=[number])
    return document


def case_of(row: Diagnosis, number: str, by: User) -> Case:
    """Return everything that the report of a diagnosis says, as it stands now.

    `row` comes with its stay, car, program, model and people.
    """
    found = session_of(row)
    steps = tuple(
        replace(step, at=timezone.localtime(step.at)) if step.at else step for step in found.steps
    )
    session = replace(found, steps=steps)
    return explain(_record(row, session, number, by), session)


def _record(row: Diagnosis, session: Session, number: str, by: User) -> Record:
    conclusions = list(row.conclusions.select_related("root", "by", "finding"))
    shots, more = _shots(row, session)
    return Record(
        garage=row.program.name,
        number=number,
        day=row.program.today(),
        made_by=signed_name(by),
        made_at=timezone.localtime(),
        car=str(row.intake.vehicle),
        facts=tuple(_facts(row)),
        complaint=row.intake.complaint,
        verified=row.get_verified_display(),
        verified_note=row.verified_note,
        begun_by=str(row.begun_by),
        begun_at=timezone.localtime(row.begun_at),
        ending=_ending(row),
        text=Text(
            title=row.model.title,
            version=row.model.version,
            origin=row.model.get_origin_display(),
            sha256=row.model.sha256,
        ),
        concluded=tuple(_concluded(one) for one in conclusions if not one.withdrawn_at),
        conclusions_back=tuple(_concluded(one) for one in conclusions if one.withdrawn_at),
        observations_back=tuple(_taken_back(row)),
        cautions=tuple(_cautions(session)),
        shots=shots,
        more_shots=more,
    )


def _facts(row: Diagnosis) -> Iterator[tuple[str, str]]:
    """Yield what tells the car from others; who owns or drives it is not needed here."""
    stay = row.intake
    car = stay.vehicle
    read = [
        one
        for one in stay.inspections.order_by("pk").values_list("odometer_mi", flat=True)
        if one is not None
    ]
    miles = read[-1] if read else stay.odometer_mi
    yield "Make, model, year", f"{car.make} {car.model}, {car.year}"
    yield "VIN", car.vin or "not recorded"
    yield "Odometer", "not read" if miles is None else f"{miles:,} miles"
    yield "Arrived", full_date(stay.arrived_on)
    yield "Stay ended", full_date(stay.left_on) if stay.left_on else "not yet"


def _ending(row: Diagnosis) -> Ending | None:
    if row.ended_at is None:
        return None
    return Ending(
        how=row.get_ended_how_display(),
        because=row.ended_because,
        by=str(row.ended_by),
        at=timezone.localtime(row.ended_at),
    )


def _concluded(row: Conclusion) -> Concluded:
    return Concluded(
        fault=row.fault,
        title=row.title,
        sureness=Sureness(row.sureness),
        p=row.permille / 1000,
        evidence=row.evidence,
        because=row.because,
        root=row.root.title if row.root else "",
        by=row.finding.found_by,
        at=timezone.localtime(row.at),
        withdrawn_because=row.withdrawn_because,
    )


def _taken_back(row: Diagnosis) -> Iterator[tuple[Step, dt.datetime]]:
    """Yield what was recorded and no longer counts, with when it stopped to."""
    for one in row.observations.filter(withdrawn_at__isnull=False).order_by("at", "pk"):
        step = Step(
            check=one.check_code,
            outcome=one.outcome,
            could_not=one.could_not,
            note=one.note,
            source=one.source,
            seen_by=one.seen_by,
            at=timezone.localtime(one.at),
        )
        yield step, timezone.localtime(one.withdrawn_at)


def _cautions(session: Session) -> Iterator[Caution]:
    """Yield the cautions of the checks that were done, once each."""
    codes = {code for step in session.steps for code in session.model.check(step.check).cautions}
    yield from (one for one in cautions().values() if one.code in codes)


def _shots(row: Diagnosis, session: Session) -> tuple[tuple[Shot, ...], int]:
    """Return the photos attached to checks in the order of the observations, and how many more."""
    photos = photos_of(row.intake, PhotoAbout.DIAGNOSIS)
    found = [
        (number, session.model.check(step.check).title, photo)
        for number, step in enumerate(session.steps, start=1)
        for photo in photos.get(f"{row.pk}/{step.check}", ())
    ]
    shots = []
    for number, title, photo in found[:MOST_SHOTS]:
        try:
            jpeg = open_photo(photo, thumb=True)
        except FileNotFoundError:
            continue
        shots.append(
            Shot(
                jpeg=jpeg,
                width=photo.width,
                height=photo.height,
                title=f"{number}. {title}",
                caption=photo.caption,
            )
        )
    return tuple(shots), len(found) - len(shots)
