"""The model of the days."""

from __future__ import annotations

from dataclasses import replace

from program.days.bookings import Begun, Car, Place
from program.days.hours import moment
from program.days.solver import build, earliest, now_of, takes
from tests.program.days.shops import MONDAY, day, job, person, shop


def test_a_person_without_enough_hours_is_never_picked() -> None:
    model = build([Car(id="1")], [job("a", minutes=9_000)], shop(person("p")))
    assert [key for key in model.first if key[0] == "a"] == []


def test_two_at_once_work_by_the_book() -> None:
    slow = person("p", percent=5_000)
    assert (takes(job("a"), slow), takes(job("a", hands=2), slow)) == (8, 4)


def test_nothing_begins_before_the_clock_the_kit_or_the_end_of_curing() -> None:
    garage = shop(person("p"), now=moment(40, MONDAY))
    car = Car(id="1", kit_on=day(1))
    model = build([car], [job("a"), job("r", place=Place.NONE)], garage)
    assert [earliest(model, one) for one in model.jobs.values()] == [96, 40]
    curing = replace(car, kit_on=None, cures_until=moment(44, MONDAY))
    model = build([curing], [job("a")], garage)
    assert earliest(model, model.jobs["a"]) == 44


def test_what_has_begun_goes_on_at_once() -> None:
    garage = shop(person("p"), now=moment(40, MONDAY))
    begun = Begun(begun_at=moment(32, MONDAY), person_ids=("p",))
    model = build([Car(id="1", kit_on=day(3))], [job("a", begun=begun)], garage)
    assert earliest(model, model.jobs["a"]) == 40


def test_a_clock_before_the_first_day_counts_from_its_midnight() -> None:
    assert now_of(shop(person("p"), now=moment(-40, MONDAY))) == 0
