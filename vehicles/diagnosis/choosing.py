"""Whether to test before choosing, for one decision: what a test is worth, and when not to test.

A test that can't change what is chosen is worth nothing, however much it tells.

Source: value of information as in textbooks of decisions (Pearl 1988); thresholds: Pauker and
Kassirer 1980, formulas from memory and derived again.

>>> buy, leave = (500.0, -200.0), (0.0, 0.0)
>>> test = value_of_information((0.7, 0.3), (buy, leave), ((0.8, 0.2), (0.35, 0.65)))
>>> round(test.without, 6), round(test.value, 6)
(290.0, 0.0)
>>> low, high = thresholds(benefit=300, harm=80, sensitivity=0.9, false_alarms=0.1, cost=10)
>>> round(low, 4), round(high, 4)
(0.0647, 0.6078)
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np

if TYPE_CHECKING:
    from collections.abc import Sequence


@dataclass(frozen=True, kw_only=True)
class Information:
    """What a test is worth to somebody who has to choose, before its own cost."""

    without: float
    seen: tuple[float, ...]
    posteriors: tuple[tuple[float, ...], ...]
    gains: tuple[float, ...]
    value: float


def value_of_information(
    prior: Sequence[float],
    gains: Sequence[Sequence[float]],
    rows: Sequence[Sequence[float]],
) -> Information:
    """Return what a test is worth: `gains` an action in each state, `rows` outcomes in a state.

    `without`: the best expected gain when choosing now. For each outcome: how likely it is seen,
    the states after it, the best expected gain then. The value is never below zero.
    """
    state, gain, row = (np.array(one, dtype=float) for one in (prior, gains, rows))
    joint = state[:, np.newaxis] * row
    seen = joint.sum(axis=0)
    posteriors = (joint / np.where(seen > 0, seen, 1.0)).T
    best = (posteriors @ gain.T).max(axis=1)
    without = float((gain @ state).max())
    return Information(
        without=without,
        seen=tuple(seen.tolist()),
        posteriors=tuple(tuple(one) for one in posteriors.tolist()),
        gains=tuple(best.tolist()),
        value=max(float(seen @ best) - without, 0.0),
    )


def thresholds(
    *, benefit: float, harm: float, sensitivity: float, false_alarms: float, cost: float
) -> tuple[float, float]:
    """Return below which chance of a fault to leave it, and above which to repair without a test.

    `benefit`: loss that a needed repair avoids; `harm`: cost of a needless one; `cost`: of the
    test. Where the test never pays both are the chance at which repairing and leaving are equal.
    """
    missed, clear = 1 - sensitivity, 1 - false_alarms
    low = (false_alarms * harm + cost) / (false_alarms * harm + sensitivity * benefit)
    high = (clear * harm - cost) / (clear * harm + missed * benefit)
    even = harm / (harm + benefit)
    return (low, high) if low < high else (even, even)
