"""Vehicles and stays: what the database refuses, and who sees them."""

from __future__ import annotations

import datetime as dt

import pytest

from tests.factories import TODAY, make_intake, make_program, make_user, make_vehicle
from tests.refusals import assert_refused
from tests.vehicles.rows import unsaved
from vehicles.models import Intake, Vehicle

pytestmark = pytest.mark.django_db


def test_a_vin_is_here_once() -> None:
    sentence = "A vehicle with this VIN is here already."
    assert_refused(unsaved(make_vehicle()), "vehicle_vin_once", sentence)


def test_vehicles_without_a_vin_may_be_many() -> None:
    unsaved(make_vehicle(vin="")).save()
    assert Vehicle.objects.filter(vin="").count() == 2


def test_a_model_year_is_possible() -> None:
    row = unsaved(make_vehicle(), vin="", year=1949)
    sentence = "A model year lies between 1950 and 2040."
    assert_refused(row, "vehicle_year_possible", sentence)


def test_a_vehicle_has_one_open_stay() -> None:
    assert_refused(
        unsaved(make_intake()),
        "intake_one_open_stay",
        "This vehicle is here already; end its open stay first.",
    )


def test_a_vehicle_never_leaves_before_it_arrives() -> None:
    stay = make_intake()
    row = unsaved(stay, left_on=stay.arrived_on - dt.timedelta(days=1))
    sentence = "A vehicle can't leave before it arrives."
    assert_refused(row, "intake_leaves_after_arrival", sentence)


@pytest.mark.parametrize("miles", [{"odometer_mi": 1_000_000}, {"miles_per_week": 5_001}])
def test_miles_are_possible(miles: dict[str, int]) -> None:
    row = unsaved(make_intake(), left_on=TODAY, **miles)
    sentence = "An odometer shows under 1,000,000 miles, a week 5,000 at most."
    assert_refused(row, "intake_miles_possible", sentence)


def test_only_open_stays_are_here() -> None:
    here = make_intake()
    make_intake(left_on=TODAY)
    assert list(Intake.objects.open()) == [here]


def test_a_user_sees_their_program_but_for_what_a_tie_withholds() -> None:
    user = make_user()
    seen = make_intake()
    make_intake(program=make_program(name="Weir Street Garage"))
    tied = make_intake()
    tied.vehicle.withheld_from.add(user)
    assert list(Intake.objects.for_user(user)) == [seen]
    assert list(Vehicle.objects.for_user(user)) == [seen.vehicle]


def test_rows_say_what_they_are() -> None:
    assert str(make_intake()) == "2012 Toyota Corolla, stay from 2026-11-23"
