"""The adapter of the optional table: what it suggests, and that nothing odd makes it stumble."""

from __future__ import annotations

import sys

import pytest
from hypothesis import given
from hypothesis import strategies as st

from vehicles.intake.car import Fuel
from vehicles.intake.decoding import Decoded, decode, fuel_of

CAMRY = "4T1BE46K37U123456"


def decoded(vin: str) -> Decoded:
    pytest.importorskip("ultravin", reason="ultravin, the optional table, is not installed")
    found = decode(vin, 2026)
    assert found is not None
    return found


def test_without_the_table_nothing_is_suggested(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setitem(sys.modules, "ultravin", None)
    assert decode(CAMRY) is None


def test_a_car_is_suggested_in_the_words_of_a_shop() -> None:
    car = decoded(CAMRY)
    assert (car.make, car.model, car.year) == ("Toyota", "Camry", 2007)
    assert (car.engine, car.body, car.fuel) == ("2.4 L", "Sedan", Fuel.GASOLINE)
    assert str(car.origin).startswith("Suggested from the VIN by the US authority’s table of 20")


@pytest.mark.parametrize(
    ("vin", "make", "year"),
    [
        # 49 CFR 565, the sample of the check digit (text seen): the table knows no model for it.
        ("1G4AH59H45G118341", "Buick", 2005),
        ("1HGCM82633A004352", "Honda", 2003),
        ("1M8GDM9AXKP042788", "Motor Coach Industries", 1989),
        ("WBA3A5G59DNP26082", "BMW", 2013),
        ("KNDCE3LG2L5073161", "Kia", 2020),
    ],
)
def test_make_and_year_are_given_as_people_write_them(vin: str, make: str, year: int) -> None:
    car = decoded(vin)
    assert (car.make, car.year) == (make, year)


def test_a_wrong_check_digit_does_not_stand_in_the_way() -> None:
    assert decoded("4T1BE46K07U123456").model == "Camry"


def test_this_year_bounds_the_model_year() -> None:
    pytest.importorskip("ultravin", reason="ultravin, the optional table, is not installed")
    early, late = decode("KNDCE3LG2L5073161", 2015), decode("KNDCE3LG2L5073161", 2020)
    assert early is None or early.year == 1990
    assert late is not None
    assert late.year == 2020


@pytest.mark.parametrize(
    ("primary", "secondary", "level", "fuel"),
    [
        # The table's own words, read from the package's data; which fuel they mean is own design.
        ("Gasoline", "", "", Fuel.GASOLINE),
        ("Flexible Fuel Vehicle (FFV)", "Ethanol (E85)", "", Fuel.GASOLINE),
        ("Diesel", "", "", Fuel.DIESEL),
        ("Electric", "", "BEV (Battery Electric Vehicle)", Fuel.ELECTRIC),
        ("Electric", "Gasoline", "PHEV (Plug-in Hybrid Electric Vehicle)", Fuel.PLUG_IN),
        ("Gasoline", "Electric", "Strong HEV (Hybrid Electric Vehicle)", Fuel.HYBRID),
        ("Gasoline", "Electric", "HEV (Hybrid Electric Vehicle) - Level Unknown", Fuel.HYBRID),
        ("Gasoline", "Electric", "", Fuel.HYBRID),
        ("Gasoline", "Electric", "Mild HEV (Hybrid Electric Vehicle)", Fuel.GASOLINE),
        ("Electric", "", "", Fuel.ELECTRIC),
        ("Compressed Natural Gas (CNG)", "", "", None),
        ("Fuel Cell", "", "FCEV (Fuel Cell Electric Vehicle)", None),
        ("", "", "", None),
    ],
)
def test_three_columns_make_one_fuel(
    primary: str, secondary: str, level: str, fuel: Fuel | None
) -> None:
    assert fuel_of(primary, secondary, level) == fuel


@pytest.mark.parametrize("odd", ["", "1M8", "ſ" * 17, "\0" * 17, "🚗" * 17, "A" * 9999])
def test_what_is_no_number_has_no_suggestion(odd: str) -> None:
    assert decode(odd) is None


@given(st.text("ABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789", min_size=17, max_size=17))
def test_any_number_is_answered_without_stumbling(vin: str) -> None:
    pytest.importorskip("ultravin", reason="ultravin, the optional table, is not installed")
    car = decode(vin)
    assert car is None or car.make
