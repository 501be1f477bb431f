"""Sentences about a fluid."""

from __future__ import annotations

from fractions import Fraction

import pytest

from vehicles.fluids.specifications import Kind
from vehicles.fluids.wording import kind_of_bottle, too_much
from vehicles.inspection.units import Quantity


def test_more_than_the_step_is_refused_with_what_to_do_if_it_is_in() -> None:
    amount, most = Quantity(Fraction(1), "L"), Quantity(Fraction(1, 4), "qt")
    assert str(too_much(amount, most, in_steps=True)) == (
        "1 L is more than the 1/4 qt of this step. More shows only once it has settled, and too "
        "much does harm. If it is in already: read it again, and record what the level shows."
    )


@pytest.mark.parametrize("kind", Kind)
def test_each_kind_of_bottle_says_what_is_typed(kind: Kind) -> None:
    assert kind_of_bottle(kind).endswith(".")
