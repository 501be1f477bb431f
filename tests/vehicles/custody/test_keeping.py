"""Moving a car: along the table of steps, with a line in the log."""

from __future__ import annotations

import pytest
from django.core.exceptions import ValidationError

from shared.models import Event
from tests.factories import make_user, make_vehicle
from vehicles.custody.keeping import move_vehicle
from vehicles.custody.conditions import Mobility, Step
from vehicles.models import Condition

pytestmark = pytest.mark.django_db


def test_a_car_moves_along_the_table_and_the_log_says_so() -> None:
    vehicle, user = make_vehicle(), make_user()
    before = vehicle.condition.since_at
    condition = move_vehicle(
        vehicle=vehicle,
        step=Step.REPAIR,
        mobility=Mobility.ROLLS,
        place=" Bay 2 ",
        by=user,
        version=1,
    )
    condition.refresh_from_db()
    assert (condition.step, condition.mobility, condition.place) == ("repair", "rolls", "Bay 2")
    assert (condition.version, condition.since_at > before) == (2, True)
    event = Event.objects.about("vehicle", vehicle.pk).get()
    assert (event.what, event.by) == ("The car is “In repair”.", user)
    assert event.fields == ["step", "mobility", "place"]


def test_a_move_that_the_table_lacks_is_refused_with_those_it_has() -> None:
    vehicle = make_vehicle(step="expected")
    with pytest.raises(ValidationError) as refusal:
        move_vehicle(vehicle=vehicle, step=Step.HANDED_BACK, by=make_user())
    assert refusal.value.message_dict == {
        "step": ["A car can’t go from “Expected” to “Handed back”. It may go to: On the lot."]
    }
    assert Condition.objects.get(vehicle=vehicle).step == "expected"


def test_only_the_place_may_change_and_the_day_of_the_step_stays() -> None:
    vehicle = make_vehicle()
    before = vehicle.condition.since_at
    condition = move_vehicle(vehicle=vehicle, step=Step.ASSESSMENT, place="Bay 1", by=make_user())
    assert (condition.place, condition.since_at, condition.version) == ("Bay 1", before, 2)
    assert Event.objects.about("vehicle", vehicle.pk).get().fields == ["place"]


def test_what_changes_nothing_leaves_no_line() -> None:
    vehicle = make_vehicle()
    condition = move_vehicle(
        vehicle=vehicle, step=Step.ASSESSMENT, mobility=Mobility.DRIVES, place="", by=make_user()
    )
    assert condition.version == 1
    assert Event.objects.about("vehicle", vehicle.pk).count() == 0


def test_a_car_moved_by_somebody_else_meanwhile_is_left_where_it_is() -> None:
    vehicle = make_vehicle()
    move_vehicle(vehicle=vehicle, step=Step.REPAIR, by=make_user())
    with pytest.raises(ValidationError) as refusal:
        move_vehicle(vehicle=vehicle, step=Step.SUBLET, by=make_user(), version=1)
    assert refusal.value.messages == [
        "Somebody else moved this car meanwhile: it is “In repair” now."
    ]
    assert Condition.objects.get(vehicle=vehicle).step == "repair"


def test_a_car_without_a_condition_is_expected_and_may_arrive() -> None:
    vehicle = make_vehicle()
    Condition.objects.filter(vehicle=vehicle).delete()
    condition = move_vehicle(vehicle=vehicle, step=Step.ON_LOT, by=make_user())
    assert (condition.step, condition.version) == ("on_lot", 1)


def test_a_place_too_long_is_refused() -> None:
    with pytest.raises(ValidationError) as refusal:
        move_vehicle(vehicle=make_vehicle(), step=Step.REPAIR, place="x" * 41, by=make_user())
    assert list(refusal.value.message_dict) == ["place"]
