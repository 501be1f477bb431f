"""A stay begins once and is put right; and what is known of it is ranked anew."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, Any
from uuid import uuid4

import pytest
import time_machine
from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction

from program.work import WORK
from shared.models import Event, Job, User
from tests.factories import TODAY, make_intake, make_user, make_vehicle
from tests.vehicles.intake.answers import VIN, car, told
from vehicles.intake.actions import RANK, ask_for_ranks, begin_stay, change_arrival
from vehicles.models import Intake, Vehicle

if TYPE_CHECKING:
    from collections.abc import Iterator


pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def clock() -> Iterator[None]:
    with time_machine.travel(dt.datetime.combine(TODAY, dt.time(18, 0), dt.UTC), tick=False):
        yield


@pytest.fixture
def by() -> User:
    return make_user()


def begin(by: User, vehicle: Vehicle | None = None, **others: Any) -> Intake:
    known: dict[str, Any] = {"version": vehicle.version if vehicle else None}
    known |= {"car": car(), "arrival": told(), "client_key": uuid4()}
    return begin_stay(vehicle=vehicle, by=by, **known | others)


def refusal(by: User, vehicle: Vehicle | None = None, **others: Any) -> Any:
    with pytest.raises(ValidationError) as refused:
        begin(by, vehicle, **others)
    found = refused.value
    return found.message_dict if hasattr(found, "error_dict") else found.messages


# ---- a stay begins ----


def test_a_new_car_is_written_with_its_stay(by: User) -> None:
    stay = begin(by, arrival=told(lamps=("oil",), fuel_eighths=3, sleeps_in=True, driver="Both"))
    assert (stay.vehicle.vin, stay.vehicle.version, stay.version) == (VIN, 1, 1)
    assert (stay.lamps, stay.fuel_eighths, stay.sleeps_in) == (["oil"], 3, True)
    assert stay.odometer_mi == 88_000
    assert Event.objects.get(kind="intake").what == "The car arrived."


def test_the_same_key_begins_one_stay(by: User) -> None:
    key = uuid4()
    assert begin(by, client_key=key) == begin(by, client_key=key)
    assert (Intake.objects.count(), Vehicle.objects.count()) == (1, 1)


def test_a_known_car_keeps_what_is_known_and_takes_what_is_new(by: User) -> None:
    vehicle = make_vehicle(vin="", vin_note="plate gone", tire_size="195/65R15")
    stay = begin(by, vehicle, car=car(tire_size="195/65R15", fuel="gasoline"))
    vehicle.refresh_from_db()
    assert stay.vehicle == vehicle
    assert (vehicle.vin, vehicle.fuel, vehicle.version) == (VIN, "gasoline", 2)


def test_one_car_has_one_open_stay(by: User) -> None:
    first = make_intake(arrived_on=TODAY)
    assert refusal(by, first.vehicle) == [
        f"This car is here already, since {TODAY:%A, %B} {TODAY.day}, {TODAY.year}."
    ]


def test_a_vin_of_another_car_is_not_taken_over_blindly(by: User) -> None:
    make_vehicle(vin=VIN)
    assert refusal(by) == {
        "vin": ["A vehicle with this VIN is here already. Begin with its VIN again."]
    }


@pytest.mark.parametrize(
    ("vin", "field"),
    [("", "vin_note"), ("136677A10012", "vin_note"), ("1M8GDM9AXKP042878", "vin")],
)
def test_a_vin_that_is_none_unusual_or_wrong_is_refused(by: User, vin: str, field: str) -> None:
    assert list(refusal(by, car=car(vin=vin))) == [field]
    assert Vehicle.objects.count() == 0


def test_an_odd_vin_is_kept_with_its_reason(by: User) -> None:
    stay = begin(by, car=car(vin="136677A10012", vin_note="a car of 1967", year=1967))
    assert (stay.vehicle.vin, stay.vehicle.vin_note) == ("136677A10012", "a car of 1967")


def test_the_last_reading_of_the_car_counts(by: User) -> None:
    before = make_intake(odometer_mi=90_000, left_on=TODAY)
    vehicle = before.vehicle
    mine = car(vin=vehicle.vin, vin_note="invented")
    assert list(refusal(by, vehicle, car=mine)) == ["odometer_because"]
    stay = begin(by, vehicle, car=mine, arrival=told(odometer_because="another cluster"))
    assert (stay.odometer_mi, stay.odometer_because) == (88_000, "another cluster")


def test_a_comeback_names_the_stay_before(by: User) -> None:
    before = make_intake(odometer_mi=87_500, left_on=TODAY)
    mine = car(vin=before.vehicle.vin, vin_note="invented")
    stay = begin(by, before.vehicle, car=mine, arrival=told(comeback=True))
    assert stay.previous == before


def test_a_lamp_that_no_car_has_is_refused(by: User) -> None:
    assert list(refusal(by, arrival=told(lamps=("disco",)))) == ["lamps"]


@pytest.mark.parametrize(
    ("field", "value", "rule", "sentence"),
    [
        ("fuel_eighths", 9, "intake_fuel_possible", "A full tank is 8 eighths."),
        (
            "odometer_mi",
            1_000_000_000,
            "intake_miles_possible",
            "An odometer shows under 1,000,000 miles, a week 5,000 at most.",
        ),
    ],
)
def test_what_is_not_possible_is_refused_by_the_database_too(
    by: User, field: str, value: int, rule: str, sentence: str
) -> None:
    found = refusal(by, arrival=told(**{field: value, "odometer_because": "so it is"}))
    assert sentence in [text for texts in found.values() for text in texts]
    stay = make_intake()
    with pytest.raises(IntegrityError, match=rule), transaction.atomic():
        Intake.objects.filter(pk=stay.pk).update(**{field: value})


# ---- what was told is put right ----


def change(stay: Intake, by: User, **others: Any) -> Intake:
    kept = {"version": stay.version, "car_version": stay.vehicle.version}
    known: dict[str, Any] = {"car": car(vin=stay.vehicle.vin), "arrival": told()} | kept
    return change_arrival(intake=stay, by=by, **known | others)


def test_what_was_told_is_put_right_with_a_line_in_the_log(by: User) -> None:
    stay = begin(by)
    again = change(stay, by, arrival=told(complaint="It squeals."))
    assert (again.complaint, again.version) == ("It squeals.", 2)
    line = Event.objects.filter(kind="intake").latest("pk")
    assert (line.what, line.fields) == ("What was told on arrival was put right.", ["complaint"])


def test_the_same_answers_change_nothing(by: User) -> None:
    stay = begin(by)
    lines = Event.objects.count()
    assert change(stay, by).version == 1
    assert Event.objects.count() == lines


def test_who_belongs_to_no_program_begins_no_stay() -> None:
    assert refusal(User(username="nobody")) == ["You belong to no program."]


@pytest.mark.parametrize("stale", ["version", "car_version"])
def test_a_stale_form_is_refused(by: User, stale: str) -> None:
    stay = begin(by)
    with pytest.raises(ValidationError, match="Somebody else changed this meanwhile"):
        change(stay, by, car=car(tire_size="195/65R15"), **{stale: 7})


def test_a_stay_that_ended_is_left_as_it_is(by: User) -> None:
    stay = make_intake(left_on=TODAY)
    with pytest.raises(ValidationError, match="This stay ended"):
        change(stay, by)


def test_an_own_reading_is_not_the_one_before(by: User) -> None:
    stay = begin(by)
    assert change(stay, by, arrival=told(odometer_mi=87_000)).odometer_mi == 87_000


# ---- ranks ----


def test_all_that_changes_within_a_minute_is_ranked_once_after_it() -> None:
    stay, other = make_intake(), make_intake()
    with time_machine.travel("2026-11-30 15:00:10Z", tick=False) as clock:
        first = ask_for_ranks(stay)
        clock.shift(30)
        assert ask_for_ranks(other) == first
        clock.shift(30)
        assert ask_for_ranks(stay) != first
    assert first.run_after == dt.datetime(2026, 11, 30, 15, 1, tzinfo=dt.UTC)
    assert Job.objects.count() == 2


def test_a_worker_knows_this_kind_of_job() -> None:
    assert RANK in WORK
