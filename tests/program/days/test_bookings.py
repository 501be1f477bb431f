"""Jobs, cars and people as the days take them."""

from __future__ import annotations

from program.days.bookings import Board, Car, Held
from tests.program.days.shops import day, job, person


def test_a_car_comes_when_its_kit_and_its_day_have_come() -> None:
    assert Car(id="1", kit_on=day(2), earliest_on=day(1)).from_on == day(2)


def test_somebody_may_do_what_they_hold_on_that_day() -> None:
    who = person("p", held=(Held(code="brakes", from_on=day(1), until_on=day(2)),))
    asked = job("a", skills=("brakes",))
    assert [who.may(asked, day(number)) for number in range(4)] == [False, True, True, False]


def test_a_board_at_its_bound_is_proven() -> None:
    assert Board(ready={}, late={}, value=4, bound=4).proven
    assert not Board(ready={}, late={}, value=4, bound=3).proven
