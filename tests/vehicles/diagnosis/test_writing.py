"""Issuing a case report: what goes in from the rows, its number, its bytes, what is refused."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest
from django.core.exceptions import ValidationError
from django.core.files.storage import storages

from shared.accounts.roles import RoleKind
from shared.documents.actions import issue
from shared.models import Event
from tests.factories import make_intake, make_user
from tests.vehicles.diagnosis.rows import make_diagnosis, see, technician
from tests.vehicles.inspection.reports import text_of
from tests.vehicles.intake.shots import kept
from vehicles.diagnosis.actions import begin_diagnosis, end_diagnosis, take_back
from vehicles.diagnosis.approving import conclude_fault, overrule, withdraw_conclusion
from vehicles.diagnosis.kinds import Ended, Sureness
from vehicles.diagnosis.pdf import case_paper
from vehicles.diagnosis.writing import MOST_SHOTS, case_of, issue_case, issued, next_number
from vehicles.intake.keeping import Subject

if TYPE_CHECKING:
    from shared.models import Document, User
    from vehicles.diagnosis.explain import Case
    from vehicles.models import Diagnosis

pytestmark = pytest.mark.django_db


def write(row: Diagnosis, by: User | None = None, number: str = "") -> Document:
    return issue_case(
        diagnosis=row,
        number=number or next_number(row),
        compose=lambda case: f"{case.record.number} {len(case.session.steps)}".encode(),
        by=by or row.begun_by,
    )


def told(row: Diagnosis) -> Case:
    return case_of(row, "D-1-1", row.begun_by)


def shot(row: Diagnosis, check: str, **fields: Any) -> Any:
    subject = Subject(about="diagnosis", key=f"{row.pk}/{check}")
    return kept(row.intake, technician(row.intake), subject=subject, **fields)


def a_hot_car() -> Diagnosis:
    """Return a diagnosis whose fan stood still and whose gasket leaks; both are signed for."""
    row = make_diagnosis()
    see(row, "when", "standing")
    see(row, "level", "normal")
    see(row, "fan-runs", "stands")
    see(row, "gas", "gas", note="yellow at once")
    for fault in ("fan", "gasket"):
        conclude_fault(diagnosis=row, fault=fault, by=row.begun_by)
    return row


def test_reports_are_numbered_by_diagnosis_and_kept_as_composed() -> None:
    row = make_diagnosis()
    other = begin_diagnosis(intake=make_intake(), complaint="hot", by=row.begun_by)
    first, second = write(row), write(row)
    assert (first.number, second.number) == (f"D-{row.pk}-1", f"D-{row.pk}-2")
    assert bytes(second.content) == f"{second.number} 0".encode()
    assert next_number(other) == f"D-{other.pk}-1"
    assert (first.holder_kind, first.holder_id) == ("diagnosis", row.pk)


def test_issuing_is_logged_without_what_stands_in_it() -> None:
    row = make_diagnosis()
    document = write(row)
    event = Event.objects.get(what="A case report was issued.")
    assert (event.by, event.fields) == (row.begun_by, [document.number])


def test_the_list_has_the_newest_first_and_no_other_papers() -> None:
    row = make_diagnosis()
    first, second = write(row), write(row)
    issue(holder=row.intake, number="N-1", title="Notice", content=b"", by=row.begun_by)
    write(begin_diagnosis(intake=make_intake(), complaint="hot", by=row.begun_by))
    assert list(issued(row)) == [second, first]


def test_the_same_number_is_issued_once_and_refused_from_another_person() -> None:
    row = make_diagnosis()
    known = write(row)
    assert write(row, number=known.number) == known
    with pytest.raises(ValidationError, match="Another report of this diagnosis was issued"):
        write(row, make_user(program=row.program), known.number)


@pytest.mark.parametrize("number", ["D-9-1", "D-1-99", "x" * 200])
def test_a_number_that_nobody_offered_is_refused(number: str) -> None:
    with pytest.raises(ValidationError, match="Another report of this diagnosis was issued"):
        write(make_diagnosis(), number=number)


def test_the_same_rows_give_the_same_bytes_at_the_same_moment() -> None:
    case = told(a_hot_car())
    assert case_paper(case) == case_paper(case)


def test_a_conclusion_comes_with_its_root_its_figure_and_who_signed() -> None:
    row = a_hot_car()
    fan, gasket = told(row).record.concluded
    assert (fan.title, fan.sureness, fan.root) == ("Fan stands still", Sureness.CONFIRMED, "")
    assert (gasket.title, gasket.root) == ("Head gasket leaks", "Fan stands still")
    assert gasket.by == row.conclusions.get(fault="gasket").finding.found_by
    assert gasket.evidence.startswith("Combustion gas in the coolant: turns yellow")


def test_a_person_against_the_figures_comes_with_the_reason() -> None:
    row = make_diagnosis()
    see(row, "fan-runs", "runs")
    overrule(diagnosis=row, fault="fan", because="Heard it drag.", by=row.begun_by)
    (one,) = told(row).record.concluded
    assert (one.sureness, one.because) == (Sureness.OVERRULED, "Heard it drag.")


def test_what_was_taken_back_stays_in_the_report() -> None:
    row = a_hot_car()
    take_back(observation=row.observations.get(check_code="level"), by=row.begun_by)
    fan = row.conclusions.get(fault="fan")
    withdraw_conclusion(conclusion=fan, because="It runs now.", by=row.begun_by)
    record = told(row).record
    assert [step.check for step, _ in record.observations_back] == ["level"]
    assert [one.withdrawn_because for one in record.conclusions_back] == ["It runs now."]
    assert [one.root for one in record.concluded] == [""]


def test_who_owns_drives_and_plates_the_car_is_not_in_it() -> None:
    stay = make_intake(driver="Dana Haskell")
    stay.vehicle.plate, stay.vehicle.plate_state = "7KJX219", "OR"
    stay.vehicle.save()
    row = make_diagnosis(stay)
    text = text_of(case_paper(told(row)))
    assert stay.vehicle.vin in text
    assert stay.complaint in text
    for private in ("Haskell", "Dana", "7KJX219"):
        assert private not in text


def test_the_odometer_is_the_last_one_read() -> None:
    row = make_diagnosis(make_intake(odometer_mi=148_190))
    assert dict(told(row).record.facts)["Odometer"] == "148,190 miles"
    row.intake.inspections.create(
        program=row.program,
        depth="full",
        hands=row.begun_by,
        begun_by=row.begun_by,
        odometer_mi=148_201,
    )
    assert dict(told(row).record.facts)["Odometer"] == "148,201 miles"


def test_an_odometer_that_nobody_read_and_a_vin_that_is_not_known_say_so() -> None:
    stay = make_intake(odometer_mi=None)
    stay.vehicle.vin = ""
    stay.vehicle.save()
    facts = dict(told(make_diagnosis(stay)).record.facts)
    assert (facts["Odometer"], facts["VIN"]) == ("not read", "not recorded")


def test_the_text_of_the_model_and_its_hash_are_those_that_were_kept() -> None:
    row = make_diagnosis()
    text = told(row).record.text
    assert (text.version, text.origin) == (row.model.version, "Our own")
    assert text.sha256 == row.model.sha256


def test_an_end_comes_with_how_and_why() -> None:
    row = make_diagnosis()
    assert told(row).record.ending is None
    end_diagnosis(diagnosis=row, how=Ended.DROPPED, because="Sold as it is.", by=row.begun_by)
    row.refresh_from_db()
    ending = told(row).record.ending
    assert ending
    assert (ending.how, ending.because, ending.by) == (
        "Dropped",
        "Sold as it is.",
        str(row.begun_by),
    )


def test_cautions_are_those_of_the_checks_that_were_done() -> None:
    row = make_diagnosis()
    assert told(row).record.cautions == ()
    see(row, "level", "normal")
    assert [one.code for one in told(row).record.cautions] == ["hot-fluids"]


def test_photos_stand_in_the_order_of_the_observations_and_are_counted() -> None:
    row = make_diagnosis()
    see(row, "level", "normal")
    see(row, "fan-runs", "stands")
    for tone in range(MOST_SHOTS):
        shot(row, "fan-runs", tone=tone)
    shot(row, "level", tone=200)
    record = told(row).record
    assert [one.title for one in record.shots][:2] == [
        "1. Coolant level, cold",
        "2. Fan with the engine hot",
    ]
    assert (len(record.shots), record.more_shots) == (MOST_SHOTS, 1)


def test_a_photo_whose_file_is_gone_is_counted_not_shown() -> None:
    row = make_diagnosis()
    see(row, "level", "normal")
    photo = shot(row, "level")
    storages["private"].delete(photo.name.replace(".jpg", "-thumb.jpg"))
    record = told(row).record
    assert (record.shots, record.more_shots) == ((), 1)


def test_the_report_says_who_made_it_with_the_credential() -> None:
    row = make_diagnosis()
    by = make_user(RoleKind.LEAD_TECHNICIAN, program=row.program)
    record = case_of(row, "D-1-1", by).record
    assert record.made_by == str(by)
    assert record.day == row.program.today()
