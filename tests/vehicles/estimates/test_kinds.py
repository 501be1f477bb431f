"""What a chosen price does to the range of a part."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from vehicles.estimates.kinds import PriceSource, priced_around

CENTS = st.integers(0, 2_000_00)


@pytest.mark.parametrize("before", [(None, None, None), (None, 250, None), (0, 0, 0)])
def test_a_price_without_a_range_before_has_none_after(
    before: tuple[int | None, int | None, int | None],
) -> None:
    assert priced_around(500, PriceSource.GUESS, before) == (500, 500, 500)


@given(CENTS, st.sampled_from(PriceSource), st.lists(CENTS, min_size=3, max_size=3).map(sorted))
def test_prices_stay_in_order_and_a_named_one_is_one_figure(
    cents: int, source: PriceSource, before: list[int]
) -> None:
    low, likely, high = priced_around(cents, source, (before[0], before[1], before[2]))
    assert 0 <= low <= likely == cents <= high
    if source.is_named:
        assert low == high


def test_only_what_a_supplier_said_is_named() -> None:
    assert [one.label for one in PriceSource if not one.is_named] == [
        "Price list",
        "Bought before",
        "Guess",
    ]
