"""The cheapest assignment, against an independent library."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from program.bank.assignment import assign

MATRICES = st.tuples(st.integers(1, 8), st.integers(1, 8)).flatmap(
    lambda shape: arrays(np.int64, shape, elements=st.integers(-50, 50))
)


@given(MATRICES)
def test_no_other_assignment_is_cheaper(
    costs: np.ndarray[tuple[int, int], np.dtype[np.int64]],
) -> None:
    optimize = pytest.importorskip("scipy.optimize", reason="scipy is not installed")
    found = assign(costs)
    # Source: scipy.optimize.linear_sum_assignment, an independent implementation.
    rows, columns = optimize.linear_sum_assignment(costs)
    chosen = [(row, column) for row, column in enumerate(found) if column is not None]
    assert sum(int(costs[pair]) for pair in chosen) == int(costs[rows, columns].sum())
    assert len({column for _, column in chosen}) == len(chosen) == min(costs.shape)


@given(MATRICES)
def test_the_same_costs_give_the_same_assignment(
    costs: np.ndarray[tuple[int, int], np.dtype[np.int64]],
) -> None:
    assert assign(costs) == assign(costs.copy())
