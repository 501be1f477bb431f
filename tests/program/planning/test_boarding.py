"""The days of a plan, laid out and kept."""

from __future__ import annotations

import datetime as dt
import json

import pytest

from program.days.batches import MOST_PEOPLE
from program.days.bookings import Board, Slot
from program.days.states import BookingKind
from program.models import Booking
from program.planning.boarding import (
    board_of,
    first_days,
    last_day,
    slot_from_json,
    slot_to_json,
    stays_of,
    without_room,
)
from program.planning.computing import compute
from program.planning.selection import select
from shared.problems import Problem
from shared.say import say
from tests.factories import TODAY, make_able, make_bay, make_hours, make_person, make_program
from tests.program.planning.approved import approve, shop_with_two_cars
from tests.program.planning.gathered import gathered
from tests.program.planning.weeks import (
    computed,
    make_money,
    make_ready,
    make_second,
    make_shop,
    make_work,
)

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("monday")]


def laid_out() -> Board:
    facts = gathered()
    return board_of(make_program(), facts, select(facts))


def slot(car: str, day: int) -> Slot:
    at = dt.datetime.combine(TODAY, dt.time(9)) + dt.timedelta(days=day)
    return Slot(
        job_id=f"{car}{day}",
        car_id=car,
        item_id="",
        kind=BookingKind.WORK,
        title="Pads",
        begins_at=at,
        ends_at=at + dt.timedelta(hours=1),
        bay_id="b-1",
    )


def test_work_on_a_car_gets_a_person_a_bay_and_a_day() -> None:
    make_shop()
    make_second()
    make_money()
    make_work(make_ready(), sublet_cents=0)
    board = laid_out()
    (stay,) = stays_of(board, {slot.bay_id: "Bay 1" for slot in board.slots})
    assert (stay.case_id, stay.bay, stay.first_on) == ("26-041", "Bay 1", TODAY)
    assert first_days(board) == {"26-041": TODAY}
    assert board.ready["26-041"] >= TODAY


def test_a_car_that_makes_room_for_another_stands_twice_in_a_bay() -> None:
    slots = tuple(slot(car, day) for car, day in (("a", 0), ("b", 1), ("a", 2)))
    board = Board(slots=slots, ready={}, late={})
    stays = stays_of(board, {"b-1": "Bay 1"})
    assert [(stay.case_id, stay.first_on, stay.last_on) for stay in stays] == [
        ("a", TODAY, TODAY),
        ("b", TODAY + dt.timedelta(days=1), TODAY + dt.timedelta(days=1)),
        ("a", TODAY + dt.timedelta(days=2), TODAY + dt.timedelta(days=2)),
    ]


def test_slots_are_the_same_after_they_were_kept() -> None:
    make_shop()
    make_second()
    make_money()
    make_work(make_ready(), sublet_cents=0)
    slots = laid_out().slots
    kept = json.loads(json.dumps([slot_to_json(slot) for slot in slots]))
    assert tuple(map(slot_from_json, kept)) == slots
    assert len(slots) > 1


def test_two_weeks_more_than_the_plan_are_laid_out() -> None:
    make_shop()
    assert last_day(gathered(weeks=3)) == TODAY + dt.timedelta(weeks=4, days=4)


def test_a_car_without_room_is_told_no_day_that_nobody_keeps() -> None:
    make_shop()
    make_money()
    make_work(make_ready(), sublet_cents=0)
    facts = gathered()
    (home,) = compute(make_program(), facts).homes
    assert home.from_on > last_day(facts)


def test_who_has_no_room_is_read_from_the_problems() -> None:
    problem = Problem(say("No room."), where="26-041")
    assert without_room(Board(ready={}, late={}, problems=(problem,))) == {"26-041"}
    on_day = Board(ready={"26-041": TODAY}, late={}, problems=(problem,))
    assert without_room(on_day) == set()


def test_approving_books_the_days_and_writes_when_parts_are_wanted() -> None:
    shop_with_two_cars()
    make_second()
    plan = approve(computed())
    rows = Booking.objects.filter(ended_at=None)
    assert {row.cause for row in rows} == {f"plan:{plan.pk}"}
    assert len(rows) == len(plan.result["slots"])


def test_a_car_that_takes_somebody_with_few_hours_is_tried_with_the_whole_shop() -> None:
    make_shop(minutes=300)
    for number in range(MOST_PEOPLE + 1):
        make_bay(name=f"Hall {number}")
        other = make_able(make_person(name=f"Person {number}"))
        other.skills.filter(code="tires").delete()
        make_hours(person=other)
    make_money()
    make_work(make_ready(), sublet_cents=0)
    board = laid_out()
    assert (board.problems, list(board.ready)) == ((), ["26-041"])
