"""What is asked at a point: numbers in the units people read, or the answers it can have."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from vehicles.inspection.asking import answers, asked, range_of
from vehicles.inspection.catalogue import load
from vehicles.inspection.criteria import DeficiencyClass
from vehicles.inspection.reading import typed

if TYPE_CHECKING:
    from vehicles.inspection.criteria import Criterion

CATALOGUE = load().criteria
MEASURED = [one for one in CATALOGUE.values() if one.is_measured]


def test_a_point_that_is_looked_at_offers_good_first_and_each_reason_with_its_class() -> None:
    assert asked(CATALOGUE["horn"]) == {"answers": answers(CATALOGUE["horn"])}
    assert answers(CATALOGUE["horn"])[:3] == [
        ("good", "Good"),
        ("7.7 a", "Horn is weak or works at times: minor"),
        ("7.7 a.2", "Horn does not work: major"),
    ]


def test_a_reason_of_no_class_stands_without_one() -> None:
    bare = [
        (criterion, reason)
        for criterion in CATALOGUE.values()
        for reason in criterion.reasons
        if not criterion.is_measured and reason.ranks_as is DeficiencyClass.NONE
    ]
    assert bare != []
    assert [one for criterion, one in bare if (one.key, one.text) not in answers(criterion)] == []


@pytest.mark.parametrize(
    ("code", "marked"),
    [
        ("brake-rotor", "Minimum marked on the part"),
        ("brake-drum", "Maximum marked on the part"),
        ("tire-tread", ""),
    ],
)
def test_a_limit_that_the_part_bears_is_asked_for(code: str, marked: str) -> None:
    assert asked(CATALOGUE[code])["marked"] == marked


# International yard and pound, 1959: 1 in is 25.4 mm; common knowledge, from memory.
def test_the_same_range_is_said_in_each_unit() -> None:
    assert range_of(CATALOGUE["brake-rotor"]) == "0.15 to 2 in, or 3.81 to 50.8 mm"
    [inches, millimeters] = asked(CATALOGUE["brake-rotor"])["units"]
    assert (inches["least"], inches["most"]) == (0.15, 2.0)
    assert (millimeters["least"], millimeters["most"]) == (3.81, 50.8)


def test_a_sign_is_written_after_the_greater_number_only() -> None:
    assert range_of(CATALOGUE["brake-fluid-boiling"]) == "20 to 350 °C"


@pytest.mark.parametrize("criterion", MEASURED, ids=lambda one: one.code)
def test_each_unit_asked_for_can_be_typed(criterion: Criterion) -> None:
    for unit in asked(criterion)["units"]:
        marked = f" {criterion.marked_limit} {unit['most']}" if criterion.marked_limit else ""
        number, _ = typed(criterion, f"{unit['most']}{marked}", unit["code"])
        assert number.unit == unit["code"]
