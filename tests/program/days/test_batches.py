from __future__ import annotations

import datetime as dt
from dataclasses import replace

from program.days.batches import MOST_BAYS, MOST_PEOPLE, fewest, left_of, together
from program.days.bookings import Bay, Board, Car, Job, Person, Place, Shop, Slot
from program.days.check import check_board
from program.days.day_board import lay_out
from program.days.hours import Shift, Span, moment
from program.days.states import BookingKind
from shared.problems import Problem
from shared.say import say

MONDAY = dt.date(2026, 11, 30)
MORNING = Shift(begins=32, ticks=16)
DAYS = tuple(MONDAY + dt.timedelta(days=n) for n in range(5))


def shop(people: int = 1, bays: int = 1) -> Shop:
    """Return a shop in which everybody is there from 8 to 12 on the first day."""
    return Shop(
        people=tuple(
            Person(id=f"p{n}", shifts=(Shift(begins=32, ticks=16),)) for n in range(people)
        ),
        bays=tuple(Bay(id=f"b{n}", has_lift=n == 1) for n in range(bays)),
        days=DAYS,
    )


def slot(begins: int, ends: int, **fields: str) -> Slot:
    at = {"begins_at": moment(4 * begins, MONDAY), "ends_at": moment(4 * ends, MONDAY)}
    names = {"job_id": "j", "car_id": "1", "item_id": "", "title": "Pads"} | {"person_id": "p0"}
    return Slot(kind=BookingKind.WORK, **names | fields, **at)  # type: ignore[arg-type]


def test_time_that_is_booked_is_taken_out_of_the_shifts() -> None:
    left = left_of(shop(), [slot(8, 9), slot(10, 11)])
    assert left.people[0].shifts == (Shift(begins=36, ticks=4), Shift(begins=44, ticks=4))


def test_time_of_others_and_outside_the_shifts_takes_nothing() -> None:
    given = shop()
    assert left_of(given, [slot(8, 9, person_id="p9"), slot(13, 14)]).people == given.people


def test_a_bay_is_left_for_nobody_from_the_first_day_of_a_car_to_its_last() -> None:
    later = replace(slot(8, 9, bay_id="b0"), ends_at=moment(2 * 96 + 36, MONDAY))
    (bay,) = left_of(shop(), [slot(8, 9, bay_id="b0"), later]).bays
    assert bay.closed == (Span(from_on=MONDAY, until_on=dt.date(2026, 12, 2)),)


def test_a_small_shop_stays_whole() -> None:
    given = shop(MOST_PEOPLE, MOST_BAYS)
    assert fewest(given, [Car(id="1")]) is given


def test_of_a_large_shop_those_with_most_time_and_the_emptiest_bays_are_taken() -> None:
    given = shop(9, 9)
    busy = left_of(given, [slot(8, 12, person_id="p0"), slot(8, 9, bay_id="b0", person_id="p8")])
    few = fewest(busy, [Car(id="1")])
    assert [person.id for person in few.people] == ["p1", "p2", "p3", "p4", "p5", "p6"]
    assert [bay.id for bay in few.bays] == ["b1", "b2", "b3", "b4", "b5"]


def test_a_lift_stays_although_it_is_the_bay_most_used() -> None:
    busy = left_of(shop(9, 9), [slot(8, 9, bay_id="b1")])
    assert [bay.id for bay in fewest(busy, [Car(id="1")]).bays] == ["b0", "b1", "b2", "b3", "b4"]


def test_the_lift_that_a_car_can_not_leave_is_always_there() -> None:
    few = fewest(shop(9, 9), [Car(id="1", bay_id="b8")])
    assert "b8" in [bay.id for bay in few.bays]


def test_batches_laid_out_one_after_another_break_no_rule() -> None:
    given = shop(2, 1)
    cars = [Car(id="1"), Car(id="2")]
    jobs = [
        Job(id=f"j{car.id}", car_id=car.id, title="Pads", minutes=60, place=Place.FLAT)
        for car in cars
    ]
    first = lay_out(cars[:1], jobs[:1], given)
    rest = lay_out(cars[1:], jobs[1:], left_of(given, first.slots))
    both = together([first, rest])
    assert (
        check_board(both.slots, [car for car in cars if car.id in both.ready], jobs[:1], given)
        == []
    )
    assert set(both.ready) == {"1"}


def test_boards_are_put_together_in_order_of_time() -> None:
    problem = Problem(say("No room."), where="3")
    one = Board(slots=(slot(10, 11),), ready={"1": MONDAY}, late={"1": 2}, value=7, bound=5)
    two = Board(slots=(slot(8, 9),), ready={}, late={}, moved=("k",), problems=(problem,), value=1)
    both = together([one, two])
    assert [row.begins_at.hour for row in both.slots] == [8, 10]
    assert (both.ready, both.late, both.moved, both.problems) == (
        {"1": MONDAY},
        {"1": 2},
        ("k",),
        (problem,),
    )
    assert (both.value, both.bound) == (8, 5)
