"""Amounts that add up to one, against trying every choice."""

from __future__ import annotations

from itertools import combinations

from hypothesis import given
from hypothesis import strategies as st

from program.bank.splitting import MOST_PARTS, only_sum

AMOUNTS = st.lists(st.integers(-60, 60).filter(bool), max_size=9)


@given(AMOUNTS, st.integers(-90, 90).filter(bool))
def test_the_only_choice_is_found_and_no_other(amounts: list[int], total: int) -> None:
    sign = 1 if total > 0 else -1
    usable = [place for place, amount in enumerate(amounts) if amount * sign > 0]
    every = [
        places
        for size in range(1, MOST_PARTS + 1)
        for places in combinations(usable, size)
        if sum(amounts[place] for place in places) == total
    ]
    assert only_sum(amounts, total) == (every[0] if len(every) == 1 else None)


def test_two_equal_amounts_leave_no_only_choice() -> None:
    assert only_sum([500, 500, 200], 700) is None


def test_more_parts_than_a_deposit_has_are_left_alone() -> None:
    assert only_sum([2**place for place in range(12)], 2**9 - 1) is None


def test_a_search_that_takes_too_long_says_nothing() -> None:
    amounts = list(range(1000, 1040))
    assert only_sum(amounts, 5105, steps=50) is None
