"""What was typed for a measured point becomes exact numbers."""

from __future__ import annotations

from datetime import date
from fractions import Fraction

import pytest

from vehicles.inspection.catalogue import load
from vehicles.inspection.reading import compared, day_read, typed, units_offered
from vehicles.inspection.units import Quantity

CATALOGUE = load()
ROTOR = CATALOGUE["brake-rotor"]
BOILING = CATALOGUE["brake-fluid-boiling"]


def test_one_unit_counts_for_a_number_and_the_figure_beside_it() -> None:
    both = (Quantity(Fraction("22.4"), "mm"), Quantity(Fraction(23), "mm"))
    assert typed(ROTOR, "22.4 min 23 mm", "") == both
    assert typed(ROTOR, "22.4 mm min 23", "") == both
    assert typed(ROTOR, "22.4 min 23", "mm") == both


def test_a_temperature_is_compared_across_the_scales() -> None:
    # 49 CFR 571.116 S5.1.2: 155 degC is 311 degF, in a letter of NHTSA; text seen.
    number, marked = typed(BOILING, "311 degF min 155 degC", "")
    assert marked is not None
    assert compared(BOILING, number) == compared(BOILING, marked) == 155


def test_a_missing_figure_is_asked_for_with_an_example_of_its_kind() -> None:
    with pytest.raises(ValueError, match=r"^Brake fluid boiling point") as caught:
        typed(BOILING, "150", "")
    assert str(caught.value) == (
        "Brake fluid boiling point is typed with the maker's minimum: “150 °C min 140 °C”."
    )


def test_every_point_with_a_figure_of_its_own_has_an_example() -> None:
    for criterion in CATALOGUE.criteria.values():
        if criterion.marked_limit:
            with pytest.raises(ValueError, match=r"is typed with the maker's m\w+imum: “.+”\.$"):
                typed(criterion, "1", "")


@pytest.mark.parametrize(
    ("code", "units"),
    [
        ("tire-tread", ["32nds", "mm"]),
        ("steering-toe", ["percent"]),
        ("brake-stop", ["ft"]),
        ("obd-monitors", ["monitors"]),
    ],
)
def test_a_point_is_read_in_its_own_unit_and_its_partner(code: str, units: list[str]) -> None:
    offered = [unit.code for unit in units_offered(CATALOGUE[code])]
    assert offered[: len(units)] == units


ARRIVED, TODAY = date(2026, 11, 10), date(2026, 11, 25)


@pytest.mark.parametrize(
    ("read", "counts"),
    [
        (TODAY, TODAY),
        (date(2026, 11, 24), date(2026, 11, 24)),
        (date(2026, 11, 18), date(2026, 11, 18)),
        (date(2026, 11, 26), TODAY),
    ],
)
def test_a_reading_counts_as_of_the_day_it_was_read(read: date, counts: date) -> None:
    assert day_read(read, today=TODAY, arrived_on=ARRIVED) == counts


@pytest.mark.parametrize(
    ("read", "sentence"),
    [
        (
            date(2026, 11, 17),
            "This was read on 2026-11-17, more than 7 days ago. Read it again.",
        ),
        (
            date(2026, 11, 9),
            "This was read on 2026-11-09, before the car came. Read it again.",
        ),
    ],
)
def test_a_reading_kept_too_long_is_read_again(read: date, sentence: str) -> None:
    with pytest.raises(ValueError, match=f"^{sentence}$"):
        day_read(read, today=TODAY, arrived_on=ARRIVED)
