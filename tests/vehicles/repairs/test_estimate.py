from __future__ import annotations

import re
from math import exp, sqrt
from random import Random  # noqa: TC003  # hypothesis reads the annotation
from statistics import NormalDist

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from vehicles.repairs.estimate import (
    APPROVAL_DRAWS,
    SCREEN_DRAWS,
    EstimateItem,
    simulate,
    three_point,
)

Points = tuple[int, int, int]
POINTS = st.lists(st.integers(0, 2_000_00), min_size=3, max_size=3).map(sorted)


def item(id_: int, low: int, likely: int, high: int, **fields: object) -> EstimateItem:
    return EstimateItem(id=id_, low=low, likely=likely, high=high, **fields)  # type: ignore[arg-type]


def fixed(id_: int, amount: int, **fields: object) -> EstimateItem:
    return item(id_, amount, amount, amount, **fields)


def on_time(path: list[Points], days: float) -> float:
    """Return the textbook's odds that a path is done in `days`, by the normal distribution."""
    points = [three_point(*one) for one in path]
    spread = sqrt(sum(point.classic_sd**2 for point in points))
    return NormalDist(sum(point.mean for point in points), spread).cdf(days)


def variance(path: list[Points]) -> float:
    return sum(three_point(*one).classic_sd ** 2 for one in path)


def mean(path: list[Points]) -> float:
    return sum(three_point(*one).mean for one in path)


def test_seven_activities_of_a_public_worked_example() -> None:
    # Critical path 1-3-5-7; text seen: mean 24, variance 5, odds of 28 days .9633 by table.
    path = [(5, 8, 17), (3, 5, 7), (4, 6, 8), (3, 4, 5)]
    assert (mean(path), variance(path)) == pytest.approx((24, 5))
    assert on_time(path, 28) == pytest.approx(0.9633, abs=2e-4)
    assert on_time(path, 28) == pytest.approx(0.96318, abs=1e-5)  # without a table


def test_nine_means_of_a_public_worked_example() -> None:
    # Text seen for the first of them, the others computed a second time by hand.
    nine = [(3, 6, 15), (2, 4, 14), (6, 12, 30), (2, 5, 8), (5, 11, 17), (3, 6, 15), (3, 9, 27)]
    nine += [(1, 4, 7), (4, 19, 28)]
    expected = [7, 16 / 3, 14, 5, 11, 7, 11, 4, 18]
    assert [three_point(*one).mean for one in nine] == pytest.approx(expected)


@pytest.mark.parametrize(
    ("mean_days", "sd", "days", "odds"),
    [
        (40, 5, 50, 0.97725),  # the nine activities above; text seen
        (21, 2, 20, 0.3085),  # the question's text seen, its answers computed
        (21, 2, 23, 0.8413),
        (21, 2, 24.29, 0.95),
    ],
)
def test_odds_of_a_day_in_public_worked_examples(
    mean_days: float, sd: float, days: float, odds: float
) -> None:
    # One activity whose mean and classic deviation are these: (mean - 3 sd, mean, mean + 3 sd).
    likely, reach = round(mean_days), round(3 * sd)
    path = [(likely - reach, likely, likely + reach)]
    assert on_time(path, days) == pytest.approx(odds, abs=1e-4)


def test_the_house_of_hillier_and_lieberman() -> None:
    # Introduction to Operations Research, path A-B-C-E-F-J-L-N; from memory, arithmetic redone.
    half_weeks = [(2, 4, 6), (4, 7, 16), (12, 18, 36), (2, 9, 10)]
    half_weeks += [(8, 8, 20), (6, 18, 18), (2, 11, 14), (10, 11, 18)]
    assert (mean(half_weeks) / 2, variance(half_weeks) / 4) == pytest.approx((44, 9))
    assert on_time(half_weeks, 2 * 47) == pytest.approx(0.8413, abs=1e-4)


def test_the_paper_mill_of_heizer_and_render() -> None:
    # Operations Management, path A-C-E-G-H; from memory, arithmetic redone.
    path = [(1, 2, 3), (1, 2, 3), (1, 4, 7), (3, 4, 11), (1, 2, 3)]
    assert (mean(path), variance(path)) == pytest.approx((15, 3.111), abs=1e-3)
    assert on_time(path, 16) == pytest.approx(0.7157, abs=2e-3)  # the table rounds z to .57
    assert on_time(path, 16) == pytest.approx(0.7146, abs=1e-4)
    assert on_time(path, 19.1) == pytest.approx(0.99, abs=1e-3)


@pytest.mark.parametrize(
    ("points", "classic", "sampled"),
    [((0, 50, 100), 16.67, 18.90), ((10, 12, 100), 15.0, 13.11)],
)
def test_the_two_deviations_differ(points: Points, classic: float, sampled: float) -> None:
    found = three_point(*points)
    assert (found.classic_sd, found.sampled_sd) == pytest.approx((classic, sampled), abs=0.005)


def test_the_sampled_deviation_is_that_of_the_beta_distribution() -> None:
    # Variance of a beta distribution: ab / ((a + b)^2 (a + b + 1)).
    a, b = 1 + 4 * 2 / 90, 1 + 4 * 88 / 90
    expected = 90 * sqrt(a * b / ((a + b) ** 2 * (a + b + 1)))
    assert three_point(10, 12, 100).sampled_sd == pytest.approx(expected)


def test_the_points_of_one_job_are_those_of_the_distribution() -> None:
    # Likely equal to low is a beta distribution with 1 and 5: its quantile is 1 - (1 - p)^(1/5).
    found = simulate([item(1, 0, 0, 1_000_00)], APPROVAL_DRAWS, 3)
    expected = [1_000_00 * (1 - (1 - p) ** 0.2) for p in (0.5, 0.8)]
    assert [found.p50, found.p80] == pytest.approx(expected, rel=0.02)


def test_the_mean_of_the_draws_is_within_half_a_percent_of_the_closed_form() -> None:
    jobs = [item(at, 50_00 * at, 80_00 * at, 200_00 * at) for at in range(1, 11)]
    closed = sum(three_point(job.low, job.likely, job.high).mean for job in jobs)
    assert simulate(jobs, APPROVAL_DRAWS, 11).mean == pytest.approx(closed, rel=0.005)


def test_a_job_that_is_needed_in_seven_of_ten_costs_seven_tenths_on_average() -> None:
    found = simulate([fixed(1, 100_00, probability=0.7)], APPROVAL_DRAWS, 5)
    assert (found.p50, found.p80) == (100_00, 100_00)
    assert found.mean == pytest.approx(70_00, rel=0.02)


def test_of_causes_that_exclude_each_other_exactly_one_is_paid() -> None:
    jobs = [fixed(at, 100_00, probability=0.5, group="no start") for at in (1, 2)]
    found = simulate(jobs, SCREEN_DRAWS, 1)
    assert (found.p50, found.p80, found.mean) == (100_00, 100_00, 100_00)


def test_jobs_of_one_cause_are_needed_together() -> None:
    fan = [fixed(at, 100_00, probability=0.4, group="hot", cause="fan") for at in (1, 2)]
    pump = fixed(3, 200_00, probability=0.6, group="hot", cause="pump")
    found = simulate([*fan, pump], SCREEN_DRAWS, 1)
    assert (found.p50, found.p80, found.mean) == (200_00, 200_00, 200_00)


def test_a_common_factor_keeps_the_range_of_a_program_from_collapsing() -> None:
    # A lognormal factor alone has P80 / P50 = exp(sigma z), z = 0.8416.
    jobs = [item(at, 100_00, 300_00, 800_00) for at in range(1, 101)]
    alone = simulate(jobs, SCREEN_DRAWS, 2)
    moved = simulate(jobs, SCREEN_DRAWS, 2, common_sigma=0.15)
    assert alone.p80 / alone.p50 < 1.05
    assert moved.p80 / moved.p50 == pytest.approx(exp(0.15 * 0.8416), rel=0.03)


def test_the_common_factor_has_mean_one() -> None:
    found = simulate([fixed(1, 100_00)], APPROVAL_DRAWS, 2, common_sigma=0.5)
    assert found.mean == pytest.approx(100_00, rel=0.02)  # without its correction 113.31


def test_the_80_percent_point_of_a_sum_is_not_the_sum_of_the_80_percent_points() -> None:
    jobs = [item(at, 0, 20_00, 200_00) for at in range(1, 6)]
    apart = sum(simulate([job], APPROVAL_DRAWS, 1).p80 for job in jobs)
    assert simulate(jobs, APPROVAL_DRAWS, 1).p80 < 0.9 * apart


def test_one_more_job_leaves_the_draws_of_the_others_alone() -> None:
    first, second = item(1, 0, 50_00, 300_00), item(2, 10_00, 20_00, 90_00)
    apart = [simulate([job], SCREEN_DRAWS, 9).mean for job in (first, second)]
    assert simulate([first, second], SCREEN_DRAWS, 9).mean == pytest.approx(sum(apart), abs=1)


def test_another_seed_draws_otherwise_and_the_same_seed_the_same() -> None:
    job = [item(1, 0, 50_00, 300_00)]
    assert simulate(job, 500, (4, 2)) == simulate(job, 500, (4, 2))
    assert simulate(job, 500, (4, 2)).mean != simulate(job, 500, (4, 3)).mean


def test_nothing_to_do_costs_nothing() -> None:
    found = simulate([], SCREEN_DRAWS, 1)
    assert (found.p50, found.p80, found.mean, found.spread) == (0, 0, 0, {})


@settings(max_examples=40)
@given(st.lists(POINTS, min_size=1, max_size=5), st.randoms())
def test_points_are_in_order_within_bounds_and_spread_to_the_last_cent(
    points: list[list[int]], chance: Random
) -> None:
    jobs = [item(at, *three) for at, three in enumerate(points)]
    found = simulate(jobs, 200, 1)
    assert sum(job.low for job in jobs) <= found.p50 <= found.p80 <= sum(job.high for job in jobs)
    assert sum(found.spread.values()) == found.p80
    chance.shuffle(jobs)
    assert simulate(jobs, 200, 1) == found


@pytest.mark.parametrize(
    ("points", "sentence"),
    [
        ((5, 4, 9), "Low 5, likely 4, high 9 are not in order. "),
        ((-1, 4, 9), "Low -1, likely 4, high 9 are not in order. "),
    ],
)
def test_points_out_of_order_are_refused(points: Points, sentence: str) -> None:
    remedy = "Type three amounts of 0 or more, the smallest first."
    with pytest.raises(ValueError, match=f"^{re.escape(sentence + remedy)}$"):
        three_point(*points)


@pytest.mark.parametrize(
    ("jobs", "draws", "sentence"),
    [
        ([], 0, "0 draws are not possible. Use 1 to 1,000,000."),
        ([fixed(1, 5), fixed(1, 6)], 10, "Two items of the estimate have the same number."),
        (
            [fixed(at, 5, probability=0.6, group="hot") for at in (1, 2)],
            10,
            "The causes of “hot” add up to more than certainty.",
        ),
        (
            [fixed(at, 5, probability=at / 10, group="hot", cause="fan") for at in (1, 2)],
            10,
            "The items of “hot: fan” differ in probability.",
        ),
    ],
)
def test_an_impossible_simulation_is_refused(
    jobs: list[EstimateItem], draws: int, sentence: str
) -> None:
    with pytest.raises(ValueError, match=f"^{re.escape(sentence)}$"):
        simulate(jobs, draws, 1)


def test_a_probability_above_one_is_refused() -> None:
    with pytest.raises(ValueError, match=r"^Item 1: a probability of 1\.2 is not possible\.$"):
        fixed(1, 5, probability=1.2)
