"""Saying whether a repair held."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest
from django.core.exceptions import ValidationError

from shared.dates import full_date
from shared.models import Event, Policy
from tests.factories import make_item
from tests.vehicles.diagnosis.cars import come_back, concluded, days_ago, held, repaired
from vehicles.diagnosis.grading import record_held, withdraw_held

if TYPE_CHECKING:
    from vehicles.models import Diagnosis, Held

pytestmark = pytest.mark.django_db


def say_so(row: Diagnosis, **fields: Any) -> Held:
    """Say today that the repair held, since the hose was broken."""
    values: dict[str, Any] = {"gone": True, "causes": ["hose"], "asked_on": days_ago(0)}
    return record_held(diagnosis=row, by=row.begun_by, **values | fields)


def refused(row: Diagnosis, **fields: Any) -> Any:
    """Return what stands against saying so, by field, or as a list."""
    with pytest.raises(ValidationError) as refusal:
        say_so(row, **fields)
    error = refusal.value
    return error.message_dict if hasattr(error, "error_dict") else error.messages


def test_a_repair_that_held_is_recorded_with_what_it_proved() -> None:
    row = repaired("hose", 40)
    found = say_so(row, note=" Called them. ")
    assert (found.gone, found.causes, found.note) == (True, ["hose"], "Called them.")
    assert (found.repaired_on, found.asked_on) == (days_ago(40), days_ago(0))
    event = Event.objects.latest("pk")
    assert (event.what, event.fields) == ("The repair held.", ["gone", "causes"])


def test_it_may_have_been_another_cause_than_was_concluded() -> None:
    assert say_so(repaired("hose"), causes=["fan"]).causes == ["fan"]


def test_it_may_have_been_a_cause_that_is_not_listed() -> None:
    assert say_so(repaired("hose"), causes=[""]).causes == [""]


def test_it_may_have_been_several_causes_each_named_once() -> None:
    assert say_so(repaired("fan"), causes=["gasket", "fan", "fan"]).causes == ["fan", "gasket"]


def test_thirty_days_have_to_pass_after_the_last_repair() -> None:
    row = repaired("hose", 29)
    day = full_date(days_ago(-1))
    assert refused(row) == {"asked_on": [f"Ask on {day}, 30 days after the repair, or later."]}
    assert say_so(repaired("hose", 30)).gone


def test_the_day_of_the_asking_counts_and_not_that_of_the_recording() -> None:
    row = repaired("hose", 40)
    day = full_date(days_ago(10))
    assert refused(row, asked_on=days_ago(11)) == {
        "asked_on": [f"Ask on {day}, 30 days after the repair, or later."]
    }


def test_the_board_sets_how_many_days() -> None:
    row = repaired("hose", 20)
    Policy.objects.create(
        program=row.program, name="held_after_days", value=14, since_on=days_ago(3), reason="Short"
    )
    assert say_so(row).gone


def test_that_a_repair_did_not_hold_can_be_said_at_once() -> None:
    found = say_so(repaired("hose", 2), gone=False, causes=[])
    assert (found.gone, found.causes) == (False, [])
    assert Event.objects.latest("pk").what == "The repair did not hold."


def test_a_repair_that_did_not_hold_proves_no_cause() -> None:
    assert refused(repaired(), gone=False) == {
        "causes": ["A repair that did not hold proves no cause. Leave all of them empty."]
    }


def test_a_repair_that_held_proves_some_cause() -> None:
    assert refused(repaired(), causes=[]) == {"causes": ["Say which cause the repair proved."]}


def test_a_cause_has_to_be_one_of_the_model() -> None:
    assert refused(repaired(), causes=["hose", "moon"]) == {
        "causes": ["The fault model has no fault “moon”."]
    }


def test_nobody_is_asked_before_the_repair_or_tomorrow() -> None:
    row = repaired("hose", 40)
    tomorrow = full_date(days_ago(-1))
    assert refused(row, asked_on=days_ago(-1)) == {"asked_on": [f"{tomorrow}, has not come yet."]}
    day = full_date(days_ago(40))
    assert refused(row, asked_on=days_ago(41)) == {
        "asked_on": [f"The repair was done on {day}; ask after that."]
    }


def test_without_a_conclusion_there_is_no_repair_to_ask_about() -> None:
    row = repaired()
    row.conclusions.update(withdrawn_at=row.begun_at)
    assert refused(row) == ["Nothing was concluded, so there is no repair to ask about."]


def test_what_is_not_repaired_cannot_hold() -> None:
    assert refused(concluded()) == ["Nothing of what was concluded is repaired yet."]


def test_it_is_said_once() -> None:
    row = repaired()
    say_so(row)
    assert refused(row) == {"__all__": ["Whether this repair held is on record already."]}


IS_BACK = (
    "The car came back with this complaint, or it was diagnosed again: this repair did not hold."
)


def test_a_car_that_came_back_with_it_says_that_it_did_not_hold() -> None:
    row = repaired("hose", 60)
    stay = come_back(row)
    assert refused(row) == {"gone": [IS_BACK]}
    concluded("fan", stay, begun=5)
    assert refused(row) == {"gone": [IS_BACK]}
    assert not say_so(row, gone=False, causes=[]).gone


def test_what_was_said_is_taken_back_with_a_reason_and_can_be_said_again() -> None:
    said = held("hose")
    with pytest.raises(ValidationError) as refusal:
        withdraw_held(held=said, because=" ", by=said.by)
    assert refusal.value.message_dict == {"because": ["Say why this is taken back."]}
    found = withdraw_held(held=said, because="Wrong car. ", by=said.by)
    assert (found.withdrawn_because, found.withdrawn_at is None) == ("Wrong car.", False)
    assert say_so(said.diagnosis, causes=["fan"]).causes == ["fan"]


def test_what_is_taken_back_twice_keeps_its_first_reason() -> None:
    said = held("hose")
    withdraw_held(held=said, because="Wrong car.", by=said.by)
    assert withdraw_held(held=said, because="Again", by=said.by).withdrawn_because == "Wrong car."


def test_the_last_of_several_repairs_is_the_day_that_counts() -> None:
    row = repaired("hose", 50)
    finding = row.conclusions.get().finding
    day = days_ago(45)
    make_item(intake=row.intake, findings=[finding], title="Again", state="done", done_on=day)
    assert say_so(row).repaired_on == day
