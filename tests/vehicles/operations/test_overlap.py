"""What comes off before a job; codes and minutes are practitioner's judgment, from memory."""

from __future__ import annotations

import pytest

from vehicles.operations.catalogue import load
from vehicles.operations.overlap import (
    LONGEST,
    Access,
    access_alone,
    access_at,
    comes_off,
    in_words,
    offered,
)


@pytest.mark.parametrize(
    ("access", "places", "code"),
    [
        ("wheels", ["LF"], "wheels_front"),
        ("wheels", ["LF", "RF"], "wheels_front"),
        ("wheels", ["RR"], "wheels_rear"),
        ("wheels", ["LF", "LR"], "wheels_all"),
        ("wheels", [], "wheels_all"),
        ("door_panel", ["LF"], "door_panel_LF"),
        ("door_panel", ["RF", "LF"], "door_panel_LF+RF"),
        ("seat", [], "seat"),
        ("coolant", ["LF"], "coolant"),
        ("", ["LF"], ""),
    ],
)
def test_wheels_are_shared_by_axle_and_doors_and_seats_by_place(
    access: str, places: list[str], code: str
) -> None:
    assert access_at(access, places) == code


@pytest.mark.parametrize(
    ("code", "sentence"),
    [
        ("wheels_rear", "The rear wheels come off"),
        ("coolant", "The coolant is drained"),
        ("door_panel_LF+RF", "The door panel, front left and front right comes off"),
        ("seat_front-passenger", "The seat, front passenger comes off"),
        ("timing_cover", "The timing cover comes off"),
    ],
)
def test_what_comes_off_is_said_in_words(code: str, sentence: str) -> None:
    assert comes_off(code) == sentence


def test_every_code_that_a_job_can_get_fits_the_column_and_is_offered_once() -> None:
    codes = [code for code, _ in offered()]
    assert len(set(codes)) == len(codes)
    assert max(map(len, codes)) <= LONGEST
    words = [words for _, words in offered()]
    assert (words[0], words[1:]) == ("nothing", sorted(words[1:]))
    assert ("ceiling", "Ceiling") in offered("ceiling")
    single = {
        access_at(one.access, [place])
        for one in load().values()
        if one.access
        for place in one.positions or ("",)
    }
    assert single - {*codes, "seat_rear-left", "seat_rear-center", "seat_rear-right"} == {
        "door_panel_rear"
    }


def test_operations_that_take_the_same_off_share_it() -> None:
    shared: dict[str, list[str]] = {}
    for one in load().values():
        shared.setdefault(one.access, []).append(one.code)
    assert set(shared) - {""} <= {access.value for access in Access}
    assert "alternator" in shared["drive_belt"]
    assert {"fuel-tank", "fuel-pump"} == set(shared["fuel_tank"])
    assert in_words("fuel_tank") == "fuel tank"


def test_what_is_done_elsewhere_and_nothing_else_takes_the_car_away() -> None:
    away = {one.code for one in load().values() if one.outside_days != 0}
    assert away == {one.code for one in load().values() if one.sublet_cents}
    assert load()["alignment"].outside_days == 1
    assert load()["structure-weld"].outside_days is None


@pytest.mark.parametrize(
    ("operation", "code"),
    [
        ("brake-hose-front", "wheels_front"),
        ("hub-rear", "wheels_rear"),
        ("tire-replace", ""),
        ("door-latch", ""),
        ("radiator", "radiator"),
        ("horn", ""),
    ],
)
def test_without_a_place_only_what_it_can_be_is_said(operation: str, code: str) -> None:
    assert access_alone(load()[operation]) == code
