"""A need as outsiders may see it."""

from __future__ import annotations

import pytest

from vehicles.repairs.open_needs import Car, OpenNeed, Part, System


@pytest.mark.parametrize(
    ("car", "words"),
    [
        (Car(year=2012, make="Toyota", model="Corolla"), "2012 Toyota Corolla"),
        (Car(make="Ford"), "Ford"),
        (Car(), ""),
    ],
)
def test_the_car_is_named_as_far_as_it_is_known(car: Car, words: str) -> None:
    part = Part(kind="radiator", system=System.COOLING)
    assert OpenNeed(id=1, title="Radiator", part=part, car=car).for_car == words


def test_an_open_need_has_no_field_for_a_household() -> None:
    assert "household" not in OpenNeed.__dataclass_fields__
    assert "case" not in OpenNeed.__dataclass_fields__
