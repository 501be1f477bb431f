"""Work moved to an earlier time where nobody else is in the way."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hypothesis import given, settings
from hypothesis import strategies as st

from program.days.bookings import Bay, Car, Place
from program.days.check import check_board
from program.days.day_board import lay_out
from program.days.hours import Span, moment
from program.days.reading import read_placed, slots_of
from program.days.shifting import Placed, pulled
from program.days.solver import build
from program.days.solving import solver
from tests.program.days.shops import MONDAY, day, job, person, shop, whole_garage

if TYPE_CHECKING:
    from program.days.bookings import Job, Shop

TUESDAY = 96 + 32  # 8:00


def pulled_begins(jobs: list[Job], garage: Shop, begins: dict[str, int], *cars: Car) -> object:
    model = build(cars or (Car(id="1"),), jobs, garage)
    bays = {stay.id: "b1" for stay in model.stay_of.values()}
    placed = Placed(begins=begins, people=dict.fromkeys(begins, ("p",)), bays=bays)
    return pulled(model, placed, {}).begins


@settings(max_examples=10)
@given(st.integers(1, 5), st.integers(1, 10_000))
def test_what_any_answer_says_is_pulled_without_breaking_a_rule(cars: int, seed: int) -> None:
    rows, jobs, garage = whole_garage(cars, seed=seed, weeks=1, people=3)
    model = build(rows, jobs, garage)
    model.cp.maximize(sum(model.here.values()))
    run = solver(1.0)
    run.solve(model.cp)
    here = [car for car, there in model.here.items() if run.value(there)]
    first = read_placed(model, run, here)
    placed = pulled(model, first, {})
    assert check_board(slots_of(model, placed), rows, jobs, garage) == []
    assert all(placed.end(model, name) >= 0 for name in placed.begins)
    assert sum(placed.begins.values()) <= sum(first.begins.values()) or here == []


def test_work_goes_to_the_first_free_hour() -> None:
    jobs = [job("a"), job("b", "2")]
    cars = (Car(id="1"), Car(id="2"))
    assert pulled_begins(jobs, shop(person("p")), {"a": 32, "b": TUESDAY}, *cars) == {
        "a": 32,
        "b": 36,
    }


def test_work_stays_on_the_day_it_is_booked_for() -> None:
    model = build([Car(id="1")], [job("a")], shop(person("p")))
    placed = Placed(begins={"a": TUESDAY + 8}, people={"a": ("p",)}, bays={"1 a": "b1"})
    assert pulled(model, placed, {"a": day(1)}).begins == {"a": TUESDAY}


def test_a_short_job_is_not_torn_by_the_end_of_a_shift() -> None:
    jobs = [job("a", minutes=450), job("b", "2")]
    begins = {"a": 32, "b": TUESDAY + 8}
    cars = (Car(id="1"), Car(id="2"))
    assert pulled_begins(jobs, shop(person("p")), begins, *cars) == {"a": 32, "b": TUESDAY}


def test_a_bay_that_is_closed_is_waited_for() -> None:
    bays = (Bay(id="b1", closed=(Span(until_on=MONDAY),)),)
    garage = shop(person("p"), bays=bays)
    assert pulled_begins([job("a")], garage, {"a": 2 * 96 + 32}) == {"a": TUESDAY}


def test_nobody_takes_the_lift_from_under_a_car_that_is_up_on_it() -> None:
    garage = shop(person("p"), now=moment(32, MONDAY))
    jobs = [job("up", place=Place.LIFT, minutes=240), job("b", "2")]
    cars = (Car(id="1", bay_id="b1"), Car(id="2"))
    begins = {"up": 40, "b": TUESDAY}
    assert pulled_begins(jobs, garage, begins, *cars) == {"up": 32, "b": 48}


def test_what_two_do_together_stays_where_both_are_there() -> None:
    garage = shop(person("p"), person("q"))
    board = lay_out([Car(id="1")], [job("hood", hands=2)], garage)
    assert len({slot.begins_at for slot in board.slots}) == 1
