"""What a worker does for the days."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

import pytest
from django.utils import timezone

from program.days.actions import ask_replan
from program.days.gathering import facts_now
from program.days.jobs import replan, revise
from program.days.sheet import newest_proposal
from program.models import Trouble
from shared.jobs.actions import ask_to_stop, claim
from shared.jobs.states import JobState
from shared.models import Job, Person
from tests.factories import TODAY, make_program, make_user
from tests.program.days.garage import booked, make_car, make_garage, make_work

if TYPE_CHECKING:
    from shared.models import Program

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("monday")]


def away(program: Program, until_on: dt.date) -> None:
    """Let everybody be away from today on."""
    for person in Person.objects.filter(program=program):
        Trouble.objects.create(
            program=program,
            kind="person_away",
            person=person,
            from_on=TODAY,
            until_on=until_on,
            by=make_user(),
        )


def test_with_nothing_wrong_nothing_moves() -> None:
    program = make_garage()
    make_work(make_car())
    booked(program)
    now = timezone.now()
    revision = revise(facts_now(program, now), now)
    assert (revision.changes, revision.broken, revision.problems, revision.value) == ((), (), (), 0)


def test_a_promise_that_has_to_break_is_named() -> None:
    program = make_garage()
    make_work(make_car(promised_on=TODAY))
    booked(program)
    away(program, until_on=TODAY)
    now = timezone.now()
    [said] = revise(facts_now(program, now), now).broken
    assert said == (
        "26-043 was promised for Monday, November 30 and is ready on Tuesday, December 1: "
        "1 day late."
    )


def test_a_car_promised_for_no_day_is_wanted_on_the_day_it_is_booked_for() -> None:
    program = make_garage()
    make_work(make_car())
    booked(program)
    away(program, until_on=TODAY)
    now = timezone.now()
    facts = facts_now(program, now)
    found, [car] = revise(facts, now), facts.cars
    late = facts.day_moves * max(car.weight, 1)
    assert (car.promised_on, found.broken) == (None, ())
    assert found.value == len(found.changes) + late


def test_what_is_not_ticked_off_is_told() -> None:
    program = make_garage()
    make_work(make_car())
    rows = booked(program)
    later = rows[0].ends_at + dt.timedelta(minutes=5)
    assert (
        revise(facts_now(program, later), later)
        .problems[0]
        .startswith("“Front brakes” of 26-043 was booked until Mon 9:00 AM and is not ticked off")
    )


def test_what_was_computed_is_kept_with_its_job() -> None:
    program = make_program()
    job = ask_replan(program=program, by=None)
    write = replan(job.payload, program)
    found = newest_proposal(program)
    assert found is not None
    assert (found.computing, found.revision) == (True, None)
    write()
    Job.objects.filter(pk=job.pk).update(state=JobState.DONE)
    found = newest_proposal(program)
    assert found is not None
    assert (found.computing, found.is_open) == (False, True)


def test_the_job_says_how_far_it_is() -> None:
    program = make_garage()
    make_work(make_car())
    booked(program)
    job = ask_replan(program=program, by=None)
    assert claim(timezone.now()) == job
    replan(job.payload, program)
    job.refresh_from_db()
    assert (job.percent, job.doing) == (90, "What stands in the way")


def test_a_job_that_was_stopped_at_once_says_that_there_are_no_days() -> None:
    program = make_garage()
    job = ask_replan(program=program, by=None)
    assert claim(timezone.now()) == job
    ask_to_stop(job=job, by=make_user())
    replan(job.payload, program)()
    Job.objects.filter(pk=job.pk).update(state=JobState.DONE, lease_until=None)
    found = newest_proposal(program)
    assert found is not None
    assert (found.revision, found.is_open) == (None, False)
    assert found.refused == "Somebody stopped the search before it had found any days."


def test_a_booked_car_without_room_is_named() -> None:
    program = make_garage()
    make_work(make_car())
    booked(program)
    away(program, until_on=TODAY + dt.timedelta(weeks=8))
    now = timezone.now()
    found = revise(facts_now(program, now), now)
    assert (found.dropped, found.changes, len(found.problems)) == (("26-043",), (), 1)
