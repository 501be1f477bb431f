"""The check names each rule that laid-out days break."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from typing import Any

import pytest

from program.days.bookings import Bay, Car, Held, Job, Place, Slot
from program.days.check import check_board
from program.days.day_board import lay_out
from program.days.hours import Span
from program.days.states import BookingKind
from tests.program.days.shops import MONDAY, day, job, person, shop

BAYS = (Bay(id="b1", label="Bay 1", has_lift=True), Bay(id="b2", label="Bay 2"))


def at(hour: float, number: int = 0) -> dt.datetime:
    return dt.datetime.combine(day(number), dt.time()) + dt.timedelta(hours=hour)


def slot(name: str = "a", begin: float = 8, end: float = 9, **fields: Any) -> Slot:
    defaults: dict[str, Any] = {
        "job_id": name,
        "car_id": "1",
        "item_id": "",
        "kind": BookingKind.WORK,
        "title": name.capitalize(),
        "begins_at": at(begin),
        "ends_at": at(end),
        "bay_id": "b1",
        "person_id": "p",
    }
    return Slot(**defaults | fields)


def told(slots: list[Slot], jobs: list[Job], *cars: Car, **fields: Any) -> list[str]:
    garage = shop(person("p", "brakes"), person("q"), **{"bays": BAYS} | fields)
    return check_board(slots, cars or (Car(id="1"),), jobs, garage)


def test_good_days_break_no_rule() -> None:
    assert told([slot()], [job("a")]) == []


@pytest.mark.parametrize(
    ("slots", "fields", "said"),
    [
        ([slot(end=9.5)], {}, "“A” of 1 is given 90 minutes of P."),
        ([slot(), slot(person_id="q")], {}, "“A” of 1 has 2 people, and takes 1."),
        ([slot(person_id="q")], {"skills": ("brakes",)}, "Q may not do “A” of 1."),
        ([slot(begin=5, end=6)], {}, "P isn’t there for “A” on Monday, November 30."),
        ([slot(bay_id="b2")], {"place": Place.LIFT}, "1 needs a lift, and Bay 2 has none."),
        ([slot()], {"rest_minutes": 30}, "“A” of 1 is not left to cure for 30 minutes."),
    ],
)
def test_a_broken_rule_of_one_job_is_named(
    slots: list[Slot], fields: dict[str, Any], said: str
) -> None:
    assert told(slots, [job("a", **fields)]) == [said]


def test_a_job_that_was_forgotten_is_named() -> None:
    assert told([slot()], [job("a"), job("b")]) == ["“B” of 1 is not laid out."]


def test_the_order_of_jobs_is_kept() -> None:
    slots = [slot("a", 9, 10), slot("b", 8, 9)]
    assert told(slots, [job("a"), job("b", after=("a",))]) == [
        "“B” of 1 begins before “A” is over."
    ]


def test_nobody_does_two_things_at_once() -> None:
    slots = [slot("a"), slot("b", 8.5, 9.5)]
    assert told(slots, [job("a"), job("b")]) == ["P does “A” and “B” at once."]


def test_two_cars_never_stand_in_one_bay() -> None:
    slots = [slot("a"), slot("b", car_id="2", person_id="q")]
    jobs = [job("a"), job("b", "2")]
    assert told(slots, jobs, Car(id="1"), Car(id="2")) == ["1 and 2 stand in one bay at once."]


def test_a_car_moves_only_when_it_can_roll() -> None:
    slots = [slot("a"), slot("b", 9, 10, bay_id="b2")]
    jobs = [job("a"), job("b")]
    assert told(slots, jobs) == ["1 moves to another bay before it can roll."]


def test_a_car_is_not_in_two_bays() -> None:
    slots = [slot("a"), slot("b", bay_id="b2", person_id="q")]
    jobs = [job("a", place=Place.LIFT), job("b")]
    assert told(slots, jobs) == ["1 stands in two bays at once."]


def test_a_car_in_a_bay_is_not_driven() -> None:
    slots = [slot("a", 8, 9), slot("r", 8, 9, bay_id="", person_id="q")]
    jobs = [job("a"), job("r", place=Place.NONE)]
    assert told(slots, jobs) == ["“R” of 1: the car stands in a bay meanwhile."]


def test_closed_bays_and_dead_lifts_are_named() -> None:
    closed = (replace(BAYS[0], closed=(Span(until_on=MONDAY),)),)
    assert told([slot()], [job("a")], bays=closed) == [
        "Bay 1 is closed on Monday, November 30, and 1 stands there."
    ]
    dead = (replace(BAYS[0], no_lift=(Span(until_on=MONDAY),)),)
    assert told([slot()], [job("a", place=Place.LIFT)], bays=dead) == [
        "The lift of Bay 1 may not be used on Monday, November 30."
    ]


def test_kit_clock_and_curing_are_kept() -> None:
    assert told([slot()], [job("a")], Car(id="1", kit_on=day(1))) == [
        "“A” of 1 begins before Tuesday, December 1."
    ]
    assert told([slot()], [job("a")], now=at(8.5)) == ["“A” of 1 begins in the past."]
    assert told([slot()], [job("a")], Car(id="1", cures_until=at(10))) == [
        "“A” of 1 begins while the car cures."
    ]


def test_a_second_look_by_the_same_person_is_named() -> None:
    slots = [slot("a"), slot("f", 9, 10, bay_id="")]
    jobs = [job("a"), job("f", place=Place.NONE, by_second=True)]
    said = ["“F” of 1 is done by somebody who worked on it."]
    assert told(slots, jobs) == said
    assert told([slots[1]], [jobs[1]], Car(id="1", worked=("p",))) == said


def test_too_few_days_away_are_named() -> None:
    away = slot(kind=BookingKind.AWAY, begin=0, end=24, bay_id="", person_id="")
    jobs = [job("a", place=Place.AWAY, away_days=2)]
    assert told([away], jobs) == ["“A” of 1 is away 1 days of 2."]


def test_a_skill_that_runs_out_is_seen_on_its_day() -> None:
    who = person("p", held=(Held(code="brakes", until_on=MONDAY),))
    jobs = [job("a", skills=("brakes",))]
    board = lay_out([Car(id="1", kit_on=day(1))], jobs, shop(who))
    assert board.slots == ()
    late = [slot(begin=32, end=33)]
    assert check_board(late, [Car(id="1")], jobs, shop(who)) == ["P may not do “A” of 1."]
