"""Narrowing the list of cars."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from tests.factories import make_finding, make_intake, make_vehicle
from vehicles.inspection.queries import with_sheet_state
from vehicles.models import Intake
from vehicles.repairs.filters import VehicleFilter

if TYPE_CHECKING:
    from collections.abc import Iterable

pytestmark = pytest.mark.django_db


def narrowed(**asked: str) -> Iterable[Intake]:
    rows = with_sheet_state(Intake.objects.order_by("pk"))
    return list(VehicleFilter(asked, queryset=rows).qs)


def test_every_word_of_make_model_plate_or_vin_counts() -> None:
    ford = make_intake(vehicle=make_vehicle(make="Ford", model="Escape", plate="BWK 4471"))
    make_intake()
    assert narrowed(car="escape ford") == [ford]
    assert narrowed(car="4471") == [ford]
    assert narrowed(car=ford.vehicle.vin) == [ford]
    assert narrowed(car="ford corolla") == []


def test_cars_in_one_step() -> None:
    make_intake()
    waits = make_intake(vehicle=make_vehicle(step="awaiting_parts"))
    assert narrowed(step="awaiting_parts") == [waits]


def test_cars_of_one_worst_class() -> None:
    major = make_finding(deficiency="major").intake
    make_finding(intake=major, deficiency="minor")
    minor = make_finding(deficiency="minor").intake
    none = make_intake()
    assert narrowed(worst="major") == [major]
    assert narrowed(worst="minor") == [minor]
    assert narrowed(worst="none") == [none]
