"""The demonstration after some days more: what people did, so that each page has something."""

from __future__ import annotations

from uuid import uuid4

from django.core.files.uploadedfile import SimpleUploadedFile

from program.importing.actions import ask_import
from program.models import Case, Plan
from program.planning.actions import approve_plan
from program.planning.jobs import input_of
from program.status.actions import ask_question, give_page
from shared.models import User
from tests.factories import make_content, make_inspection, make_limit, make_reading, make_scan
from tests.journeys import decided, diagnosed, priced, town
from tests.vehicles.intake.shots import jpeg, sent
from vehicles.custody.kinds import ContentKind, Hold
from vehicles.inspection.computing import report_of
from vehicles.inspection.pdf import report_paper
from vehicles.inspection.values import Issue
from vehicles.inspection.writing import issue_report, next_number
from vehicles.intake.walk_round import MarkKind
from vehicles.intake.writing import Seen, place_mark
from vehicles.models import Intake, Standing

LATIN = b"ref,name\nh-1,\xff\n"
HALF_YES = b"ref,name,has_lift,closed\nb-1,Bay 1,yes,\n"


def live_in() -> None:
    """Let the week go on: a plan approved, a question, a refused import, mail and appeals."""
    imke = User.objects.get(username="imke")
    rosalind = User.objects.get(username="rosalind")
    plan = Plan.objects.get()
    approve_plan(plan=plan, now=input_of(plan), by=imke)
    case = Case.objects.get(number="26-041")
    give_page(case=case, by=imke)
    decided.decide(imke, rosalind)
    for stay in Intake.objects.open():
        _work_on(stay, rosalind)
        if diagnosed.may_be_diagnosed(stay):
            diagnosed.going_on(stay, rosalind)
        if stay.vehicle_id != case.vehicle_id:
            _hold(stay, rosalind)
    assert imke.program is not None
    diagnosed.teach(imke.program, rosalind)
    diagnosed.diagnose(Intake.objects.open().get(vehicle=case.vehicle), rosalind)
    priced.price(Intake.objects.open().get(vehicle=case.vehicle), rosalind)
    make_limit(by=rosalind, program=imke.program)
    ask_question(case=case, text="May I fetch it after 17:00?", client_key=uuid4())
    for content in (LATIN, HALF_YES):
        sheet = SimpleUploadedFile("bays.csv", content)
        ask_import(sheets=[sheet], client_key=uuid4(), by=imke)
    town.work()


def _work_on(stay: Intake, by: User) -> None:
    """Photograph a car, mark a dent, read its codes and a point, and issue a report."""
    sent(stay, by, jpeg())
    dent = Seen(kind=MarkKind.DENT, area=0)
    place_mark(intake=stay, seen=dent, client_key=uuid4(), by=by)
    make_scan(stay, "P0301 P1345", by=by)
    if not stay.inspections.filter(ended_at=None).exists():
        make_inspection(stay, user=by)
    if not stay.readings.filter(criterion="wiring").exists():
        make_reading(intake=stay, criterion="wiring", position="")
    issue_report(
        intake=stay,
        kind=Issue.ENGLISH,
        number=next_number(stay),
        compose=lambda stay, number: report_paper(report_of(stay, number), Issue.ENGLISH),
        by=by,
    )


def _hold(stay: Intake, by: User) -> None:
    """Let somebody have to decide of the car: an authority holds it, and a weapon lies in it."""
    Standing.objects.filter(intake=stay).update(hold=Hold.IMPOUND)
    make_content(stay, kind=ContentKind.WEAPON, what="Hunting knife", by=by)
