"""The drawing itself: paths that page and paper can draw, whole and inside their field."""

from __future__ import annotations

import re

import pytest

from vehicles.intake.sides import DRAWING, HEIGHT, PLACED, VIEWS, WIDTH, Line, Shape

NUMBERS = {"M": 2, "L": 2, "C": 6, "Z": 0}  # SVG 1.1, section 8.3, absolute commands; from memory


def points(shape: Shape) -> list[tuple[float, float]]:
    flat = [number for _, numbers in shape.segments for number in numbers]
    return list(zip(flat[::2], flat[1::2], strict=True))


@pytest.mark.parametrize("shape", DRAWING, ids=range(len(DRAWING)))
def test_each_shape_has_absolute_commands_with_their_numbers(shape: Shape) -> None:
    assert {len(numbers) - NUMBERS[letter] for letter, numbers in shape.segments} == {0}
    assert shape.segments[0][0] == "M"
    assert re.fullmatch(r"[MLCZ0-9. -]+", shape.path)


def test_what_is_filled_is_closed() -> None:
    filled = [shape for shape in DRAWING if shape.line is not Line.SEAM]
    assert [shape.path for shape in filled if shape.segments[-1] != ("Z", ())] == []


def test_the_drawing_lies_inside_the_fields_of_its_views() -> None:
    fields = [view.box for view in VIEWS]
    homeless = [
        shape.path
        for shape in DRAWING
        if not any(
            all(left <= x <= right and top - 8 <= y <= bottom + 8 for x, y in points(shape))
            for left, top, right, bottom in fields
        )
    ]
    assert homeless == []


def test_each_view_and_its_name_lie_on_the_sheet_apart_from_the_others() -> None:
    boxes = [view.box for view in VIEWS]
    for view in VIEWS:
        left, top, right, bottom = view.box
        assert 0 <= left < right <= WIDTH
        assert 0 <= top < bottom <= HEIGHT
        over = [b for b in boxes if b[0] < right and left < b[2] and b[1] < bottom and top < b[3]]
        assert over == [view.box]
    assert [str(view.name) for view in VIEWS] == [
        "Top",
        "Left side",
        "Right side",
        "Front",
        "Rear",
    ]


def test_left_and_right_are_the_same_car_seen_in_a_mirror() -> None:
    left = [PLACED["left"](along, 50)[0] for along in (0, 300, 560)]
    right = [PLACED["right"](along, 50)[0] for along in (0, 300, 560)]
    assert left == right == [220, 520, 780]
    assert PLACED["left"](0, 0)[1] + PLACED["right"](0, 0)[1] == HEIGHT


def test_a_wheel_is_round() -> None:
    tire = next(shape for shape in DRAWING if shape.line is Line.TIRE)
    ends = [numbers[-2:] for letter, numbers in tire.segments if letter == "C"]
    x, y = PLACED["left"](108, 31)
    assert [round(((px - x) ** 2 + (py - y) ** 2) ** 0.5) for px, py in ends] == [31] * 4
