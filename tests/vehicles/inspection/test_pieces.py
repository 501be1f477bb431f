"""The drawn pieces: a mark by its shape, and photos in rows that keep their proportions."""

from __future__ import annotations

import pytest

from shared.documents.pieces import Look, words
from tests.shared.documents.reading import bytes_of, read, roles
from vehicles.inspection.criteria import DeficiencyClass
from vehicles.inspection.pieces import A_ROW, Marked, SmallPhoto, photo_rows
from vehicles.inspection.values import Shot

#: Closed shapes that are filled, and that are only drawn.
#: Source: ISO 32000-1, 8.5.3, operators h, B* and S (from memory).
DRAWN = {
    DeficiencyClass.DANGEROUS: (1, 0),
    DeficiencyClass.MAJOR: (1, 1),
    DeficiencyClass.MINOR: (0, 1),
    DeficiencyClass.NONE: (0, 0),
}


def shot(width: int = 40, height: int = 30) -> Shot:
    return Shot(jpeg=b"", width=width, height=height, title="Horn")


@pytest.mark.parametrize("deficiency", list(DeficiencyClass))
def test_a_mark_is_told_apart_by_its_filling_not_by_color(deficiency: DeficiencyClass) -> None:
    page = read(Marked(words("Horn", role="H3"), deficiency, 10))
    drawn = bytes_of(page)
    assert (drawn.count(b"h\nB*"), drawn.count(b"h\nS")) == DRAWN[deficiency]
    assert "Horn" in page.pages[0].extract_text()
    assert roles(page).count("/Figure") == 0


@pytest.mark.parametrize("size", [(40, 30), (30, 40), (10, 400), (400, 10)])
def test_a_photo_keeps_its_proportions_within_its_room(size: tuple[int, int]) -> None:
    wide, high = SmallPhoto(shot(*size), "Horn").wrap(100, 500)
    assert high / wide == pytest.approx(size[1] / size[0])
    assert wide <= 100
    assert high <= 110.001


def test_photos_stand_four_in_a_row() -> None:
    rows = photo_rows([shot()] * (A_ROW + 1), 400, tall=700, look=Look(), tell=str)
    assert [len(row.columns) for row in rows] == [4, 1]
