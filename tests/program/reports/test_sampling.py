"""Drawing a sample that anybody can draw again."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from program.reports.sampling import SAMPLE, drawn


@given(st.sets(st.integers(1, 10**6), max_size=200), st.integers(1, 40), st.integers(0, 10**6))
def test_a_sample_is_some_of_them_once_each_in_rising_order(
    numbers: set[int], count: int, seed: int
) -> None:
    sample = drawn(numbers, count=count, seed=seed)
    assert sample == sorted(set(sample) & numbers)
    assert len(sample) == min(count, len(numbers))


def test_the_same_seed_draws_the_same_and_another_draws_others() -> None:
    first = drawn(range(1000), seed=1)
    assert first == drawn(reversed(range(1000)), seed=1)
    assert first != drawn(range(1000), seed=2)
    assert len(first) == SAMPLE


def test_each_has_the_same_chance() -> None:
    """Over 4,000 samples of 5 from 20 each is drawn 1,000 times; five deviations are 137."""
    seen = dict.fromkeys(range(20), 0)
    for seed in range(4_000):
        for number in drawn(range(20), count=5, seed=seed):
            seen[number] += 1
    assert max(abs(times - 1_000) for times in seen.values()) < 137


def test_an_empty_sample_is_refused() -> None:
    with pytest.raises(ValueError, match=r"A sample holds at least one transfer\."):
        drawn([1, 2], count=0, seed=1)
