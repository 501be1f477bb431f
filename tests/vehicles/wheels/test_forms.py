"""The form of one torque."""

from __future__ import annotations

from typing import Any

import pytest

from tests.factories import make_program
from tests.vehicles.shop.rows import DAY, today
from tests.vehicles.wheels.rows import make_wrench
from vehicles.wheels.forms import TorqueForm
from vehicles.wheels.values import Tightened

pytestmark = pytest.mark.django_db


def form(**typed: Any) -> TorqueForm:
    wrench = make_wrench()
    sent = {"wrench": wrench.pk, "foot_pounds": "80", "wheels": ["RR", "LF"], "is_again": "no"}
    return TorqueForm(sent | typed, program=make_program())


def test_what_was_typed_is_put_together_as_the_action_takes_it() -> None:
    sent = form(odometer_mi="148,200")
    assert sent.is_valid()
    assert sent.cleaned_data.keys() == {"client_key", "said"}
    said = sent.cleaned_data["said"]
    assert said == Tightened(
        wrench_id=said.wrench_id, foot_pounds=80, wheels=("LF", "RR"), odometer_mi=148_200
    ) or said.wheels == ("RR", "LF")


@pytest.mark.parametrize(
    ("typed", "sentence"),
    [
        ({"foot_pounds": "-80"}, "“-80” is not possible. Type a whole number from 40 to 250."),
        ({"foot_pounds": "251"}, "“251” is not possible. Type a whole number from 40 to 250."),
        ({"wheels": []}, "Wheels: an answer is missing."),
        ({"wrench": ""}, "Wrench: an answer is missing."),
        ({"odometer_mi": "many"}, "“many” is not possible. Type a whole number from 0 to 999,999."),
    ],
)
def test_what_can_not_be_is_refused(typed: dict[str, Any], sentence: str) -> None:
    sent = form(**typed)
    assert [fault["sentence"] for fault in sent.faults] == [sentence]


def test_each_wrench_says_how_it_stands() -> None:
    make_wrench(name="Late", due_on=today() - DAY)
    page = str(TorqueForm(program=make_program())["wrench"])
    assert "Late was due for inspection on" in page


def test_a_car_that_has_left_comes_for_the_second_time() -> None:
    assert TorqueForm(program=make_program(), gone=True)["is_again"].value() == "yes"
