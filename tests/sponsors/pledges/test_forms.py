from __future__ import annotations

import datetime as dt

import pytest

from sponsors.pledges.actions import MOST_UNITS
from sponsors.pledges.forms import FitmentForm, PledgeForm
from vehicles.repairs.parts import Fitment, Part
from vehicles.shop.systems import System

TYPED = {
    "kind": "Radiator",
    "title": "Radiator, Corolla 2009-2013",
    "system": "cooling",
    "quantity": "1",
    "unit": "each",
}


def test_what_was_typed_becomes_one_part_and_its_promise() -> None:
    form = PledgeForm(
        TYPED
        | {"make": "Toyota", "model": "Corolla", "year_from": "2009", "year_to": "2013"}
        | {"position": "front", "used": "on", "arrived": "on", "expires_on": "12/31/2026"}
        | {"counties": "Alder County;  Alder  County; Birch County", "household_kinds": "Rural"}
    )
    assert form.is_valid()
    fitment = Fitment(
        make="Toyota", model="Corolla", year_from=2009, year_to=2013, position="front"
    )
    found = form.cleaned_data
    assert found.pop("client_key") is not None
    assert found == {
        "part": Part(kind="radiator", system=System.COOLING, fitment=fitment, used=True),
        "title": "Radiator, Corolla 2009-2013",
        "quantity": 1,
        "expires_on": dt.date(2026, 12, 31),
        "arrived": True,
        "counties": ["Alder County", "Birch County"],
        "household_kinds": ["rural"],
        "note": "",
    }


@pytest.mark.parametrize("typed", ["Brake pads", "brake_pads", " BRAKE  PADS ", "brake-pads"])
def test_a_part_is_found_however_it_is_written(typed: str) -> None:
    form = PledgeForm(TYPED | {"kind": typed})
    assert form.is_valid()
    assert form.cleaned_data["part"].kind == "brake_pads"


def test_a_tire_a_battery_and_a_bulb_keep_what_they_are_chosen_by() -> None:
    form = FitmentForm(
        {"tire_size": "205/55R16", "load_index": "91", "speed_symbol": "h", "bci_group": "35"}
        | {"cold_cranking_amps": "640", "specification": "H11"}
    )
    assert form.is_valid()
    stated = {name: value for name, value in form.cleaned_data.items() if value}
    assert stated == {
        "tire_size": "205/55R16",
        "load_index": 91,
        "speed_symbol": "H",
        "bci_group": "35",
        "cold_cranking_amps": 640,
        "specification": "H11",
    }


WHOLE = f"Type a whole number from 1 to {MOST_UNITS}."
YEAR = "Type a year from 1950 to 2040."


@pytest.mark.parametrize(
    ("field", "typed", "sentence"),
    [
        ("kind", "", "Part: an answer is missing."),
        ("kind", "???", "“???” is not the name of a part, such as brake pads."),
        ("title", "", "Its name: an answer is missing."),
        ("system", "", "System: an answer is missing."),
        ("system", "sails", "“sails” is not a system. Choose one of the list."),
        ("quantity", "0", f"“0” is not possible. {WHOLE}"),
        ("quantity", "-1", f"“-1” is not possible. {WHOLE}"),
        ("quantity", "1.5", f"“1.5” is not possible. {WHOLE}"),
        ("quantity", "9" * 30, f"“{'9' * 30}” is not possible. {WHOLE}"),
        ("year_from", "1909", f"“1909” is not a model year. {YEAR}"),
        ("year_to", "last", f"“last” is not a model year. {YEAR}"),
        ("year_to", "2008", "The last model year, 2008, is before the first, 2009."),
        ("tire_size", "205", "“205” is not a tire size. Type it such as 205/55R16."),
        ("load_index", "9", "“9” is not possible. Type a whole number from 50 to 150."),
        ("cold_cranking_amps", "1", "“1” is not possible. Type a whole number from 50 to 2,000."),
        (
            "speed_symbol",
            "o",
            "“O” is not a speed symbol. Use one of: L, M, N, P, Q, R, S, T, U, H, V, W, Y.",
        ),
        ("counties", "a;b;c;d;e;f", "6 names are too many. Type up to 5."),
        ("household_kinds", "a;b;c;d;e;f", "6 names are too many. Type up to 5."),
    ],
)
def test_what_can_not_be_is_refused_at_its_field(field: str, typed: str, sentence: str) -> None:
    form = PledgeForm(TYPED | {"year_from": "2009"} | {field: typed})
    assert form.errors == {field: [sentence]}


def test_a_day_that_is_none_is_refused_at_its_field() -> None:
    form = PledgeForm(TYPED | {"expires_on": "soon"})
    assert list(form.errors) == ["expires_on"]
    assert str(form.errors["expires_on"][0]).startswith("“soon”")
