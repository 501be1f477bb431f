from __future__ import annotations

from dataclasses import fields, replace
from datetime import date, timedelta
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from program.households.need import DEFAULT_WEIGHTS, Circumstances, need_weight

TODAY = date(2026, 11, 25)
circumstances = st.builds(
    Circumstances,
    children=st.integers(0, 9),
    works_by_car=st.booleans(),
    cares_for_someone=st.booleans(),
    no_transit=st.booleans(),
    days_waiting=st.integers(0, 400),
    threat=st.just("Job starts"),
    threat_on=st.none() | st.dates(TODAY - timedelta(days=90), TODAY + timedelta(days=90)),
)
weights = st.dictionaries(st.sampled_from(sorted(DEFAULT_WEIGHTS)), st.integers(0, 20))


@pytest.mark.parametrize(
    ("told", "weight"),
    [
        ({}, 1),
        ({"children": 1}, 3),
        ({"children": 4}, 3),
        ({"works_by_car": True}, 4),
        ({"cares_for_someone": True}, 3),
        ({"no_transit": True}, 3),
        ({"days_waiting": 29}, 1),
        ({"days_waiting": 30}, 2),
        ({"days_waiting": 400}, 4),
        ({"threat_on": TODAY}, 4),
        ({"threat_on": TODAY + timedelta(days=30)}, 4),
        ({"threat_on": TODAY + timedelta(days=31)}, 1),
        ({"threat_on": TODAY - timedelta(days=1)}, 1),
    ],
)
def test_each_circumstance_counts_its_points(told: dict[str, Any], weight: int) -> None:
    assert need_weight(Circumstances(**told), today=TODAY).weight == weight


def test_each_point_says_what_it_is_for() -> None:
    told = Circumstances(
        cares_for_someone=True,
        no_transit=True,
        days_waiting=65,
        threat="Job starts",
        threat_on=date(2026, 12, 1),
    )
    assert [str(point.sentence) for point in need_weight(told, today=TODAY).points] == [
        "Accepted: 1.",
        "Drives somebody who depends on it: 2.",
        "No bus or train will do: 2.",
        "Waiting for 65 days: 2.",
        "Job starts on Tuesday, December 1: 3.",
    ]


def test_the_board_sets_its_own_points() -> None:
    told = Circumstances(children=1, works_by_car=True)
    need = need_weight(told, today=TODAY, weights={"children": 0, "work": 7})
    assert {point.key: point.points for point in need.points} == {"accepted": 1, "work": 7}


@pytest.mark.parametrize("key", ["age", "sex", "religion", "race", "national_origin", "disability"])
def test_who_somebody_is_never_counts(key: str) -> None:
    assert key not in {field.name for field in fields(Circumstances)}
    with pytest.raises(
        ValueError, match=f"^“{key}” does not count toward need. These do: accepted,"
    ):
        need_weight(Circumstances(), today=TODAY, weights={key: 1})


def test_no_circumstance_takes_points_away() -> None:
    with pytest.raises(ValueError, match=r"^“work” would take away 2 points\. Give 0 or more\.$"):
        need_weight(Circumstances(), today=TODAY, weights={"work": -2})


@given(circumstances, weights)
def test_the_weight_is_the_sum_of_the_points_shown(
    told: Circumstances, board: dict[str, int]
) -> None:
    need = need_weight(told, today=TODAY, weights=board)
    assert need.weight == sum(point.points for point in need.points)
    assert min((point.points for point in need.points), default=1) > 0


@given(circumstances, weights)
def test_a_longer_wait_never_lowers_the_weight(told: Circumstances, board: dict[str, int]) -> None:
    later = replace(told, days_waiting=told.days_waiting + 10)
    now, then = (need_weight(one, today=TODAY, weights=board).weight for one in (told, later))
    assert then >= now
