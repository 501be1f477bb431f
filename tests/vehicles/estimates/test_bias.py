"""A program's own bias: recovered from jobs that have it, and silent where there are few."""

from __future__ import annotations

from math import exp, log, sqrt
from random import Random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from vehicles.estimates.actuals import Job, Kind, point
from vehicles.estimates.bias import LEAST_JOBS, bias, by_system, student_t, wait
from vehicles.shop.systems import System


def job(at: int, actual: int, **fields: object) -> Job:
    values = {"system": System.BRAKES, "low": 60, "likely": 80, "high": 120} | fields
    return Job(id=at, actual=actual, **values)  # type: ignore[arg-type]


def drawn(count: int, ratio: float, wide: float, seed: int = 1) -> list[Job]:
    """Return jobs whose actual is beta-PERT around likely, moved by `ratio`, `wide` as wide."""
    chance, found = Random(seed), []
    for at in range(count):
        likely = chance.randint(300, 3_000)
        low, high = likely * 7 // 10, likely * 2
        shape = (likely - low) / (high - low)
        x = low + (high - low) * chance.betavariate(1 + 4 * shape, 5 - 4 * shape)
        actual = round(ratio * (likely + wide * (x - likely)))
        found.append(job(at, max(actual, 1), low=low, likely=likely, high=high))
    return found


@pytest.mark.parametrize(
    ("degrees", "table"), [(4, 2.776), (7, 2.365), (9, 2.262), (29, 2.045), (60, 2.000)]
)
def test_students_t_is_that_of_the_table(degrees: int, table: float) -> None:
    """NIST/SEMATECH e-Handbook of Statistical Methods, 1.3.6.7.2, t at 0.975; from memory."""
    assert student_t(degrees) == pytest.approx(table, abs=2e-3 if degrees == 4 else 6e-4)


def test_twice_and_half_as_much_as_likely_cancel_out() -> None:
    found = bias([job(at, 160 if at % 2 else 40) for at in range(8)])
    assert found is not None
    assert found.ratio == pytest.approx(1)
    # Deviation of the logarithms: ln 2 times the root of 8/7; t of 7 degrees 2.365.
    assert found.high == pytest.approx(exp(2.365 * log(2) * sqrt(8 / 7) / sqrt(8)), rel=1e-3)
    assert found.low == pytest.approx(1 / found.high)
    assert not found.is_sure


def test_jobs_that_always_take_a_quarter_more_say_so() -> None:
    found = bias([job(at, 100) for at in range(9)])
    assert found is not None
    assert found.ratio == pytest.approx(1.25)
    assert (found.correction_percent, found.count) == (125, 9)
    assert str(found.sentence(Kind.CASH)) == (
        "Parts and work elsewhere cost 1.25 times what was likely: 9 jobs, between 1.25 and 1.25 "
        "in 95 of 100 such records."
    )
    assert str(found.sure_sentence) == "The estimates are too low."


def test_below_eight_jobs_nothing_is_said() -> None:
    jobs = [job(at, 100) for at in range(LEAST_JOBS - 1)]
    assert bias([*jobs, job(7, 100, low=0, likely=0)]) is None
    assert str(wait(jobs)) == "7 jobs are on record; from 8 on they say something."


def test_right_ranges_hold_eight_in_ten() -> None:
    """What the definition of an 80 percent point asks; 2,000 drawn jobs, deviation 0.9 percent."""
    jobs = drawn(2_000, ratio=1, wide=1)
    found = bias(jobs)
    assert found is not None
    assert found.held / found.count == pytest.approx(0.8, abs=0.03)
    assert sum(one.actual <= point(one, 0.5) for one in jobs) / 2_000 == pytest.approx(
        0.5, abs=0.04
    )


def test_ranges_that_are_too_narrow_have_to_be_widened() -> None:
    narrow, right = bias(drawn(2_000, ratio=1, wide=1.8)), bias(drawn(2_000, ratio=1, wide=1))
    assert narrow is not None
    assert right is not None
    assert narrow.held < right.held
    assert narrow.widening is not None
    assert right.widening is not None
    assert narrow.widening > 1.4 * right.widening


def test_jobs_without_a_range_have_no_width_to_correct() -> None:
    found = bias([job(at, 90, low=80, high=80) for at in range(8)])
    assert found is not None
    assert (found.held, found.widening) == (0, None)
    assert str(found.widening_sentence) == "No job had a range to look at."


def test_only_systems_with_jobs_enough_are_named() -> None:
    brakes = [job(at, 100) for at in range(8)]
    cooling = [job(at, 70, system=System.COOLING) for at in range(8, 15)]
    found = by_system([*brakes, *cooling])
    assert [(system, one.count) for system, one in found.items()] == [(System.BRAKES, 8)]


@pytest.mark.parametrize(("actual", "percent"), [(8, 50), (800, 200)])
def test_a_correction_stays_within_half_and_double(actual: int, percent: int) -> None:
    found = bias([job(at, actual) for at in range(8)])
    assert found is not None
    assert found.correction_percent == percent


def test_what_chance_alone_explains_is_said() -> None:
    found = bias([job(at, actual) for at, actual in enumerate((60, 70, 80, 90, 100, 70, 85, 95))])
    assert found is not None
    assert str(found.sure_sentence) == (
        "That is no more than chance: there is nothing to correct yet."
    )
    assert str(found.held_sentence) == (
        "6 of 8 stayed at or below their 80 percent point: 75 in 100, between 41 and 93 in 95 of "
        "100 such records. With right ranges it is 80."
    )


@given(st.lists(st.integers(1, 500), min_size=8, max_size=30), st.randoms())
def test_the_order_of_jobs_does_not_matter_and_the_interval_holds_the_ratio(
    actuals: list[int], chance: Random
) -> None:
    jobs = [job(at, actual) for at, actual in enumerate(actuals)]
    found = bias(jobs)
    chance.shuffle(jobs)
    assert found is not None
    assert bias(jobs) == found
    assert found.low <= found.ratio * (1 + 1e-9)
    assert found.ratio <= found.high * (1 + 1e-9)
