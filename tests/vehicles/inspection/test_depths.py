"""The three depths, what each reads, and when final readings no longer count."""

from __future__ import annotations

from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from vehicles.inspection.applies import places
from vehicles.inspection.catalogue import load
from vehicles.inspection.criteria import Group
from vehicles.inspection.depths import FINAL_DAYS, FINAL_MILES, Depth, criteria_at, expired
from vehicles.intake.car import CarFacts
from vehicles.shop.systems import System

CATALOGUE = load()
CRITERIA = CATALOGUE.criteria.values()
READ = date(2026, 11, 2)


def codes(depth: Depth) -> list[str]:
    return [one.code for one in criteria_at(CRITERIA, depth, CarFacts())]


def test_each_depth_has_its_minutes() -> None:
    # Common practice, no source.
    assert [(one.label, one.minutes) for one in Depth] == [
        ("20-minute look", 20),
        ("Full sheet", 75),
        ("Final sheet", 45),
    ]


def test_the_look_is_about_twenty_five_points() -> None:
    points = [
        place
        for one in criteria_at(CRITERIA, Depth.LOOK, CarFacts())
        for place in places(one, CarFacts())
    ]
    assert 20 <= len(points) <= 30


def test_the_look_reads_every_point_that_can_end_it() -> None:
    stops = {one.code for one in CRITERIA if any(reason.stops for reason in one.reasons)}
    assert stops == {"vin-match", "title-papers", "flood-traces", "structure"}
    assert stops <= set(codes(Depth.LOOK))


def test_in_a_look_what_can_end_it_comes_first() -> None:
    look = criteria_at(CRITERIA, Depth.LOOK, CarFacts())
    for group in Group:
        stops = [any(reason.stops for reason in one.reasons) for one in look if one.group is group]
        assert stops == sorted(stops, reverse=True)


def test_the_full_sheet_reads_everything_a_car_here_has() -> None:
    assert set(codes(Depth.FULL)) == {one.code for one in CRITERIA if one.fitted_us}


@pytest.mark.parametrize(
    "system", [System.BRAKES, System.STEERING, System.TIRES, System.WHEELS, System.RESTRAINT]
)
def test_the_final_sheet_reads_the_systems_that_have_to_hold(system: System) -> None:
    final = {one.system for one in criteria_at(CRITERIA, Depth.FINAL, CarFacts())}
    assert system in final


@pytest.mark.parametrize(
    "code",
    [
        "brake-pedal",
        "brake-action",
        "steering-straight",
        "wheel-nuts",
        "stop-lamps",
        "belts",
        "fuel",
        "fluid-leaks",
        "transmission-shift",
        "exhaust-fumes",
    ],
)
def test_the_final_sheet_asks_what_the_road_asks(code: str) -> None:
    assert code in codes(Depth.FINAL)


def test_the_sheet_goes_round_then_in_then_under() -> None:
    for depth in Depth:
        groups = [list(Group).index(CATALOGUE[code].group) for code in codes(depth)]
        assert groups == sorted(groups)


@pytest.mark.parametrize(
    ("days", "miles", "sentence"),
    [
        (7, 50, None),
        (8, 0, "The final readings are 8 days old; they are good for 7 days."),
        (0, 51, "The car ran 51 miles since the final readings; they are good for 50 miles."),
    ],
)
def test_final_readings_are_good_for_days_and_miles(
    days: int, miles: int, sentence: str | None
) -> None:
    # Common practice, no source.
    found = expired(READ, 88100, READ + timedelta(days), 88100 + miles, None)
    assert (str(found) if found else None) == sentence


def test_work_after_the_readings_ends_them() -> None:
    found = expired(READ, 88100, READ, 88100, READ + timedelta(1))
    assert str(found) == "Work was done after the final readings."
    assert expired(READ, 88100, READ, 88100, READ) is None


def test_miles_count_only_where_both_are_known() -> None:
    assert expired(READ, None, READ, 99999, None) is None
    assert expired(READ, 88100, READ, None, None) is None


@given(st.integers(0, 30), st.integers(0, 200), st.integers(0, 30), st.integers(0, 200))
def test_readings_never_come_back_once_they_expired(
    days: int, miles: int, later: int, more: int
) -> None:
    before = expired(READ, 0, READ + timedelta(days), miles, None)
    after = expired(READ, 0, READ + timedelta(days + later), miles + more, None)
    assert (before is None) == (days <= FINAL_DAYS and miles <= FINAL_MILES)
    assert before is None or after is not None
