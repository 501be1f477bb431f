from __future__ import annotations

from typing import Any

import pytest

from vehicles.repairs.parts import Car, Fitment, Part
from vehicles.repairs.suitability import (
    Answer,
    Fit,
    application,
    battery,
    of_kind,
    specification,
    tire,
)
from vehicles.shop.systems import System

FITS, ASK, DOES_NOT_FIT = Answer.FITS, Answer.ASK, Answer.DOES_NOT_FIT
PLACARD = Car(tire_size="205/55R16", load_index=91, speed_symbol="H")


def said(fit: Fit) -> tuple[Answer, str]:
    return fit.answer, str(fit.reason)


def make_part(kind: str = "alternator", system: System = System.CHARGING, **stated: Any) -> Part:
    return Part(kind=kind, system=system, fitment=Fitment.from_dict(stated))


def make_mazda_part(stated: dict[str, Any]) -> Part:
    return make_part(**{"make": "Mazda", "model": "Mazda3", **stated})


def make_car(**facts: object) -> Car:
    return Car.from_dict({"make": "Mazda", "model": "Mazda3", "year": 2012, **facts})


def test_each_answer_has_its_label() -> None:
    assert [one.label for one in Answer] == ["Fits", "Ask", "Does not fit"]


def test_a_tire_that_reaches_the_placard_fits() -> None:
    found = list(tire(Fitment(tire_size="205/55R16 94V"), PLACARD))
    assert [fit.answer for fit in found] == [FITS, FITS, FITS]


@pytest.mark.parametrize(
    ("stated", "expected"),
    [
        (
            {"tire_size": "195/65R15", "load_index": 91, "speed_symbol": "H"},
            (DOES_NOT_FIT, "The tire is 195/65R15; the car takes 205/55R16."),
        ),
        (
            {"tire_size": "205/55R16", "load_index": 88, "speed_symbol": "H"},
            (DOES_NOT_FIT, "Its load index is 88; the placard asks for 91."),
        ),
        (
            {"tire_size": "205/55R16", "load_index": 91, "speed_symbol": "t"},
            (DOES_NOT_FIT, "Its speed symbol is T; the placard asks for H."),
        ),
        (
            {"tire_size": "P205/55R16", "load_index": 91, "speed_symbol": "H"},
            (ASK, "The tire is P205/55R16, the placard says 205/55R16: compare the loads."),
        ),
        ({"tire_size": "205/55R16 91Z"}, (ASK, "The tire’s speed symbol is not known.")),
        (
            {"tire_size": "205/55R16", "speed_symbol": "H"},
            (ASK, "The tire’s load index is not known."),
        ),
        ({"tire_size": "sixteen inch"}, (ASK, "The tire’s size “sixteen inch” can’t be read.")),
    ],
)
def test_a_tire_below_the_placard_does_not_fit_and_one_in_doubt_asks(
    stated: dict[str, object], expected: tuple[Answer, str]
) -> None:
    found = [said(fit) for fit in tire(Fitment.from_dict(stated), PLACARD)]
    assert [one for one in found if one[0] is not FITS] == [expected]


def test_a_placard_that_nobody_has_read_is_asked_for() -> None:
    new = Fitment(tire_size="205/55R16 91H")
    assert [said(fit) for fit in tire(new, Car(tire_size="205/55R16"))][1:] == [
        (ASK, "The load index of the car’s placard is not known."),
        (ASK, "The speed symbol of the car’s placard is not known."),
    ]
    assert [said(fit) for fit in tire(new, Car())] == [
        (ASK, "The car’s tire size “” can’t be read.")
    ]


def test_a_weaker_battery_of_the_right_group_does_not_fit() -> None:
    weak = Fitment(bci_group="24f", cold_cranking_amps=500)
    found = battery(weak, Car(bci_group="24F", cold_cranking_amps=585))
    assert [fit.answer for fit in found] == [FITS, DOES_NOT_FIT]


def test_what_is_not_known_of_a_battery_is_asked_for() -> None:
    nothing = [said(fit) for fit in battery(Fitment(), Car())]
    assert nothing == [
        (ASK, "The battery’s BCI group is not known."),
        (ASK, "The battery’s cold-cranking amperes are not known."),
    ]
    of_car = battery(Fitment(bci_group="35", cold_cranking_amps=640), Car())
    assert [said(fit) for fit in of_car] == [
        (ASK, "The BCI group of the car’s battery is not known."),
        (ASK, "How many cold-cranking amperes the car asks for is not known."),
    ]


def test_a_fluid_that_the_maker_does_not_name_is_refused() -> None:
    fluid = make_part("brake_fluid", System.BRAKES, specification="DOT 5")
    car = make_car(specifications=[["brake_fluid", "DOT 3"], ["brake_fluid", "DOT 4"]])
    assert [said(fit) for fit in specification(fluid, car)] == [
        (DOES_NOT_FIT, "It is DOT 5; the maker names DOT 3, DOT 4.")
    ]


def test_a_specification_is_the_same_in_any_spelling() -> None:
    oil = make_part("engine_oil", System.ENGINE, specification="5w-30")
    car = make_car(specifications=[["engine_oil", "5W 30"]])
    assert [fit.answer for fit in specification(oil, car)] == [FITS]


def test_a_specification_that_the_car_lacks_is_asked_for() -> None:
    bulb = make_part("bulb_low_beam", System.LIGHTS, specification="H11")
    assert [said(fit) for fit in specification(bulb, make_car())] == [
        (ASK, "The specification that the car’s maker names is not known.")
    ]


@pytest.mark.parametrize(
    ("stated", "expected"),
    [
        ({"make": "Ford", "model": "Focus"}, "It is for a Ford Focus; the car is a Mazda Mazda3."),
        (
            {"year_from": 2014},
            "It is for model years from 2014; the car is of 2012.",
        ),
        ({"year_to": 2009}, "It is for model years up to 2009; the car is of 2012."),
        (
            {"year_from": 2004, "year_to": 2009},
            "It is for model years 2004 to 2009; the car is of 2012.",
        ),
        ({"engine": "2.5L"}, "It is for engine 2.5L; the car has 2.0L."),
        ({"transmission": "manual"}, "It is for transmission manual; the car has automatic."),
    ],
)
def test_a_part_for_other_cars_does_not_fit_and_says_which(
    stated: dict[str, object], expected: str
) -> None:
    part = make_mazda_part(stated)
    car = make_car(engine="2.0L", transmission="automatic")
    found = [said(fit) for fit in application(part, car)]
    assert [one for one in found if one[0] is not FITS] == [(DOES_NOT_FIT, expected)]


@pytest.mark.parametrize(
    ("stated", "car", "expected"),
    [
        ({"model": ""}, make_car(), "The part does not say which make and model it is for."),
        ({}, Car(make="Mazda"), "The make and model of the car are not known."),
        (
            {"model": "Mazda3 Sport"},
            make_car(),
            "It is for a Mazda Mazda3 Sport; the car is called Mazda Mazda3.",
        ),
        ({"engine": "2.5L"}, make_car(), "It is for one engine only; the car’s is not known."),
        (
            {"engine": "2.0L turbo"},
            make_car(engine="2.0L"),
            "It is for engine 2.0L turbo; the car has 2.0L.",
        ),
        (
            {"transmission": "manual"},
            make_car(),
            "It is for one transmission only; the car’s is not known.",
        ),
        (
            {"year_from": 2010},
            Car(make="Mazda", model="Mazda3"),
            "The model year of the car is not known.",
        ),
    ],
)
def test_what_the_facts_leave_open_is_asked_for(
    stated: dict[str, object], car: Car, expected: str
) -> None:
    part = make_mazda_part(stated)
    found = [said(fit) for fit in application(part, car)]
    assert [one for one in found if one[0] is not FITS] == [(ASK, expected)]


@pytest.mark.parametrize(
    ("system", "answers"), [(System.CHARGING, [FITS]), (System.STEERING, [FITS, ASK])]
)
def test_years_may_be_missing_only_where_nothing_is_at_stake(
    system: System, answers: list[Answer]
) -> None:
    part = make_part("tie_rod_end", system, make="Mazda", model="Mazda3")
    assert [fit.answer for fit in application(part, make_car())] == answers


def test_texts_are_found_by_the_kind_of_part() -> None:
    assert of_kind((("radiator", "A1"), ("Radiator", "A2"), ("fan", "B")), "radiator") == [
        "A1",
        "A2",
    ]
