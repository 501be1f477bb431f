"""Which cars teach, and what a diagnosis that begins learns from them."""

from __future__ import annotations

from typing import Any

import pytest

from shared.models import Policy
from tests.factories import make_intake, make_program, make_vehicle
from tests.vehicles.diagnosis.cars import come_back, concluded, days_ago, held, repaired
from vehicles.diagnosis.actions import begin_diagnosis
from vehicles.diagnosis.batch import (
    Signed,
    Stage,
    cars_by_complaint,
    cars_of,
    learned,
    repaired_on,
    signed,
    stories,
)
from vehicles.diagnosis.gathering import model_of, session_of
from vehicles.diagnosis.kinds import Sureness
from vehicles.diagnosis.learning import Car
from vehicles.models import Diagnosis, Intake, Observation

pytestmark = pytest.mark.django_db


def set_policy(name: str, value: int) -> None:
    Policy.objects.create(
        program=make_program(), name=name, value=value, since_on=days_ago(1), reason="As voted"
    )


def learned_now(row: Diagnosis) -> tuple[dict[str, Any], int]:
    return learned(row.program, model_of(row.model.text))


def stage_of(row: Diagnosis) -> Stage:
    return stories(Diagnosis.objects.filter(pk=row.pk), row.program)[0].stage


def test_a_repair_that_held_teaches_its_causes_and_what_was_seen() -> None:
    said = held("fan", seen={"when": "standing", "fan-runs": "stands"})
    assert cars_of(said.program, "hot") == (
        Car(
            pk=said.diagnosis_id,
            causes=frozenset({"fan"}),
            seen=(("fan-runs", "stands"), ("when", "standing")),
        ),
    )


def test_an_observation_taken_back_or_not_done_teaches_nothing() -> None:
    said = held("fan", seen={"when": "standing"})
    row = said.diagnosis
    row.observations.update(withdrawn_at=row.begun_at)
    Observation.objects.create(
        program=row.program, diagnosis=row, check_code="gas", could_not="No dye", by=said.by
    )
    assert cars_of(row.program, "hot")[0].seen == ()


def test_a_conclusion_by_itself_teaches_nothing() -> None:
    row = repaired("fan")
    assert cars_of(row.program, "hot") == ()
    assert learned_now(row) == ({}, 0)


def test_a_repair_that_did_not_hold_teaches_nothing() -> None:
    said = held(fault="fan", gone=False)
    assert cars_of(said.program, "hot") == ()


def test_what_was_said_too_early_teaches_nothing() -> None:
    said = held("fan", days=29)
    assert cars_of(said.program, "hot") == ()


def test_what_was_taken_back_teaches_nothing() -> None:
    said = held("fan")
    said.withdrawn_at = said.at
    said.save()
    assert cars_of(said.program, "hot") == ()


def test_a_car_that_comes_back_with_it_later_teaches_no_more() -> None:
    said = held("fan")
    come_back(said.diagnosis)
    assert cars_of(said.program, "hot") == ()
    assert stage_of(said.diagnosis) is Stage.NOT_HELD


def test_a_car_that_comes_back_with_something_else_still_teaches() -> None:
    said = held("fan")
    other = concluded("hose", come_back(said.diagnosis), begun=5)
    Diagnosis.objects.filter(pk=other.pk).update(complaint="charging")
    assert len(cars_of(said.program, "hot")) == 1
    assert stage_of(said.diagnosis) is Stage.HELD


def test_a_new_stay_that_is_no_comeback_leaves_the_repair_held() -> None:
    said = held("fan")
    stay = said.diagnosis.intake
    Intake.objects.filter(pk=stay.pk).update(left_on=days_ago(20))
    make_intake(vehicle=stay.vehicle, arrived_on=days_ago(5), consents=())
    assert len(cars_of(said.program, "hot")) == 1


def test_of_two_diagnoses_of_one_stay_the_later_teaches() -> None:
    first = held("hose")
    later = held("fan", stay=first.diagnosis.intake, begun=50, days=40)
    assert [car.pk for car in cars_of(first.program, "hot")] == [later.diagnosis_id]


def test_cars_of_another_program_teach_nothing_here() -> None:
    there = make_program(name="Elsewhere")
    car = make_vehicle(program=there)
    held("fan", stay=make_intake(vehicle=car, arrived_on=days_ago(70)))
    assert cars_by_complaint(make_program(name="Third")) == {}
    assert list(cars_by_complaint(there)) == ["hot"]


def test_a_diagnosis_that_begins_keeps_what_was_learned_by_then() -> None:
    said = held("fan", seen={"fan-runs": "stands"})
    stay = make_intake(vehicle=make_vehicle())
    row = begin_diagnosis(intake=stay, complaint="hot", by=said.by)
    row.refresh_from_db()
    weights = {"fan": 51 / 101, "hose": 40 / 101, "gasket": 5 / 101, "": 5 / 101}
    assert row.experience["weights"] == pytest.approx(weights)
    assert row.experience_cars == 1
    session = session_of(row)
    assert session.model.fault("fan").weight == pytest.approx(51 / 101)
    assert session.model.check("fan-runs").given["fan"] == pytest.approx((2 / 101, 99 / 101))
    assert session.shipped["fan"] == pytest.approx(0.5)
    held("hose")
    row.refresh_from_db()
    assert session_of(row).model == session.model


def test_the_board_sets_what_the_shipped_weights_count_for() -> None:
    said = held("fan")
    set_policy("shipped_worth_cars", 9)
    experience, _ = learned_now(said.diagnosis)
    assert experience["weights"]["fan"] == pytest.approx((4.5 + 1) / 10)


def test_the_board_may_want_no_learning() -> None:
    said = held("fan")
    set_policy("learn_from_repairs", 0)
    assert learned_now(said.diagnosis) == ({}, 0)


def test_the_last_repair_of_what_was_concluded_is_found() -> None:
    assert repaired_on(concluded()) is None
    assert repaired_on(repaired("fan", 12)) == days_ago(12)


def test_each_diagnosis_stands_at_one_stage() -> None:
    assert stage_of(concluded()) is Stage.NOT_REPAIRED
    assert stage_of(repaired("fan", 29)) is Stage.TOO_EARLY
    assert stage_of(repaired("fan", 30)) is Stage.TO_ASK
    assert stage_of(held("fan").diagnosis) is Stage.HELD
    assert stage_of(held(fault="fan", gone=False).diagnosis) is Stage.NOT_HELD


def test_a_diagnosis_without_a_conclusion_has_no_story() -> None:
    row = concluded()
    row.conclusions.update(withdrawn_at=row.begun_at)
    assert stories(Diagnosis.objects.all(), row.program) == []


def test_a_story_says_on_which_day_to_ask() -> None:
    story = stories(Diagnosis.objects.filter(pk=repaired("fan", 10).pk), make_program())[0]
    assert (story.repaired_on, story.ask_on) == (days_ago(10), days_ago(-20))


def test_stories_take_the_same_queries_for_any_number(
    django_assert_max_num_queries: Any,
) -> None:
    for _ in range(4):
        held("fan")
    with django_assert_max_num_queries(6):
        stories(Diagnosis.objects.all(), make_program())


def test_conclusions_are_counted_by_what_the_repair_proved() -> None:
    held("fan", permille=960)
    held("hose", fault="fan", permille=900)
    held(fault="hose", gone=False, permille=930)
    held("hose", sureness=Sureness.OVERRULED, permille=400)
    assert signed(make_program()) == [
        Signed(sureness=Sureness.CONFIRMED, count=3, proved=1, percent=93),
        Signed(sureness=Sureness.OVERRULED, count=1, proved=1, percent=40),
    ]
    assert signed(make_program(), diagnosis__complaint="charging") == []
