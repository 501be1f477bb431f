"""Reading the solver's answer as slots."""

from __future__ import annotations

from program.days.bookings import Car
from program.days.day_board import lay_out
from program.days.reading import sinks
from tests.program.days.shops import day, job, person, shop


def test_work_longer_than_a_day_has_a_slot_for_each_day() -> None:
    board = lay_out([Car(id="1")], [job("head", minutes=600)], shop(person("p")))
    assert [(slot.begins_at.date(), slot.begins_at.hour) for slot in board.slots] == [
        (day(0), 8),
        (day(1), 8),
    ]
    assert board.ready == {"1": day(1)}


def test_the_last_jobs_are_those_that_nothing_follows() -> None:
    jobs = [job("a"), job("b", after=("a",)), job("c"), job("d", "2")]
    assert sinks(jobs, "1") == ["b", "c"]
