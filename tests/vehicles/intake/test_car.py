"""What a car has: nothing is taken for granted that nobody noted."""

from __future__ import annotations

from dataclasses import astuple

import pytest

from vehicles.intake.car import Brake, CarFacts, Fuel


@pytest.mark.parametrize(
    ("fuel", "label", "belongs"),
    [
        ("gasoline", "Gasoline", "engine"),
        ("diesel", "Diesel", "engine"),
        ("hybrid", "Hybrid", "engine, high voltage"),
        ("plug_in", "Plug-in hybrid", "engine, high voltage"),
        ("electric", "Electric", "high voltage"),
    ],
)
def test_a_fuel_says_what_belongs_to_it(fuel: str, label: str, belongs: str) -> None:
    known = Fuel(fuel)
    has = {"engine": known.has_engine, "high voltage": known.has_high_voltage}
    assert (known.label, ", ".join(name for name in has if has[name])) == (label, belongs)


def test_a_car_of_which_nothing_is_noted_has_nothing_for_certain() -> None:
    assert set(astuple(CarFacts())) == {None}


def test_brakes_read_as_answers() -> None:
    assert [kind.label for kind in Brake] == ["Disc", "Drum"]
