"""Which fluids a car has. Common practice, no source."""

from __future__ import annotations

import pytest

from vehicles.fluids.applies import fluids_of
from vehicles.intake.car import Fuel
from vehicles.intake.kinds import Transmission


def test_one_goes_around_under_the_hood_first_and_then_below() -> None:
    assert [one.code for one in fluids_of(None, None)] == [
        "engine-oil",
        "coolant",
        "brake",
        "clutch",
        "power-steering",
        "washer",
        "automatic",
        "manual",
        "final-drive",
    ]


@pytest.mark.parametrize(
    ("transmission", "fuel", "lacks"),
    [
        (Transmission.AUTOMATIC, Fuel.GASOLINE, {"clutch", "manual"}),
        (Transmission.CVT, Fuel.HYBRID, {"clutch", "manual"}),
        (Transmission.MANUAL, Fuel.DIESEL, {"automatic"}),
        (Transmission.SINGLE_SPEED, Fuel.ELECTRIC, {"clutch", "manual", "automatic", "engine-oil"}),
        (None, Fuel.ELECTRIC, {"engine-oil"}),
    ],
)
def test_a_fluid_is_left_out_only_where_the_car_has_none(
    transmission: Transmission | None, fuel: Fuel, lacks: set[str]
) -> None:
    have = {one.code for one in fluids_of(transmission, fuel)}
    assert {one.code for one in fluids_of(None, None)} - have == lacks
