from __future__ import annotations

from datetime import date
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from program.households.stages import (
    MOVES,
    OPEN,
    WAYS_OUT,
    Stage,
    add_business_days,
    decide_by,
    may_move,
    move,
)

USUAL = [
    Stage.CALLED,
    Stage.APPLIED,
    Stage.ACCEPTED,
    Stage.DECIDING,
    Stage.WAITING,
    Stage.BEING_SERVED,
    Stage.BACK_ON_ROAD,
    Stage.FOLLOWED_UP,
]


def test_the_usual_way_is_open_from_the_first_call_to_the_last() -> None:
    assert [may_move(now, to) for now, to in pairwise(USUAL)] == [True] * 7


def test_every_stage_has_its_moves() -> None:
    assert set(MOVES) == set(Stage)


@pytest.mark.parametrize("stage", OPEN)
def test_every_open_stage_has_all_ways_out_and_a_day(stage: Stage) -> None:
    assert [may_move(stage, out) for out in WAYS_OUT] == [True, True, True]
    assert decide_by(stage, date(2026, 11, 2)) is not None


@pytest.mark.parametrize("stage", [Stage.FOLLOWED_UP, *WAYS_OUT])
def test_a_household_that_is_through_waits_for_nobody(stage: Stage) -> None:
    assert decide_by(stage, date(2026, 11, 2)) is None


@pytest.mark.parametrize(
    ("now", "to"),
    [
        (Stage.CALLED, Stage.ACCEPTED),
        (Stage.APPLIED, Stage.BEING_SERVED),
        (Stage.BACK_ON_ROAD, Stage.DECLINED),
        (Stage.WAITING, Stage.WAITING),
    ],
)
def test_no_stage_is_jumped(now: Stage, to: Stage) -> None:
    assert not may_move(now, to)


def test_a_comeback_is_served_again() -> None:
    assert move(Stage.FOLLOWED_UP, Stage.BEING_SERVED) is Stage.BEING_SERVED


def test_a_no_can_be_reviewed() -> None:
    assert move(Stage.DECLINED, Stage.APPLIED) is Stage.APPLIED


def test_a_refused_move_names_those_that_there_are() -> None:
    with pytest.raises(ValueError, match="A household can't go") as refused:
        move(Stage.BACK_ON_ROAD, Stage.WAITING)
    assert str(refused.value) == (
        "A household can't go from “Back on the road” to “Waiting”. "
        "It may go to: Being served, Followed up."
    )


@pytest.mark.parametrize(
    ("stage", "day"),
    [
        (Stage.CALLED, date(2026, 12, 1)),
        (Stage.APPLIED, date(2026, 12, 11)),
        (Stage.WAITING, date(2026, 12, 27)),
    ],
)
def test_each_stage_is_decided_in_its_time(stage: Stage, day: date) -> None:
    # Friday, November 27; 2 and 10 business days, 30 days (common practice, no source).
    assert decide_by(stage, date(2026, 11, 27)) == day


@given(st.dates(date(2020, 1, 1), date(2040, 1, 1)), st.integers(1, 60))
def test_business_days_are_weekdays_and_none_is_skipped(day: date, count: int) -> None:
    end = add_business_days(day, count)
    between = (date.fromordinal(n) for n in range(day.toordinal() + 1, end.toordinal() + 1))
    assert sum(one.isoweekday() <= 5 for one in between) == count
    assert end.isoweekday() <= 5
