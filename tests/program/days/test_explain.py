"""Why a car is not on the board; the sentences themselves are tried with the board."""

from __future__ import annotations

from program.days.bookings import Bay, Car, Place
from program.days.explain import problem_of
from program.days.hours import Span
from shared.problems import Level
from tests.program.days.shops import job, person, shop


def said(car: Car, **fields: object) -> str:
    closed = (Bay(id="b", label="Bay 1", has_lift=True, closed=(Span(),)),)
    garage = shop(person("p"), bays=closed)
    place = Place(str(fields.get("place", "flat")))
    return str(problem_of(car, [job("a", place=place)], garage, can_alone=True).sentence)


def test_a_shop_without_an_open_bay_says_so() -> None:
    assert said(Car(id="1")) == "1 needs a bay, and none is open by Friday, December 4."
    assert said(Car(id="1"), place="lift") == (
        "1 needs a lift, and none may be used by Friday, December 4."
    )


def test_a_person_decides_what_becomes_of_a_car_left_out() -> None:
    problem = problem_of(Car(id="1"), [job("a")], shop(person("p")), can_alone=True)
    assert (problem.level, problem.where) == (Level.APPROVAL, "1")
    assert str(problem.remedy) == "Take another car off, open a bay, or find more hours."
