"""What the forms of an arrival and of a mark make of what was typed."""

from __future__ import annotations

from typing import Any

import pytest
from django.http import QueryDict

from shared.say import say
from tests.factories import TODAY, make_intake, make_vehicle
from tests.vehicles.intake.answers import sent
from vehicles.intake.decoding import Decoded
from vehicles.intake.forms import ArrivalForm, ChangeArrivalForm, MarkForm, ReceiveForm
from vehicles.intake.lamps import LAMPS

pytestmark = pytest.mark.django_db
DECODED = Decoded(
    make="Honda", model="Accord", year=2003, engine="3.0 L", body="", fuel=None, origin=say("So.")
)


def typed(**answers: Any) -> QueryDict:
    data = QueryDict(mutable=True)
    for name, value in sent(**answers).items():
        data.setlist(name, value if isinstance(value, list) else [value])
    return data


def test_the_car_and_what_was_told_go_to_the_action_as_two_values() -> None:
    form = ArrivalForm(typed())
    assert form.is_valid(), form.errors
    got = form.perform(dict)
    car, told = got["car"], got["arrival"]
    assert (car.year, car.plate_state, car.power_brakes) == (2015, "OH", True)
    assert (told.arrived_on, told.odometer_mi, told.lamps) == (TODAY, 88_000, ("oil", "engine"))
    assert (told.fuel_eighths, told.sleeps_in, told.comeback) == (3, False, False)


def test_what_nobody_knows_stays_open() -> None:
    form = ArrivalForm(typed(fuel_eighths="", sleeps_in="unknown", power_brakes="unknown"))
    assert form.is_valid()
    got = form.perform(dict)
    assert (got["arrival"].fuel_eighths, got["arrival"].sleeps_in) == (None, None)
    assert got["car"].power_brakes is None


def test_each_lamp_has_a_box_with_its_meaning() -> None:
    boxes = ArrivalForm().lit
    assert [lamp.code for _, lamp in boxes] == [lamp.code for lamp in LAMPS]
    assert [box.data["value"] for box, _ in boxes] == [lamp.code for lamp in LAMPS]


def test_a_suggestion_fills_what_is_empty_and_says_so() -> None:
    form = ReceiveForm(None, vehicle=None, suggested=DECODED, first={"year": 2015})
    assert (form.initial["make"], form.initial["year"]) == ("Honda", 2015)
    assert form.fields["make"].help_text == "Suggested from the VIN: compare it with the car."
    assert form.fields["year"].help_text == ""


def test_a_known_car_is_not_suggested_over() -> None:
    vehicle = make_vehicle(make="Acura", engine="")
    form = ReceiveForm(None, vehicle=vehicle, suggested=DECODED, first={})
    assert (form.initial["make"], form.initial["engine"]) == ("Acura", "3.0 L")


def test_only_a_car_that_was_here_can_come_back() -> None:
    new = make_vehicle()
    known = make_intake(left_on=TODAY).vehicle
    fields = [
        "comeback" in ReceiveForm(None, vehicle=car, suggested=None, first={}).fields
        for car in (None, new, known)
    ]
    assert fields == [False, False, True]


def test_the_form_of_a_change_shows_what_is_recorded() -> None:
    stay = make_intake(lamps=["oil"], fuel_eighths=0, sleeps_in=True)
    form = ChangeArrivalForm(None, stay=stay)
    shown = form.initial
    assert (shown["lamps"], shown["fuel_eighths"], shown["sleeps_in"]) == (["oil"], 0, "yes")
    assert (shown["vin"], shown["car_version"]) == (stay.vehicle.vin, 1)


def test_a_mark_goes_to_the_action_as_one_value() -> None:
    form = MarkForm({"kind": "dent", "area": "", "x": "450", "y": "590", "note": "deep"})
    assert form.is_valid()
    seen = form.perform(dict)["seen"]
    assert (seen.kind, seen.x, seen.y, seen.area, seen.note) == ("dent", 450, 590, None, "deep")
