"""What moves, in sentences."""

from __future__ import annotations

from program.days.bookings import Bay, Car, Standing
from program.days.changes import broken_promises, changes, dropped, other_days
from program.days.day_board import lay_out
from program.days.hours import Hours, Span, shifts_of
from tests.program.days.shops import day, job, open_days, person, shop


def test_what_moves_says_day_person_and_bay() -> None:
    bays = (Bay(id="b1", label="Bay 1", closed=(Span(),)), Bay(id="b2", label="Bay 2"))
    garage = shop(person("sten"), bays=bays)
    standing = [Standing(job_id="brakes", day=day(9), person_ids=("gone",), bay_id="b1")]
    board = lay_out([Car(id="26-043")], [job("brakes", "26-043")], garage, standing=standing)
    [change] = changes(board, standing, garage)
    assert str(change.sentence) == (
        "26-043 Brakes: Wednesday, December 9, to Monday, November 30; Sten instead of "
        "somebody who left; Bay 2 instead of Bay 1"
    )


def test_what_stays_is_not_told() -> None:
    garage = shop(person("sten"))
    standing = [Standing(job_id="a", day=day(0), person_ids=("sten",), bay_id="b1")]
    board = lay_out([Car(id="1")], [job("a")], garage, standing=standing)
    assert changes(board, standing, garage) == ()


def test_a_car_that_is_ready_on_another_day_says_so() -> None:
    standing = [Standing(job_id="a", day=day(2)), Standing(job_id="b", day=day(0))]
    jobs = [job("a"), job("b", "2"), job("c", "3")]
    board = lay_out([Car(id=number) for number in "123"], jobs, shop(person("sten")))
    assert [str(said) for said in other_days(board, standing, jobs)] == [
        "1 is ready on Monday, November 30 instead of Wednesday, December 2."
    ]


def test_a_booked_car_that_finds_no_room_falls_out() -> None:
    standing = [Standing(job_id=name, day=day(0)) for name in ("a", "b", "gone")]
    jobs = [job("a"), job("b", "2", minutes=60_000), job("c", "3", minutes=60_000)]
    cars = [Car(id=number) for number in "123"]
    board = lay_out(cars, jobs, shop(person("sten")), standing=standing)
    assert dropped(board, standing, jobs) == ("2",)


def test_a_promise_that_breaks_says_by_how_many_days() -> None:
    late = Span(from_on=day(0), until_on=day(1))
    week = Hours(week_on=day(0), minutes=2400)
    who = person("p", shifts=shifts_of([week], open_days(), [late]))
    cars = [Car(id="1", promised_on=day(1)), Car(id="2", promised_on=day(4))]
    board = lay_out(cars, [job("a"), job("b", "2")], shop(who))
    assert [str(said) for said in broken_promises(board, cars)] == [
        "1 was promised for Tuesday, December 1 and is ready on Wednesday, December 2: 1 day late."
    ]
