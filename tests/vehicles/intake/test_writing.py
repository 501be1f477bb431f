"""Marks on the drawing: placed once, on the car, taken away."""

from __future__ import annotations

from typing import Any
from uuid import UUID, uuid4

import pytest
from django.core.exceptions import ValidationError

from tests.factories import TODAY, make_intake, make_user
from vehicles.intake.queries import mark_rows
from vehicles.intake.walk_round import AREAS, PARTS, MarkKind, area_at, point_on
from vehicles.intake.writing import MOST_MARKS, Seen, place_mark, void_mark
from vehicles.models import Intake, WalkRoundMark

pytestmark = pytest.mark.django_db
DOOR: dict[str, Any] = {"x": 450, "y": 590}


@pytest.fixture
def stay() -> Intake:
    return make_intake()


def place(stay: Intake, key: UUID | None = None, **seen: Any) -> WalkRoundMark:
    what = Seen(**{"kind": MarkKind.DENT} | seen)
    return place_mark(intake=stay, seen=what, client_key=key or uuid4(), by=make_user())


def test_a_touch_names_the_part_of_the_car(stay: Intake) -> None:
    mark = place(stay, note=" a hand wide ", **DOOR)
    assert (mark.area, mark.note, mark.kind) == ("left front door", "a hand wide", "dent")


def test_a_part_from_the_list_is_marked_in_its_middle(stay: Intake) -> None:
    number = next(number for number, name in PARTS if name == "Hood")
    mark = place(stay, area=number)
    left, top, right, bottom = AREAS[number].box
    assert (mark.area, mark.x, mark.y) == ("hood", (left + right) // 2, (top + bottom) // 2)


@pytest.mark.parametrize("part", PARTS)
def test_a_part_of_the_list_is_marked_on_that_very_part(part: tuple[int, str]) -> None:
    assert str(area_at(*point_on(part[0]))).capitalize() == part[1]


@pytest.mark.parametrize(
    ("seen", "sentence"),
    [
        ({"x": 5, "y": 5}, "This place is beside the car. Touch the part where something is seen."),
        ({"x": 1_001, "y": 5}, "This place is outside of the drawing."),
        ({}, "Touch the drawing, or choose where it is."),
        ({"area": 900}, "The car has no such part. Choose one from the list."),
    ],
)
def test_a_place_beside_the_car_is_refused(
    stay: Intake, seen: dict[str, Any], sentence: str
) -> None:
    with pytest.raises(ValidationError) as refused:
        place(stay, **seen)
    assert refused.value.messages == [sentence]


def test_the_same_key_places_one_mark(stay: Intake) -> None:
    key = uuid4()
    assert place(stay, key, **DOOR) == place(stay, key, **DOOR)
    assert stay.marks.count() == 1


def test_a_mark_keeps_its_number_when_another_is_taken_away(stay: Intake) -> None:
    first, _ = place(stay, **DOOR), place(stay, kind=MarkKind.RUST, **DOOR)
    void_mark(mark=first, by=make_user())
    void_mark(mark=first, by=make_user())
    assert [row.sign for row in mark_rows(stay, {})] == ["R2"]


def test_a_stay_that_ended_takes_no_mark_and_loses_none() -> None:
    stay = make_intake()
    mark = place(stay, **DOOR)
    Intake.objects.filter(pk=stay.pk).update(left_on=TODAY)
    with pytest.raises(ValidationError, match="This stay ended"):
        place(stay, **DOOR)
    with pytest.raises(ValidationError, match="This stay ended"):
        void_mark(mark=mark, by=make_user())


def test_a_drawing_has_room_for_so_many_marks(stay: Intake) -> None:
    WalkRoundMark.objects.bulk_create(
        WalkRoundMark(
            program=stay.program,
            intake=stay,
            client_key=uuid4(),
            kind="dent",
            x=450,
            y=590,
            area="left front door",
            by=make_user(),
        )
        for _ in range(MOST_MARKS)
    )
    with pytest.raises(ValidationError, match="This drawing has 120 marks, which is the most"):
        place(stay, **DOOR)
