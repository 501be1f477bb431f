from __future__ import annotations

import json
import re

import pytest
from hypothesis import given
from hypothesis import strategies as st

from vehicles.repairs.parts import Car, Fitment

TEXT = st.sampled_from(["", "Toyota", "2.0L", "front left", "µ"])
NUMBER = st.none() | st.integers(0, 2030)
PAIRS = st.lists(st.tuples(TEXT, TEXT), max_size=3).map(tuple)
FITMENTS = st.builds(Fitment, make=TEXT, engine=TEXT, position=TEXT, unit=TEXT, year_from=NUMBER)
CARS = st.builds(Car, make=TEXT, year=NUMBER, specifications=PAIRS, part_numbers=PAIRS)


@given(FITMENTS)
def test_a_fitment_comes_back_from_json_as_it_was(fitment: Fitment) -> None:
    assert Fitment.from_dict(json.loads(json.dumps(fitment.to_dict()))) == fitment


@given(CARS)
def test_a_car_comes_back_from_json_as_it_was(car: Car) -> None:
    assert Car.from_dict(json.loads(json.dumps(car.to_dict()))) == car


def test_what_says_nothing_is_not_stored() -> None:
    assert Fitment().to_dict() == Car().to_dict() == {}


def test_spaces_around_and_between_words_are_tidied() -> None:
    assert Fitment.from_dict({"make": "  Land   Cruiser "}).make == "Land Cruiser"


@pytest.mark.parametrize(
    ("data", "sentence"),
    [
        ({"colour": "red"}, "“colour” is no fact of a car."),
        ({"year": "2010"}, "“2010” can’t stand for year."),
        ({"year": True}, "“True” can’t stand for year."),
        ({"make": 7}, "“7” can’t stand for make."),
        (
            {"part_numbers": [["radiator"]]},
            "“['radiator']” can’t stand for part_numbers: a pair of kind and text is asked.",
        ),
    ],
)
def test_json_of_another_shape_is_refused(data: dict[str, object], sentence: str) -> None:
    with pytest.raises(ValueError, match=f"^{re.escape(sentence)}$"):
        Car.from_dict(data)
