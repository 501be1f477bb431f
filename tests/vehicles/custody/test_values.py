"""A drawn name: what is kept of it, and what is refused."""

from __future__ import annotations

import json

import pytest
from hypothesis import given
from hypothesis import strategies as st

from vehicles.custody.values import HEIGHT, MOST_POINTS, UNREADABLE, WIDTH, path, strokes_of

EMPTY = "The pad is empty, or nearly so. Sign on it, or sign on paper."
POINT = st.lists(st.integers(0, 200), min_size=2, max_size=2)


@given(st.lists(st.lists(POINT, min_size=1), max_size=5))
def test_what_was_drawn_across_the_pad_is_kept_as_it_was(strokes: list[list[list[int]]]) -> None:
    drawn = [*strokes, [[0, 0], [WIDTH, HEIGHT]]]
    assert strokes_of(json.dumps(drawn)) == drawn


@pytest.mark.parametrize("text", ["", "[]", "[[[5, 5]]]", "[[[5, 5], [64, 199]]]"])
def test_an_empty_pad_or_a_dot_is_no_signature(text: str) -> None:
    with pytest.raises(ValueError, match="nearly so") as refusal:
        strokes_of(text)
    assert str(refusal.value) == EMPTY


@pytest.mark.parametrize(
    "text",
    [
        "{",
        "7",
        "null",
        '{"a": 1}',
        "[7]",
        "[[]]",
        "[[7]]",
        "[[[1]]]",
        "[[[1, 2, 3]]]",
        "[[[true, 2]]]",
        "[[[1.5, 2]]]",
        '[[["1", 2]]]',
        "[[[601, 2]]]",
        "[[[1, 201]]]",
        "[[[-1, 2]]]",
        "[" * 100_000,
        json.dumps([[[n % WIDTH, 5] for n in range(MOST_POINTS + 1)]]),
    ],
)
def test_what_is_no_drawing_on_this_pad_is_refused(text: str) -> None:
    with pytest.raises(ValueError, match="whole") as refusal:
        strokes_of(text)
    assert str(refusal.value) == UNREADABLE


def test_strokes_are_drawn_again_as_one_path() -> None:
    assert path([[[10, 90], [200, 20]], [[5, 5]]]) == "M10 90L200 20M5 5"
    assert path([]) == ""
