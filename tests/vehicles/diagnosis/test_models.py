"""Diagnoses: what the database refuses, what stands, and who sees it."""

from __future__ import annotations

from typing import Any

import pytest
from django.utils import timezone

from tests.factories import TODAY, make_finding
from tests.refusals import assert_refused
from tests.vehicles.diagnosis.rows import make_diagnosis, see
from tests.vehicles.rows import unsaved
from vehicles.models import Conclusion, Diagnosis, Held, KeptModel, Observation, SetupMade

pytestmark = pytest.mark.django_db


def a_conclusion(**fields: Any) -> Conclusion:
    row = fields.pop("diagnosis", None) or make_diagnosis()
    defaults = {
        "program": row.program,
        "fault": "fan",
        "title": "Fan stands still",
        "sureness": "confirmed",
        "permille": 960,
        "finding": make_finding(intake=row.intake),
        "by": row.begun_by,
    }
    return Conclusion(diagnosis=row, **defaults | fields)


def a_held(**fields: Any) -> Held:
    row = fields.pop("diagnosis", None) or make_diagnosis()
    defaults = {
        "program": row.program,
        "repaired_on": TODAY,
        "asked_on": TODAY,
        "gone": True,
        "by": row.begun_by,
    }
    return Held(diagnosis=row, **defaults | fields)


def test_a_text_comes_from_somewhere_known() -> None:
    row = unsaved(make_diagnosis().model, number=2, in_use=False, origin="found")
    assert_refused(row, "kept_model_origin_known", "This origin is not known to the program.")


def test_each_text_of_a_complaint_has_its_own_number() -> None:
    row = unsaved(make_diagnosis().model, in_use=False)
    sentence = "Somebody else changed this fault model meanwhile."
    assert_refused(row, "kept_model_number_once", sentence)


def test_one_text_of_a_complaint_is_in_use() -> None:
    row = unsaved(make_diagnosis().model, number=2)
    sentence = "One text of a fault model is in use at a time."
    assert_refused(row, "kept_model_one_in_use", sentence)


def test_whether_a_complaint_shows_has_a_known_answer() -> None:
    row = unsaved(make_diagnosis(), complaint="other", verified="maybe")
    assert_refused(row, "diagnosis_verified_known", "This verified is not known to the program.")


def test_a_complaint_of_a_stay_is_diagnosed_once_at_a_time() -> None:
    row = make_diagnosis()
    sentence = "This complaint is being diagnosed already."
    assert_refused(unsaved(row), "diagnosis_one_open", sentence)
    unsaved(row, ended_at=timezone.now(), ended_how="dropped").save()


def test_an_end_says_how() -> None:
    row = unsaved(make_diagnosis(), complaint="other", ended_how="dropped")
    sentence = "A diagnosis ends in one of the known ways."
    assert_refused(row, "diagnosis_end_says_how", sentence)


def test_an_observation_has_a_known_source() -> None:
    row = unsaved(see(make_diagnosis(), "level", "low"), check_code="when", source="dreamed")
    assert_refused(row, "observation_source_known", "This source is not known to the program.")


def test_one_observation_of_a_check_stands() -> None:
    seen = see(make_diagnosis(), "level", "low")
    sentence = "Somebody else recorded this check meanwhile."
    assert_refused(unsaved(seen), "observation_one_stands", sentence)
    unsaved(seen, withdrawn_at=timezone.now()).save()
    assert list(Observation.objects.standing()) == [seen]


@pytest.mark.parametrize(("outcome", "could_not"), [("", ""), ("low", "No light")])
def test_a_check_shows_something_or_was_not_done(outcome: str, could_not: str) -> None:
    seen = see(make_diagnosis(), "level", "low")
    row = unsaved(seen, check_code="when", outcome=outcome, could_not=could_not)
    sentence = "A check shows something, or says why it was not done."
    assert_refused(row, "observation_seen_or_not", sentence)


def test_what_is_set_up_is_set_up_once() -> None:
    row = make_diagnosis()
    see(row, "level", "low")
    made = SetupMade.objects.get(code="cold")
    assert_refused(unsaved(made), "setup_made_once", "This is set up already.")
    unsaved(made, ended_at=timezone.now()).save()


def test_a_conclusion_stands_on_something_known() -> None:
    sentence = "This sureness is not known to the program."
    assert_refused(a_conclusion(sureness="felt"), "conclusion_sureness_known", sentence)


def test_a_fault_is_concluded_once() -> None:
    first = a_conclusion()
    first.save()
    second = a_conclusion(diagnosis=first.diagnosis)
    assert_refused(second, "conclusion_once", "This fault is concluded already.")
    unsaved(second, withdrawn_at=timezone.now(), withdrawn_because="Not so").save()


def test_a_probability_is_one_at_most() -> None:
    sentence = "A probability is 1000 in a thousand at most."
    assert_refused(a_conclusion(permille=1001), "conclusion_permille_possible", sentence)


def test_who_concludes_otherwise_says_why() -> None:
    row = a_conclusion(sureness="overruled")
    sentence = "Say why you conclude otherwise."
    assert_refused(row, "conclusion_overruled_with_reason", sentence)


def test_a_conclusion_is_never_its_own_root() -> None:
    row = a_conclusion()
    row.save()
    row.root = row
    sentence = "A fault can’t bring itself about."
    assert_refused(row, "conclusion_never_its_own_root", sentence)


def test_whether_a_repair_held_is_said_once() -> None:
    first = a_held()
    first.save()
    sentence = "Whether this repair held is on record already."
    assert_refused(a_held(diagnosis=first.diagnosis), "held_said_once", sentence)


def test_whether_a_repair_held_is_asked_after_it() -> None:
    row = a_held(asked_on=TODAY.replace(year=TODAY.year - 1))
    sentence = "Whether a repair held is asked after it was made."
    assert_refused(row, "held_asked_after_repair", sentence)


def test_a_diagnosis_is_seen_by_its_own_program_but_where_a_tie_withholds_the_car() -> None:
    row = make_diagnosis()
    assert list(Diagnosis.objects.for_user(row.begun_by)) == [row]
    assert list(KeptModel.objects.for_user(row.begun_by)) == [row.model]
    row.intake.vehicle.withheld_from.add(row.begun_by)
    assert not Diagnosis.objects.for_user(row.begun_by).exists()
