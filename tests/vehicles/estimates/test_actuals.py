"""Odds of one job, against closed forms and a finite sum."""

from __future__ import annotations

import re
from math import comb

import pytest
from hypothesis import given
from hypothesis import strategies as st

from vehicles.estimates.actuals import Job, Kind, beta_below, missing_of, point
from vehicles.shop.systems import System


def job(low: int, likely: int, high: int, actual: int = 1) -> Job:
    return Job(id=1, system=System.BRAKES, low=low, likely=likely, high=high, actual=actual)


@pytest.mark.parametrize("x", [0.05, 0.3, 0.5, 0.8, 0.99])
@pytest.mark.parametrize("a", [1, 2, 3, 4, 5])
def test_the_beta_distribution_is_the_tail_of_a_binomial(a: int, x: float) -> None:
    """Abramowitz and Stegun 26.5.24, from memory: five trials, at least `a` of them come true."""
    tail = sum(comb(5, k) * x**k * (1 - x) ** (5 - k) for k in range(a, 6))
    assert beta_below(a, 6 - a, x) == pytest.approx(tail, abs=1e-13)


@pytest.mark.parametrize("share", [0.2, 0.5, 0.8])
def test_points_of_a_job_whose_likely_value_is_an_end_have_a_closed_form(share: float) -> None:
    """Beta(1, 5) and beta(5, 1): 1 - (1 - p)^(1/5), and p^(1/5)."""
    million = 1_000_000
    assert point(job(0, 0, million), share) == round(million * (1 - (1 - share) ** 0.2))
    assert point(job(0, million, million), share) == round(million * share**0.2)


def test_the_middle_of_an_even_job_is_its_likely_value() -> None:
    assert point(job(60, 90, 120), 0.5) == 90


def test_a_job_without_a_range_has_one_point() -> None:
    assert [point(job(80, 80, 80), share) for share in (0.1, 0.8)] == [80, 80]


@given(st.lists(st.integers(0, 10_000), min_size=3, max_size=3).map(sorted))
def test_points_rise_with_the_share_and_stay_within_the_range(three: list[int]) -> None:
    one = job(*three)
    found = [point(one, share) for share in (0.01, 0.2, 0.5, 0.8, 0.99)]
    assert found == sorted(found)
    assert one.low <= found[0] <= found[-1] <= one.high


@pytest.mark.parametrize(
    ("minutes", "cents", "bought", "missing"),
    [
        (None, None, True, ("minutes", "cost")),
        (None, None, False, ("minutes",)),
        (90, None, True, ("cost",)),
        (0, 0, True, ()),
    ],
)
def test_a_cost_is_missed_only_where_something_was_bought(
    minutes: int | None,
    cents: int | None,
    bought: bool,  # noqa: FBT001 (a case of the table)
    missing: tuple[str, ...],
) -> None:
    assert missing_of(took_minutes=minutes, cost_cents=cents, bought=bought) == missing


def test_a_job_that_nothing_was_likely_of_is_not_counted() -> None:
    assert [one.counts for one in (job(0, 0, 5), job(1, 1, 5), job(1, 1, 5, 0))] == [
        False,
        True,
        False,
    ]


@pytest.mark.parametrize("three", [(2, 1, 3), (-1, 1, 3), (1, 4, 3)])
def test_points_out_of_order_are_refused(three: tuple[int, int, int]) -> None:
    low, likely, high = three
    sentence = (
        f"Job 1: {low}, {likely}, {high} and 1 are not three points in order and an amount of 0 "
        "or more."
    )
    with pytest.raises(ValueError, match=f"^{re.escape(sentence)}$"):
        job(*three)


def test_a_kind_is_called_at_the_start_of_a_sentence() -> None:
    assert [kind.label for kind in Kind] == ["Labor", "Parts and work elsewhere"]
