"""Going through a diagnosis: each thing recorded once, in order, and refused where it must be."""

from __future__ import annotations

from typing import Any
from uuid import uuid4

import pytest
from django.core.exceptions import ValidationError

from shared.accounts.roles import RoleKind
from shared.models import Event
from tests.factories import TODAY, make_intake, make_user
from tests.vehicles.diagnosis.rows import HOT, make_diagnosis, see, technician
from vehicles.custody.acts import Act
from vehicles.diagnosis.actions import (
    begin_diagnosis,
    change_setup,
    end_diagnosis,
    record,
    take_back,
    verify_complaint,
)
from vehicles.diagnosis.gathering import session_of
from vehicles.diagnosis.keeping import save_model
from vehicles.diagnosis.kinds import Ended, Verified
from vehicles.diagnosis.values import Seen
from vehicles.models import Diagnosis, Intake, KeptModel, Observation

pytestmark = pytest.mark.django_db


def sentences(act: Any, **fields: Any) -> list[str]:
    """Return what is refused; nothing is recorded then."""
    before = (Observation.objects.count(), Diagnosis.objects.count())
    with pytest.raises(ValidationError) as refusal:
        act(**fields)
    assert (Observation.objects.count(), Diagnosis.objects.count()) == before
    return refusal.value.messages


def test_a_diagnosis_keeps_the_shipped_text_that_it_began_with() -> None:
    stay = make_intake()
    row = begin_diagnosis(intake=stay, complaint="overheats", by=technician(stay))
    assert (row.model.origin, row.model.in_use, row.model.complaint) == (
        "shipped",
        False,
        "overheats",
    )
    assert session_of(row).model.code == "overheats"


def test_two_diagnoses_with_one_shipped_text_share_its_row() -> None:
    for _ in range(2):
        stay = make_intake()
        begin_diagnosis(intake=stay, complaint="overheats", by=technician(stay))
    assert KeptModel.objects.count() == 1


def test_a_diagnosis_goes_on_with_its_own_text_when_the_model_changes() -> None:
    row = make_diagnosis()
    save_model(
        program=row.program,
        complaint="hot",
        text=HOT.replace("0.50, 0.50", "0.60, 0.40"),
        because="Better",
        seen_number=1,
        by=row.begun_by,
    )
    assert session_of(row).model.check("when").sound == (0.5, 0.5)


def test_begun_twice_with_one_key_it_is_begun_once() -> None:
    stay, key = make_intake(), uuid4()
    by = technician(stay)
    rows = [
        begin_diagnosis(intake=stay, complaint="overheats", client_key=key, by=by) for _ in "ab"
    ]
    assert rows[0] == rows[1]


@pytest.mark.parametrize(
    ("stay", "complaint", "said"),
    [
        ({}, "nonsense", ["No fault model “nonsense” is shipped."]),
        (
            {"left_on": TODAY},
            "overheats",
            ["This stay has ended. Open a new intake to diagnose the car again."],
        ),
    ],
)
def test_a_diagnosis_is_not_begun(stay: dict[str, Any], complaint: str, said: list[str]) -> None:
    intake = make_intake(**stay)
    by = technician(intake)
    assert sentences(begin_diagnosis, intake=intake, complaint=complaint, by=by) == said


def test_one_complaint_is_diagnosed_once_at_a_time() -> None:
    row = make_diagnosis()
    said = sentences(begin_diagnosis, intake=row.intake, complaint="hot", by=row.begun_by)
    assert said == ["This complaint is being diagnosed already."]


def test_nobody_diagnoses_without_the_owners_consent() -> None:
    intake = make_intake(consents=(Act.REPAIR,))
    by = technician(intake)
    said = sentences(begin_diagnosis, intake=intake, complaint="overheats", by=by)
    assert "diagnos" in " ".join(said).lower()


def test_who_may_not_inspect_does_not_diagnose() -> None:
    intake = make_intake()
    by = make_user(RoleKind.TECHNICIAN, program=intake.program, person=False)
    [said, *_] = sentences(begin_diagnosis, intake=intake, complaint="overheats", by=by)
    assert str(by) in said


def test_what_is_seen_stands_with_who_saw_it_and_sets_up_what_it_took() -> None:
    row = make_diagnosis()
    seen = see(row, "level", "normal", note=" half an inch under ")
    assert (seen.outcome, seen.note, seen.source) == ("normal", "half an inch under", "seen")
    assert seen.seen_by.startswith(str(row.begun_by))
    assert session_of(row).setups == {"cold"}
    assert session_of(row).observed == {"level": "normal"}


def test_what_the_household_says_is_told_apart() -> None:
    assert see(make_diagnosis(), "when", "standing").source == "asked"


def test_the_complaint_is_tried_before_the_shop_checks_anything() -> None:
    row = make_diagnosis(verified=None)
    see(row, "when", "standing")
    said = sentences(see, row=row, check="level", outcome="low")
    assert said == ["First say whether the complaint shows; then the checks count."]
    verify_complaint(diagnosis=row, verified=Verified.NOT_SHOWN, note="Cold day", by=row.begun_by)
    see(row, "level", "low")
    row.refresh_from_db()
    assert (row.verified, row.verified_note) == ("not_shown", "Cold day")


def test_danger_bars_a_check_unless_a_note_says_how_it_was_seen() -> None:
    row = make_diagnosis()
    see(row, "level", "low")
    said = sentences(see, row=row, check="fan-runs", outcome="stands")
    assert said == [
        ("Without coolant the engine is not run. If it was seen all the same, say how.")
    ]
    assert see(row, "fan-runs", "stands", note="Wired to the battery").outcome == "stands"


def test_a_check_waits_for_the_one_that_gives_it_its_meaning() -> None:
    row = make_diagnosis()
    [said] = sentences(see, row=row, check="gas", outcome="gas")
    assert said == (
        "First Coolant level, cold: The dye needs coolant. If it was seen all the same, say how."
    )
    see(row, "level", "normal")
    assert see(row, "gas", "none").outcome == "none"


def test_a_road_test_takes_its_own_consent() -> None:
    row = make_diagnosis(make_intake(consents=(Act.DIAGNOSE,)))
    [said] = sentences(see, row=row, check="road", outcome="hot")
    assert "road test" in said.lower()


@pytest.mark.parametrize(
    ("check", "outcome", "said"),
    [
        ("nonsense", "low", "“Runs hot” has no check “nonsense”."),
        ("level", "boiling", "“Coolant level, cold” can’t show “boiling”."),
        ("level", "", "Say what was seen, or why it could not be done."),
    ],
)
def test_what_no_check_can_show_is_refused(check: str, outcome: str, said: str) -> None:
    row = make_diagnosis()
    assert sentences(see, row=row, check=check, outcome=outcome) == [said]


def test_a_check_that_could_not_be_done_counts_for_nothing() -> None:
    row = make_diagnosis()
    see(row, "level", "", could_not="No light")
    session = session_of(row)
    assert session.observed == {}
    assert session.missed == {"level": "No light"}
    assert session.setups == frozenset()


def test_sent_twice_with_one_key_it_is_recorded_once() -> None:
    row, key = make_diagnosis(), uuid4()
    first = see(row, "level", "low", client_key=key)
    assert see(row, "level", "low", client_key=key) == first
    assert sentences(see, row=row, check="level", outcome="normal", client_key=key) == [
        "This form was sent already. Open the check again."
    ]


def test_an_answer_replaces_only_the_one_that_was_on_screen() -> None:
    row = make_diagnosis()
    first = see(row, "level", "low")
    [said] = sentences(see, row=row, check="level", outcome="normal")
    assert said.endswith(
        "recorded this check meanwhile. Nothing of yours is lost: look, then record again."
    )
    see(row, "level", "normal", seen_id=first.pk)
    first.refresh_from_db()
    assert first.withdrawn_at is not None
    assert session_of(row).observed == {"level": "normal"}


def test_what_is_taken_back_no_longer_counts_and_stays_on_record() -> None:
    row = make_diagnosis()
    seen = see(row, "level", "low")
    for _ in "ab":
        take_back(observation=seen, by=row.begun_by)
    assert session_of(row).observed == {}
    lines = [one.what for one in Event.objects.about("diagnosis", row.pk)]
    assert lines.count("An observation was taken back.") == 1


def test_what_is_set_up_is_made_and_ended() -> None:
    row = make_diagnosis()
    change_setup(diagnosis=row, code="warm", made=True, by=row.begun_by)
    change_setup(diagnosis=row, code="warm", made=True, by=row.begun_by)
    assert session_of(row).setups == {"warm"}
    change_setup(diagnosis=row, code="warm", made=False, by=row.begun_by)
    assert session_of(row).setups == set()
    said = sentences(change_setup, diagnosis=row, code="magic", made=True, by=row.begun_by)
    assert said == ["“magic” is nothing that a check asks for."]


@pytest.mark.parametrize(
    ("how", "because", "said"),
    [
        (
            Ended.CONCLUDED,
            "",
            "Nothing is concluded yet. Confirm a fault, or say how it ends.",
        ),
        (Ended.SPECIALIST, " ", "Say why it ends here."),
    ],
)
def test_a_diagnosis_does_not_end_so(how: Ended, because: str, said: str) -> None:
    row = make_diagnosis()
    fields = {"diagnosis": row, "how": how, "because": because, "by": row.begun_by}
    assert sentences(end_diagnosis, **fields) == [said]


def test_once_it_has_ended_nothing_more_is_recorded() -> None:
    row = make_diagnosis()
    for _ in "ab":
        end_diagnosis(diagnosis=row, how=Ended.DROPPED, because="Sold", by=row.begun_by)
    row.refresh_from_db()
    assert (row.ended_how, row.ended_because, row.ended_by) == ("dropped", "Sold", row.begun_by)
    said = sentences(
        record, diagnosis=row, seen=Seen(check="level", outcome="low"), by=row.begun_by
    )
    assert said == ["This diagnosis has ended. Begin a new one to look further."]


def test_a_diagnosis_can_be_ended_once_the_car_has_left() -> None:
    row = make_diagnosis()
    Intake.objects.filter(pk=row.intake_id).update(left_on=TODAY)
    end_diagnosis(diagnosis=row, how=Ended.DROPPED, because="The car left.", by=row.begun_by)
    row.refresh_from_db()
    assert row.ended_how == "dropped"
