"""The form that moves a car offers what the shop may do."""

from __future__ import annotations

import pytest

from tests.factories import make_vehicle
from vehicles.custody.conditions import Mobility, Step
from vehicles.custody.forms import MoveForm, steps_from

pytestmark = pytest.mark.django_db


def test_the_ways_out_are_not_offered() -> None:
    assert [code for code, _ in steps_from(Step.FINAL_INSPECTION)] == ["final_inspection", "repair"]


def test_it_starts_with_where_the_car_is() -> None:
    form = MoveForm(condition=make_vehicle(step="sublet").condition)
    assert (form["step"].value(), form["mobility"].value()) == ("sublet", "drives")


def test_what_is_sent_becomes_steps_and_mobilities() -> None:
    sent = {"step": "repair", "mobility": "dead", "place": "Bay 1", "version": "1"}
    form = MoveForm(sent, condition=make_vehicle().condition)
    assert form.is_valid()
    assert (form.cleaned_data["step"], form.cleaned_data["mobility"]) == (
        Step.REPAIR,
        Mobility.DEAD,
    )


def test_a_step_that_may_not_follow_is_refused_in_a_sentence() -> None:
    sent = {"step": "handed_back", "mobility": "drives", "version": "1"}
    form = MoveForm(sent, condition=make_vehicle().condition)
    assert form.errors == {"step": ["The car can’t go there from “In assessment”."]}
