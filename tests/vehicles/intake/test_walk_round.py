"""Marks on the drawing, and the part of the car on which each lies."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from vehicles.intake.walk_round import AREAS, DRAWING, HEIGHT, VIEWS, WIDTH, MarkKind, area_at

BESIDE = "This place is beside the car. Touch the part where something is seen."


def place(x: float, y: float) -> str:
    try:
        return str(area_at(x, y))
    except ValueError as stopped:
        return str(stopped)


@pytest.mark.parametrize(
    ("x", "y", "area"),
    [
        # Read off the drawing by eye, own design.
        (450, 590, "left front door"),
        (450, 110, "right front door"),
        (570, 590, "left rear door"),
        (328, 625, "left front wheel"),
        (650, 75, "right rear wheel"),
        (300, 350, "hood"),
        (422, 350, "windshield"),
        (532, 350, "roof"),
        (640, 350, "rear window"),
        (715, 350, "trunk lid"),
        (228, 350, "front bumper"),
        (772, 350, "rear bumper"),
        (240, 290, "right headlamp"),
        (240, 410, "left headlamp"),
        (500, 446, "left front door"),
        (410, 466, "left mirror"),
        (120, 265, "right headlamp"),
        (120, 435, "left headlamp"),
        (888, 265, "right tail lamp"),
        (888, 435, "left tail lamp"),
        (160, 350, "front bumper"),
        (60, 350, "windshield"),
        (860, 350, "rear bumper"),
        (940, 350, "rear window"),
        (450, 628, "left rocker panel"),
        (690, 580, "left quarter panel"),
    ],
)
def test_a_point_lies_on_the_part_that_is_drawn_there(x: int, y: int, area: str) -> None:
    assert place(x, y) == area


@pytest.mark.parametrize(("x", "y"), [(0, 0), (999, 699), (500, 470), (-5, 350), (1e9, 350)])
def test_a_point_beside_the_car_is_refused_in_a_sentence(x: float, y: float) -> None:
    assert place(x, y) == BESIDE


def test_every_point_on_the_heavy_lines_lies_on_a_part() -> None:
    ends = [
        numbers[-2:]
        for shape in DRAWING
        for _, numbers in shape.segments
        if numbers and shape.line != "seam"
    ]
    assert [end for end in ends if place(*end) == BESIDE] == []


@given(st.floats(0, WIDTH), st.floats(0, HEIGHT))
def test_the_car_is_the_same_on_both_sides(x: float, y: float) -> None:
    there = place(x, HEIGHT - y)
    swapped = there.replace("left ", "* ").replace("right ", "left ").replace("* ", "right ")
    assert place(x, y) == swapped


def test_every_part_can_be_touched() -> None:
    reached = {place(x, y) for x in range(0, WIDTH, 4) for y in range(0, HEIGHT, 4)}
    assert {str(area.name) for area in AREAS} == reached - {BESIDE}
    assert max(len(name) for name in reached - {BESIDE}) <= 60


def test_every_part_lies_in_or_at_one_view() -> None:
    near = 14  # mirrors stand out
    for area in AREAS:
        left, top, right, bottom = area.box
        assert any(
            box[0] - near <= left and right <= box[2] + near and box[1] - near <= top
            for box in (view.box for view in VIEWS)
            if bottom <= box[3] + near
        )


def test_each_kind_of_mark_has_a_letter_of_its_own() -> None:
    assert {kind.letter: kind.label for kind in MarkKind} == {
        "D": "Dent",
        "S": "Scratch",
        "R": "Rust",
        "C": "Crack",
        "M": "Missing",
        "B": "Broken lamp",
        "L": "Leak",
        "O": "Other",
    }
