"""Laying out the days: every rule is kept, no board is less late, little moves."""

from __future__ import annotations

from itertools import permutations
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from program.days.bookings import Bay, Begun, Car, Person, Place, Standing
from program.days.check import check_board
from program.days.day_board import lay_out
from program.days.hours import Span, moment
from program.days.states import BookingKind
from tests.program.days.shops import MONDAY, day, job, morning, person, shop, whole_garage

FEW = settings(max_examples=10)
EFFORT = 1.0


@FEW
@given(st.integers(1, 5), st.integers(1, 10_000))
def test_a_board_keeps_every_rule(cars: int, seed: int) -> None:
    rows, jobs, garage = whole_garage(cars, seed=seed, weeks=1, people=3)
    board = lay_out(rows, jobs, garage, effort=EFFORT)
    assert check_board(board.slots, rows, jobs, garage) == []


@FEW
@given(st.integers(1, 5), st.integers(1, 10_000))
def test_each_car_is_on_the_board_or_named_with_a_reason(cars: int, seed: int) -> None:
    rows, jobs, garage = whole_garage(cars, seed=seed, weeks=1, people=3)
    board = lay_out(rows, jobs, garage, effort=EFFORT)
    left = {problem.where for problem in board.problems}
    assert (set(board.ready) | left, set(board.ready) & left) == ({car.id for car in rows}, set())


def test_the_same_shop_gets_the_same_board() -> None:
    rows, jobs, garage = whole_garage(4, weeks=1)
    once = lay_out(rows, jobs, garage, effort=EFFORT)
    again = lay_out(rows[::-1], jobs[::-1], garage, effort=EFFORT)
    assert once == again


class Watching:
    """Stops when asked for the n-th time; remembers what it was told."""

    def __init__(self, patience: int) -> None:
        self.patience, self.told = patience, list[int]()

    def tell(self, percent: int, _doing: str) -> None:
        self.told.append(percent)

    def stop(self) -> bool:
        self.patience -= 1
        return self.patience < 0


def test_who_watches_hears_how_far_it_is_and_gets_the_same_board() -> None:
    rows, jobs, garage = whole_garage(4, weeks=1)
    watch = Watching(10_000)
    assert lay_out(rows, jobs, garage, effort=EFFORT, watch=watch) == lay_out(
        rows, jobs, garage, effort=EFFORT
    )
    assert watch.told == [10, 60, 90]


def test_who_stops_a_search_that_has_days_gets_them() -> None:
    cars, jobs, watch = [Car(id="1")], [job("a")], Watching(1)
    board = lay_out(cars, jobs, shop(person("p")), watch=watch)
    assert check_board(board.slots, cars, jobs, shop(person("p"))) == []
    assert (list(board.ready), board.proven) == (["1"], True)


def test_who_stops_a_search_before_it_has_any_is_told_so() -> None:
    with pytest.raises(ValueError, match="Somebody stopped the search before it had found any"):
        lay_out([Car(id="1")], [job("a")], shop(person("p")), watch=Watching(0))


@FEW
@given(
    st.lists(
        st.tuples(st.integers(1, 4), st.integers(0, 4), st.integers(1, 9)), min_size=1, max_size=4
    )
)
def test_no_order_of_work_is_less_late(cars: list[tuple[int, int, int]]) -> None:
    """Brute force: one person, one bay, one job a car; every order of cars is tried."""
    rows = [
        Car(id=f"c{number}", weight=weight, promised_on=day(due))
        for number, (_, due, weight) in enumerate(cars)
    ]
    jobs = [
        job(f"j{number}", f"c{number}", minutes=60 * hours)
        for number, (hours, _, _) in enumerate(cars)
    ]
    who = person("p", shifts=tuple(morning(number) for number in range(8)))
    garage = shop(who, days=tuple(day(number) for number in range(8)))
    board = lay_out(rows, jobs, garage, day_moves=1, effort=EFFORT)
    best = min(_late(order) for order in permutations(cars))
    assert (board.value, board.bound) == (best, best)


def _late(order: tuple[tuple[int, int, int], ...]) -> int:
    """Return what doing cars one after the other costs: 4 hours a day, an hour is never torn."""
    done = cost = 0
    for hours, due, weight in order:
        done += hours
        cost += weight * max((done - 1) // 4 - due, 0)
    return cost


def test_a_car_on_the_lift_keeps_it_until_it_can_roll() -> None:
    jobs = [
        job("down", place=Place.LIFT, minutes=300),
        job("up", place=Place.LIFT, minutes=300, after=("down",)),
        job("other", "2", place=Place.LIFT),
    ]
    board = lay_out([Car(id="1", weight=5), Car(id="2")], jobs, shop(person("p"), person("q")))
    first = [slot for slot in board.slots if slot.car_id == "1"]
    [other] = [slot for slot in board.slots if slot.car_id == "2"]
    assert other.ends_at <= first[0].begins_at or other.begins_at >= first[-1].ends_at


def test_what_cures_holds_its_bay_and_nobody_goes_on_meanwhile() -> None:
    jobs = [job("glass", rest_minutes=120), job("trim", after=("glass",))]
    board = lay_out([Car(id="1")], jobs, shop(person("p")))
    assert [(slot.kind, slot.begins_at.hour, slot.ends_at.hour) for slot in board.slots] == [
        (BookingKind.WORK, 8, 9),
        (BookingKind.REST, 9, 11),
        (BookingKind.WORK, 11, 12),
    ]


def test_a_car_that_is_away_holds_no_bay() -> None:
    jobs = [
        job("off"),
        job("align", place=Place.AWAY, away_days=2, after=("off",)),
        job("on", after=("align",)),
    ]
    board = lay_out([Car(id="1")], jobs, shop(person("p")))
    away = next(slot for slot in board.slots if slot.kind == BookingKind.AWAY)
    assert (away.bay_id, away.person_id) == ("", "")
    assert (away.begins_at.date(), board.ready["1"]) == (day(1), day(3))


def test_the_second_look_is_somebody_elses() -> None:
    jobs = [job("work"), job("final", by_second=True, after=("work",), place=Place.NONE)]
    board = lay_out([Car(id="1")], jobs, shop(person("p"), person("q")))
    assert len({slot.person_id for slot in board.slots}) == 2


def test_who_worked_on_the_car_before_takes_no_second_look() -> None:
    jobs = [job("final", by_second=True, place=Place.NONE)]
    board = lay_out([Car(id="1", worked=("p",))], jobs, shop(person("p")))
    assert str(board.problems[0].sentence) == (
        "1: everybody who may do “Final” has worked on the car."
    )


def test_two_people_come_together_for_work_that_takes_two() -> None:
    late = person("q", shifts=(morning(2),))
    board = lay_out([Car(id="1")], [job("hood", hands=2)], shop(person("p"), late))
    assert {(slot.person_id, slot.begins_at) for slot in board.slots} == {
        ("p", moment(morning(2).begins, MONDAY)),
        ("q", moment(morning(2).begins, MONDAY)),
    }


def test_a_slow_pace_takes_more_of_an_evening() -> None:
    slow = person("p", percent=5_000)
    board = lay_out([Car(id="1")], [job("lamp")], shop(slow))
    assert board.slots[0].ends_at - board.slots[0].begins_at == 2 * (
        moment(4, MONDAY) - moment(0, MONDAY)
    )


def test_no_bay_before_the_kit_is_complete() -> None:
    board = lay_out([Car(id="1", kit_on=day(3))], [job("rack")], shop(person("p")))
    assert board.ready == {"1": day(3)}


def test_a_promise_is_kept_before_a_booking_stays() -> None:
    cars = [Car(id="1", promised_on=day(0), weight=1), Car(id="2")]
    jobs = [job("a", "1", minutes=240), job("b", "2", minutes=240)]
    standing = [Standing(job_id="a", day=day(1), person_ids=("p",), bay_id="b1")]
    who = person("p", shifts=(morning(0), morning(1)))
    board = lay_out(cars, jobs, shop(who), standing=standing)
    assert (board.moved, board.late) == (("a",), {})


def test_a_booking_stays_where_nothing_is_gained() -> None:
    standing = [Standing(job_id="a", day=day(3), person_ids=("q",), bay_id="b1")]
    board = lay_out([Car(id="1")], [job("a")], shop(person("p"), person("q")), standing=standing)
    assert (board.moved, board.value) == ((), 0)
    assert (board.slots[0].begins_at.date(), board.slots[0].person_id) == (day(3), "q")


def test_a_move_worth_more_than_a_late_day_is_not_made() -> None:
    cars = [Car(id="1", promised_on=day(0), weight=1)]
    standing = [Standing(job_id="a", day=day(1), person_ids=("p",), bay_id="b1")]
    board = lay_out(cars, [job("a")], shop(person("p")), standing=standing, day_moves=0)
    assert (board.moved, board.late) == ((), {"1": 1})


def test_what_has_begun_goes_on_with_the_same_person_in_the_same_bay() -> None:
    now = moment(36, MONDAY)
    begun = Begun(begun_at=moment(32, MONDAY), person_ids=("q",), bay_id="b2")
    bays = (Bay(id="b1", label="Bay 1"), Bay(id="b2", label="Bay 2"))
    garage = shop(person("p"), person("q"), bays=bays, now=now)
    board = lay_out([Car(id="1")], [job("a", begun=begun)], garage)
    [slot] = board.slots
    assert (slot.begins_at, slot.person_id, slot.bay_id) == (now, "q", "b2")


def test_a_car_up_on_a_lift_stays_on_it() -> None:
    bays = tuple(Bay(id=name, has_lift=True) for name in ("b1", "b2"))
    garage = shop(person("p"), bays=bays, now=moment(40, MONDAY))
    board = lay_out([Car(id="1", bay_id="b2")], [job("a", place=Place.LIFT)], garage)
    assert {slot.bay_id for slot in board.slots} == {"b2"}


def test_a_closed_bay_takes_no_car_and_a_dead_lift_lifts_none() -> None:
    closed = (Span(until_on=day(1)),)
    bays = (
        Bay(id="b1", label="Bay 1", has_lift=True, no_lift=(Span(until_on=day(2)),)),
        Bay(id="b2", label="Bay 2", closed=closed),
    )
    jobs = [job("up", place=Place.LIFT), job("flat", "2")]
    board = lay_out([Car(id="1"), Car(id="2")], jobs, shop(person("p"), bays=bays))
    assert board.ready == {"1": day(3), "2": day(0)}


@pytest.mark.parametrize(
    ("car", "fields", "said"),
    [
        (Car(id="1"), {"skills": ("brakes",)}, "1: nobody who may do “A” is there by Friday, Dece"),
        (Car(id="1"), {"hands": 2}, "1: “A” takes two people at once, and one is there by Friday"),
        (Car(id="1"), {"place": Place.LIFT}, "1 needs a lift, and none may be used by Friday, Dec"),
        (Car(id="1", kit_on=day(9)), {}, "1 has not all its parts before Wednesday, December 9, a"),
        (Car(id="1"), {"minutes": 6000}, "1 can’t be done by Friday, December 4, even if nothing "),
    ],
)
def test_what_cant_be_laid_out_says_why(car: Car, fields: dict[str, Any], said: str) -> None:
    garage = shop(person("p"), bays=(Bay(id="b1"),))
    board = lay_out([car], [job("a", **fields)], garage)
    assert str(board.problems[0].sentence).startswith(said)


def test_where_not_all_fit_the_car_with_less_need_is_named() -> None:
    cars = [Car(id="1", weight=2), Car(id="2", weight=7)]
    jobs = [job("a", "1", minutes=1800), job("b", "2", minutes=1800)]
    board = lay_out(cars, jobs, shop(person("p")))
    assert [str(problem.sentence) for problem in board.problems] == [
        "1 finds no room by Friday, December 4: other cars take the bays or people."
    ]


def test_a_circle_of_jobs_is_refused() -> None:
    jobs = [job("a", after=("b",)), job("b", after=("a",))]
    with pytest.raises(ValueError, match="“A” would have to be done before itself"):
        lay_out([Car(id="1")], jobs, shop(person("p")))


def test_nobody_there_leaves_every_car_named() -> None:
    board = lay_out([Car(id="1")], [job("a")], shop(Person(id="p", name="P")))
    assert (board.slots, len(board.problems)) == ((), 1)
