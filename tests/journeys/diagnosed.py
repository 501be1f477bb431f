"""Diagnoses of the demonstration's cars, one of each kind that a page has to show."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shared.problems import blockers
from tests.factories import make_intake, make_scan
from tests.vehicles.diagnosis.cars import days_ago, held, repaired
from tests.vehicles.diagnosis.rows import HOT, see
from tests.vehicles.intake.shots import jpeg, sent
from vehicles.custody.acts import Act
from vehicles.custody.queries import authority
from vehicles.diagnosis.actions import begin_diagnosis, end_diagnosis, verify_complaint
from vehicles.diagnosis.approving import conclude_fault, overrule, withdraw_conclusion
from vehicles.diagnosis.complaints import text_of
from vehicles.diagnosis.computing import photo_key
from vehicles.diagnosis.keeping import save_model
from vehicles.diagnosis.kinds import Ended, Verified
from vehicles.diagnosis.pdf import case_paper
from vehicles.diagnosis.writing import issue_case, next_number
from vehicles.intake.keeping import Subject
from vehicles.models import Intake

if TYPE_CHECKING:
    from shared.models import Program, User
    from vehicles.models import Diagnosis

#: The same model a version later: sound cars never run low, nor does their fan stand still.
SURE = (
    HOT.replace('version = "1"', 'version = "2"')
    .replace("[0.95, 0.05]", "[1.0, 0.0]")
    .replace("[0.99, 0.01]", "[1.0, 0.0]")
)
#: What a car shows whose fan is dead.
DEAD_FAN = {
    "when": "standing",
    "coolant-level": "normal",
    "filled": "stays",
    "fan-runs": "stands",
    "fan-direct": "dead",
}


def diagnose(stay: Intake, by: User) -> None:
    """Diagnose more complaints of one car, each as far as another."""
    with_codes(stay, by)
    contradicted(stay, by)
    concluded(stay, by)
    ended(stay, by)


def teach(program: Program, by: User) -> None:
    """Let cars teach the program's own model, and one that is gone wait to be asked after."""
    gone = {
        "program": program,
        "arrived_on": days_ago(70, program),
        "left_on": days_ago(5, program),
    }
    for stay in Intake.objects.open().filter(program=program):
        held("hose", stay=stay, by=by)
    held("fan", stay=make_intake(**gone), gone=False, by=by)
    repaired("fan", stay=make_intake(**gone), by=by)
    own = {"hot": (SURE, 1), "wheel-noise": (text_of("wheel-noise") + "# Ours.\n", 0)}
    for complaint, (text, number) in own.items():
        save_model(
            program=program,
            complaint=complaint,
            text=text,
            because="Seen here",
            seen_number=number,
            by=by,
        )


def may_be_diagnosed(stay: Intake) -> bool:
    """Return whether somebody consented and nothing stands against it."""
    acts = authority(stay, stay.program.today())
    return not blockers(next(one for one in acts if one.act == Act.DIAGNOSE).problems)


def begun(stay: Intake, complaint: str, by: User, verified: Verified | None) -> Diagnosis:
    """Return a diagnosis whose complaint was tried, or not yet for None."""
    row = begin_diagnosis(intake=stay, complaint=complaint, by=by)
    if verified:
        row = verify_complaint(diagnosis=row, verified=verified, note="Idling, hood open", by=by)
    return row


def going_on(stay: Intake, by: User) -> None:
    """Look for what makes the brakes noisy: asked, seen, photographed, not done, concluded."""
    row = begun(stay, "brake-noise", by, Verified.SHOWN)
    see(row, "kind", "grind", by=by)
    see(row, "fluid", "low", by=by, note="A finger under the mark")
    see(row, "road-test", "", by=by, could_not="Not safe to do now")
    overrule(diagnosis=row, fault="caliper", because="It weeps", by=by)
    about = Subject(about="diagnosis", key=photo_key(row, "fluid"))
    sent(stay, by, jpeg(90), subject=about)


def with_codes(stay: Intake, by: User) -> None:
    """Begin on a misfire that a code speaks to; the complaint is not tried yet."""
    make_scan(stay, "P0302", by=by)
    begun(stay, "misfire", by, None)


def contradicted(stay: Intake, by: User) -> None:
    """Record two things by the program's own model that no single root cause explains."""
    row = begun(stay, "hot", by, Verified.SHOWN)
    see(row, "level", "low", by=by)
    see(row, "fan-runs", "stands", by=by, note="Fed from a battery")


def concluded(stay: Intake, by: User) -> None:
    """Conclude a fault and what brought it about, take a third back, and report it all."""
    row = begun(stay, "overheats", by, Verified.SHOWN)
    for check, outcome in DEAD_FAN.items():
        see(row, check, outcome, by=by)
    conclude_fault(diagnosis=row, fault="fan", by=by)
    overrule(diagnosis=row, fault="head-gasket", because="White smoke, sweet smell", by=by)
    other = overrule(diagnosis=row, fault="hose", because="It drips", by=by)
    withdraw_conclusion(conclusion=other, because="It was rain", by=by)
    issue_case(diagnosis=row, number=next_number(row), compose=case_paper, by=by)


def ended(stay: Intake, by: User) -> None:
    """End a diagnosis whose complaint could not be shown."""
    row = begun(stay, "vibration", by, Verified.NOT_SHOWN)
    end_diagnosis(diagnosis=row, how=Ended.NOT_SHOWN, because="Driven twice, smooth", by=by)
