from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shared.money import LIMIT_CENTS, MINUS, cents, dollars, share_out, usd

AMOUNTS = st.integers(min_value=-LIMIT_CENTS + 1, max_value=LIMIT_CENTS - 1)


@pytest.mark.parametrize(
    ("typed", "amount"),
    [("0", 0), ("12", 1_200), ("$1,240.50", 124_050), (" -3.00 ", -300), (f"{MINUS}$0.05", -5)],
)
def test_an_amount_is_read_as_people_type_it(typed: str, amount: int) -> None:
    assert cents(typed) == amount


@pytest.mark.parametrize(
    "typed", ["", "ten", "1.5", "1.005", "1,24.50", "12,3456", "$", "--1", "1e3", "١٢٣"]
)
def test_what_is_no_amount_is_refused_with_what_to_type(typed: str) -> None:
    with pytest.raises(ValueError, match="is not an amount") as refused:
        cents(typed)
    assert str(refused.value) == (
        f"“{typed}” is not an amount. Type dollars and cents, such as 1240.50."
    )


def test_an_amount_beyond_the_ledger_is_refused() -> None:
    assert cents("9,999,999,999.99") == LIMIT_CENTS - 1
    with pytest.raises(ValueError, match=r"^“10000000000” is more than this ledger can hold\.$"):
        cents("10000000000")


@given(AMOUNTS)
def test_what_is_written_can_be_read_back(amount: int) -> None:
    assert cents(dollars(amount)) == cents(usd(amount)) == amount


def test_a_loss_is_written_with_a_true_minus_sign_before_the_dollar() -> None:
    assert (dollars(-124_050), usd(-124_050)) == ("−1,240.50", "−$1,240.50")


@given(st.integers(0, LIMIT_CENTS - 1), st.lists(st.integers(0, 1_000), min_size=1))
def test_shares_add_up_and_none_is_a_cent_off_its_due(amount: int, weights: list[int]) -> None:
    parts = share_out(amount, weights)
    even = weights if sum(weights) else [1] * len(weights)

    assert sum(parts) == amount
    assert all(
        abs(part * sum(even) - amount * weight) < sum(even)
        for part, weight in zip(parts, even, strict=True)
    )


def test_the_odd_cent_goes_to_the_earlier_of_two_equal_weights() -> None:
    assert share_out(3, [1, 1]) == [2, 1]


def test_nothing_is_shared_among_nobody() -> None:
    assert share_out(100, []) == []
