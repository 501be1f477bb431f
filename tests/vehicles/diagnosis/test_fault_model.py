"""What a model says of a check when several faults are present.

Sources: Henrion 1989 and Díez 1993 for the leaky noisy-OR and its two conventions; the figures
0.911 and 0.928 are those of `algorithms` worked example “noisy_or_leaky” (text seen: 0.1, 0.64,
0.82, 0.928; 0.911 computed).
"""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.vehicles.diagnosis.models import a_check, a_fault, a_model
from vehicles.diagnosis.fault_model import (
    Effort,
    cumulative,
    net_cumulative,
    outcome_row,
    unlisted_row,
)

LEAK = (0.9, 0.1)


def row_of(positive: float) -> tuple[float, float]:
    return (1 - positive, positive)


def test_compound_figures_combine_as_henrion_reads_them() -> None:
    check = a_check(sound=LEAK, given={"c1": row_of(0.8), "c2": row_of(0.6)})
    assert outcome_row(check, ("c1", "c2"))[1] == pytest.approx(0.9111111111)


def test_net_figures_combine_as_diez_reads_them() -> None:
    """Net strengths 0.8 and 0.6 are compound 0.82 and 0.64 at a leak of 0.1."""
    check = a_check(sound=LEAK, given={"c1": row_of(0.82), "c2": row_of(0.64)})
    assert outcome_row(check, ("c1", "c2"))[1] == pytest.approx(0.928)


def test_one_fault_gives_its_row_and_none_the_sound_one() -> None:
    check = a_check(sound=LEAK, given={"c1": (0.25, 0.75)})
    assert outcome_row(check, ("c1", "elsewhere")) == (0.25, 0.75)
    assert outcome_row(check, ("elsewhere",)) == LEAK


def test_the_worst_of_three_outcomes_is_seen() -> None:
    check = a_check(
        outcomes=("full", "low", "empty"),
        sound=(1.0, 0.0, 0.0),
        given={"a": (0.5, 0.5, 0.0), "b": (0.5, 0.0, 0.5)},
    )
    assert outcome_row(check, ("a", "b")) == pytest.approx((0.25, 0.25, 0.5))


SHARES = st.lists(st.floats(0.01, 1), min_size=3, max_size=3)


@given(SHARES, SHARES, SHARES)
def test_every_row_sums_to_one(sound: list[float], one: list[float], other: list[float]) -> None:
    rows = [tuple(share / sum(row) for share in row) for row in (sound, one, other)]
    check = a_check(
        outcomes=("full", "low", "empty"), sound=rows[0], given={"a": rows[1], "b": rows[2]}
    )
    found = outcome_row(check, ("a", "b"))
    assert sum(found) == pytest.approx(1)
    assert min(found) >= 0


def test_a_net_row_never_falls_nor_exceeds_one() -> None:
    assert net_cumulative((0.5, 0.5), (0.9, 0.1)) == (1.0, 1.0)
    assert net_cumulative((0.8, 0.1, 0.1), (0.4, 0.0, 0.6)) == pytest.approx((0.5, 0.5, 1.0))


def test_a_cumulated_row_ends_in_exactly_one() -> None:
    assert cumulative((0.1, 0.2, 0.7)) == pytest.approx((0.1, 0.3, 1.0))
    assert cumulative((0.1, 0.2, 0.7))[-1] == 1.0


def test_a_cause_that_is_not_listed_proves_no_listed_part() -> None:
    assert unlisted_row(a_check(sound=LEAK)) == (0.5, 0.5)
    assert unlisted_row(a_check(sound=LEAK, names={"hose": ("yes",)})) == LEAK


def test_an_effort_costs_its_minutes_and_its_cents() -> None:
    assert Effort(minutes=30, cents=250).cost(3_400) == 1_950


def test_what_a_model_does_not_have_is_said() -> None:
    model = a_model([a_fault("fan", 1.0)], [a_check("level", given={})])
    with pytest.raises(ValueError, match="“Engine runs hot” has no fault “wing”"):
        model.fault("wing")
    with pytest.raises(ValueError, match="“Engine runs hot” has no check “wing”"):
        model.check("wing")
    with pytest.raises(ValueError, match="“Level” can’t show “burst”"):
        model.check("level").place("burst")
