"""The sweep through the faults, against every set of faults counted by itself."""

from __future__ import annotations

from itertools import product
from typing import TYPE_CHECKING

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from vehicles.diagnosis.solving import MOST_OPEN, Case, Columns, TooMuch, plan, sweep

if TYPE_CHECKING:
    from vehicles.diagnosis.belief import Array

FAULTS, FINDINGS = 3, 3
NUMBERS = st.integers(0, 10).map(lambda tenths: tenths / 10)


def matrix(rows: int) -> st.SearchStrategy[Array]:
    row = st.lists(NUMBERS, min_size=FINDINGS, max_size=FINDINGS)
    return st.lists(row, min_size=rows, max_size=rows).map(np.array)


def counted(strength: Array, prior: Array, leak: Array) -> tuple[float, list[float]]:
    """Return P(all findings positive) and P(fault, all positive) by counting every set."""
    total, each = 0.0, [0.0] * FAULTS
    for there in product([0, 1], repeat=FAULTS):
        p = np.prod([prior[f] if there[f] else 1 - prior[f] for f in range(FAULTS)])
        for c in range(FINDINGS):
            bare = (1 - leak[c]) * np.prod([1 - strength[f, c] * there[f] for f in range(FAULTS)])
            p *= 1 - bare
        total += p
        each = [one + p * there[f] for f, one in enumerate(each)]
    return float(total), [float(one) for one in each]


@given(matrix(FAULTS), st.lists(NUMBERS, min_size=3, max_size=3), matrix(1))
def test_the_sweep_equals_counting_every_set(
    strength: Array, prior: list[float], leaks: Array
) -> None:
    columns = Columns(
        prior=np.array(prior)[:, None],
        spares=np.ones((FAULTS, 1)),
        unexplained=1 - leaks[0][:, None],
        weight=np.ones(1),
    )
    found, present = sweep(plan(strength, range(FAULTS)), columns, backward=True)
    total, each = counted(strength, np.array(prior), leaks[0])
    assert found[0] == pytest.approx(total, abs=1e-12)
    busy = [f for f in range(FAULTS) if strength[f].any()]
    assert [present[f, 0] for f in busy] == pytest.approx([each[f] for f in busy], abs=1e-12)


def test_more_than_is_computed_is_refused() -> None:
    many = MOST_OPEN + 1
    strength = np.full((2, many), 0.5)
    columns = Columns(
        prior=np.full((2, 1), 0.1),
        spares=np.ones((2, 1)),
        unexplained=np.full((many, 1), 0.9),
        weight=np.ones(1),
    )
    case = Case(steps=plan(strength, range(2)), columns=columns, leak=np.ones(1))
    with pytest.raises(TooMuch, match=f"{many} findings hang together"):
        case.swept(backward=False)
