"""Tax, shop supplies and corrections, to the cent.

The rounding is that of a receipt, a half cent up: common practice, no source.
"""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shared.policy.defaults import DEFAULTS
from vehicles.repairs.charges import (
    Cash,
    Rates,
    corrected,
    labor_cents,
    supplies_cents,
    tax_cents,
    with_supplies,
)

CENTS = st.integers(0, 5_000_00)
PERCENT = st.integers(0, 200)


@pytest.mark.parametrize(("minutes", "cents"), [(0, 0), (60, 4_000), (1, 67), (90, 6_000)])
def test_labor_is_rounded_up_to_a_cent(minutes: int, cents: int) -> None:
    """One minute at $40.00 an hour is 66 2/3 cents."""
    assert labor_cents(minutes, 4_000) == cents


@pytest.mark.parametrize(
    ("hundredths", "cents", "tax"),
    [(0, 140_00, 0), (825, 140_00, 11_55), (600, 25, 2), (600, 24, 1), (625, 8, 1), (625, 7, 0)],
)
def test_tax_is_rounded_to_a_cent_a_half_up(hundredths: int, cents: int, tax: int) -> None:
    """6 percent of 25 cents is 1.5 cents; 6.25 percent of 8 cents is half a cent."""
    assert tax_cents(cents, Rates(parts_tax_hundredths=hundredths)) == tax


@pytest.mark.parametrize(("percent", "amount"), [(100, 90), (108, 97), (50, 45), (105, 95)])
def test_ninety_minutes_are_corrected_with_a_half_rounded_up(percent: int, amount: int) -> None:
    """105 percent of 90 is 94.5."""
    assert corrected(90, percent) == amount


def test_supplies_stop_at_the_most_of_them_for_a_car() -> None:
    rates = Rates(supplies_percent=5, supplies_most_cents=25_00)
    assert [supplies_cents(one, rates) for one in (0, 499_99, 500_01)] == [0, 25_00, 25_00]
    assert supplies_cents(120_10, rates) == 6_01  # 6.005 dollars


def test_without_the_programs_rule_nothing_is_added() -> None:
    items = [Cash(labor=1, parts=2, outside=3), Cash(parts=5)]
    assert with_supplies(items, Rates()) == Cash(labor=1, parts=7, outside=3)


def test_the_rates_are_the_policies_of_their_names() -> None:
    rules = DEFAULTS | {"parts_tax_hundredths": 825}
    assert Rates.of(rules) == Rates(parts_tax_hundredths=825, supplies_most_cents=25_00)


@given(st.lists(CENTS, min_size=1, max_size=8), PERCENT, st.integers(0, 1_500))
def test_more_parts_never_cost_less(parts: list[int], percent: int, hundredths: int) -> None:
    rates = Rates(
        supplies_percent=percent, supplies_most_cents=25_00, parts_tax_hundredths=hundredths
    )
    rows = [Cash(parts=one, tax=tax_cents(one, rates)) for one in parts]
    fewer, all_of_them = with_supplies(rows[:-1], rates), with_supplies(rows, rates)
    assert 0 <= fewer.total <= all_of_them.total
    assert all_of_them.total - all_of_them.tax - all_of_them.supplies == sum(parts)
