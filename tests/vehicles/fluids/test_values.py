"""Amounts as they are typed. A US quart is 57.75 cubic inches (NIST Handbook 44, from memory)."""

from __future__ import annotations

from fractions import Fraction

import pytest

from vehicles.fluids.values import MOST_POURED, both, volume, with_unit
from vehicles.inspection.units import Quantity


def test_an_amount_without_a_unit_is_in_the_chosen_one() -> None:
    assert volume("1 1/2", "pt") == Quantity(Fraction(3, 2), "pt")
    assert volume("1 L", "pt") == Quantity(Fraction(1), "L")


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("0", "0 qt is not an amount of a fluid. Type more than 0."),
        ("-1 L", "-1 L is not an amount of a fluid. Type more than 0."),
        ("33 pt", "33 pt is not possible here. Type at most 8 qt."),
        ("3 V", "A number in volts can't be turned into quarts."),
        ("3 cups", "“cups” is not a unit this catalogue knows."),
    ],
)
def test_what_is_no_amount_is_refused(typed: str, said: str) -> None:
    with pytest.raises(ValueError) as found:  # noqa: PT011  # its whole text is looked at
        volume(typed, most=MOST_POURED)
    assert str(found.value) == said


def test_a_typed_unit_is_kept_and_a_missing_one_is_added() -> None:
    typed = ["1/2", " 0.8  L", "12 oz", "1 quart"]
    assert [with_unit(one) for one in typed] == ["1/2 qt", "0.8 L", "12 oz", "1 quart"]


def test_the_milliliters_beside_an_amount_are_never_more_than_it() -> None:
    eighths = [Quantity(Fraction(n, 8), "qt") for n in (1, 4, 8)]
    assert [str(both(one)) for one in eighths] == [
        "1/8 qt (118 mL)",
        "1/2 qt (473 mL)",
        "1 qt (946 mL)",
    ]
