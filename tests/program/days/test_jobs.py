"""What a worker does for the days."""

from __future__ import annotations

import datetime as dt

import pytest
from django.utils import timezone

from program.days.actions import ask_replan
from program.days.gathering import facts_now
from program.days.jobs import replan, revise
from program.days.sheet import newest_proposal
from program.models import Trouble
from shared.jobs.states import JobState
from shared.models import Job, Person
from tests.factories import TODAY, make_program, make_user
from tests.program.days.garage import booked, make_car, make_garage, make_work

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("monday")]


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
    for person in Person.objects.filter(program=program):
        Trouble.objects.create(
            program=program,
            kind="person_away",
            person=person,
            from_on=TODAY,
            until_on=TODAY,
            by=make_user(),
        )
    now = timezone.now()
    [said] = revise(facts_now(program, now), now).broken
    assert said == (
        "26-043 was promised for Monday, November 30 and is ready on Tuesday, December 1: "
        "1 day late."
    )


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
