"""Charts on paper."""

from __future__ import annotations

from typing import Any

import pytest

from shared.documents.drawn import steps
from tests.shared.documents.reading import drawing, elements, read


def test_a_picture_has_its_title_as_text() -> None:
    figures = [one for one in elements(read(drawing())) if one["/S"] == "/Figure"]
    assert [figure["/Alt"] for figure in figures] == [
        "1 bays. 26-041 Sentra in Bay 1 from Monday, November 30 for 2 days."
    ]


@pytest.mark.parametrize(
    ("path", "expected"),
    [
        ("M1 2H4V6", [("M", 1, 2), ("L", 4, 2), ("L", 4, 6)]),
        ("M1 2h3v4h-3z", [("M", 1, 2), ("L", 4, 2), ("L", 4, 6), ("L", 1, 6), None]),
        ("M-2.5 0L3 4Z", [("M", -2.5, 0), ("L", 3, 4), None]),
        ("M1 2l4 -4 4 4z", [("M", 1, 2), ("L", 5, -2), ("L", 9, 2), None]),
    ],
)
def test_a_path_is_read_step_by_step(path: str, expected: list[Any]) -> None:
    assert list(steps(path)) == expected
