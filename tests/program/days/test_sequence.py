"""What comes before what, and what shares a stay in a bay."""

from __future__ import annotations

import pytest

from program.days.bookings import Place
from program.days.sequence import before, stays_of
from tests.program.days.shops import job


def test_what_comes_before_is_counted_far_back() -> None:
    jobs = [job("a"), job("b", after=("a",)), job("c", after=("b",))]
    assert before(jobs)["c"] == frozenset({"a", "b"})


def test_a_job_waits_for_no_stranger() -> None:
    with pytest.raises(ValueError, match="“B” waits for x, which isn’t there"):
        before([job("b", after=("x",))])


def test_flat_work_before_a_lift_job_is_done_on_the_lift() -> None:
    jobs = [job("open"), job("up", place=Place.LIFT, after=("open",)), job("close", after=("up",))]
    assert [(stay.lift, stay.job_ids) for stay in stays_of(jobs)] == [
        (True, ("open", "up")),
        (False, ("close",)),
    ]


def test_being_away_parts_two_stays() -> None:
    jobs = [
        job("off"),
        job("gone", place=Place.AWAY, away_days=1, after=("off",)),
        job("on", after=("gone",)),
    ]
    assert [stay.job_ids for stay in stays_of(jobs)] == [("off",), ("on",)]


def test_a_road_test_takes_no_bay() -> None:
    assert stays_of([job("road", place=Place.NONE)]) == []
