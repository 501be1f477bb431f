"""Booking days, telling what went wrong, accepting what was laid out anew."""

from __future__ import annotations

import datetime as dt
from dataclasses import replace
from typing import TYPE_CHECKING, Any
from uuid import uuid4

import pytest
from django.core.exceptions import ValidationError

from program.days import actions
from program.days.gathering import facts_now
from program.days.jobs import replan
from program.days.queries import newest_replan, standing
from program.days.revision import Revision
from program.models import Booking, Trouble
from shared.jobs.states import JobState
from shared.models import Event, Job
from tests.factories import TODAY, make_bay, make_person, make_program, make_user
from tests.program.days.garage import NUMBER, booked, make_car, make_garage, make_work

if TYPE_CHECKING:
    import time_machine

    from program.days.bookings import Slot
    from shared.models import Program

MIDNIGHT = dt.datetime.combine(TODAY, dt.time())

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("monday")]


def proposed(program: Program) -> tuple[Job, Revision]:
    """Return the newest proposal, computed as a worker would."""
    job = newest_replan(program)
    assert job is not None
    replan(job.payload, program)()
    Job.objects.filter(pk=job.pk).update(state=JobState.DONE)
    job.refresh_from_db()
    return job, Revision.from_json(job.payload["proposal"])


def again(program: Program) -> tuple[Job, Revision]:
    actions.ask_replan(program=program, by=make_user())
    return proposed(program)


def test_what_was_laid_out_is_booked_in_the_shops_own_time() -> None:
    program = make_garage()
    item = make_work(make_car())
    rows = booked(program)
    assert [row.title for row in rows] == ["Front brakes", "Road test", "Final inspection"]
    first = Booking.objects.order_by("begins_at")[0]
    assert (first.item, first.cause, first.kind) == (item, "plan:1", "work")
    assert first.begins_at == dt.datetime(2026, 11, 30, 13, tzinfo=dt.UTC)  # 8:00 in the shop
    assert Event.objects.filter(what="3 bookings were made.").count() == 1


def test_a_later_cause_ends_what_lies_ahead() -> None:
    program = make_garage()
    make_work(make_car())
    old = booked(program)
    new = booked(program, "plan:2")
    assert set(standing(program)) == set(new)
    ended = Booking.objects.filter(pk__in=[row.pk for row in old])
    assert {row.ended_because for row in ended} == {"plan:2"}


def test_what_is_past_stays_and_what_goes_on_keeps_its_beginning(
    monday: time_machine.Traveller,
) -> None:
    program = make_garage()
    make_work(make_car(), labor_low_minutes=240, labor_likely_minutes=240, labor_high_minutes=240)
    [first, *_] = booked(program)
    monday.move_to("2026-11-30 15:00:00+00:00")  # two hours later
    _, revision = again(program)
    actions.book(program=program, cause="replan:1", rows=revision.slots, by=None)
    goes_on = standing(program).first()
    assert goes_on is not None
    assert (goes_on.begins_at, goes_on.ends_at) == (first.begins_at, first.ends_at)
    first.refresh_from_db()
    assert first.ended_because == "replan:1"


def test_what_nobody_goes_on_with_ends_now(monday: time_machine.Traveller) -> None:
    program = make_garage()
    make_work(make_car(), labor_low_minutes=240, labor_likely_minutes=240, labor_high_minutes=240)
    [first, *_] = booked(program)
    monday.move_to("2026-11-30 15:00:00+00:00")
    actions.book(program=program, cause="plan:2", rows=(), by=None)
    first.refresh_from_db()
    assert (first.ended_at, first.ends_at) == (None, dt.datetime(2026, 11, 30, 15, tzinfo=dt.UTC))
    assert standing(program).count() == 1


def slot_of(program: Program, **fields: Any) -> Slot:
    make_work(make_car())
    booked(program)
    return replace(again(program)[1].slots[0], **fields)


@pytest.mark.parametrize(
    ("fields", "said"),
    [
        ({"car_id": "26-999"}, "There is no case 26-999."),
        ({"bay_id": "99999"}, "A booking names a bay that is not here."),
        ({"person_id": "99999"}, "A booking names a person that is not here."),
        ({"item_id": "99999"}, "A booking names a repair item that is not here."),
        (
            {"ends_at": dt.datetime.combine(TODAY, dt.time())},
            "“Front brakes” of 26-043 ends before it begins.",
        ),
    ],
)
def test_a_booking_of_nothing_here_is_refused(fields: dict[str, Any], said: str) -> None:
    program = make_garage()
    row = slot_of(program, **fields)
    with pytest.raises(ValidationError) as refusal:
        actions.book(program=program, cause="plan:3", rows=[row], by=None)
    assert refusal.value.messages == [said]


def tell(**fields: Any) -> Trouble:
    user = make_user()
    defaults: dict[str, Any] = {
        "program": user.program,
        "kind": "person_away",
        "from_on": TODAY,
        "until_on": TODAY,
        "by": user,
    }
    return actions.tell_trouble(**defaults | fields)


def test_telling_a_trouble_asks_for_days_around_it() -> None:
    program = make_garage()
    trouble = tell(person=make_person(name="Tove"), client_key=uuid4(), reason="Flu")
    assert (trouble.reason, trouble.ended_at) == ("Flu", None)
    job = newest_replan(program)
    assert job is not None
    assert (job.kind, job.payload["number"]) == ("replan_days", 1)


def test_a_form_that_is_sent_twice_tells_one_trouble() -> None:
    person, key = make_person(), uuid4()
    first = tell(person=person, client_key=key)
    assert tell(person=person, client_key=key) == first
    assert (Trouble.objects.count(), Job.objects.count()) == (1, 1)


@pytest.mark.parametrize(
    ("fields", "said"),
    [
        ({}, "Say who is away, which bay is closed, or which car it is."),
        (
            {"until_on": TODAY - dt.timedelta(days=1), "from_on": TODAY - dt.timedelta(days=3)},
            "The last day has passed: nothing can be moved for it.",
        ),
        ({"kind": "ran_over"}, "Say which work it is, and how many minutes more."),
    ],
)
def test_a_trouble_about_nothing_or_past_is_refused(fields: dict[str, Any], said: str) -> None:
    with pytest.raises(ValidationError) as refusal:
        tell(**fields)
    assert refusal.value.messages == [said]


def test_a_trouble_of_another_program_or_a_closed_case_is_refused() -> None:
    make_program()
    elsewhere = make_program(name="Another garage")
    with pytest.raises(ValidationError, match="somebody else’s program"):
        tell(person=make_person(program=elsewhere))
    closed = make_car(closed_on=TODAY)
    with pytest.raises(ValidationError, match="Case 26-043 is closed"):
        tell(kind="part_late", case=closed)


def test_a_trouble_is_taken_back_once() -> None:
    trouble, user = tell(bay=make_bay(), kind="bay_closed"), make_user()
    assert actions.take_back_trouble(trouble=trouble, by=user).ended_at is not None
    with pytest.raises(ValidationError, match="This was taken back already"):
        actions.take_back_trouble(trouble=trouble, by=user)


def test_one_request_waits_at_most() -> None:
    program, user = make_program(), make_user()
    first = actions.ask_replan(program=program, by=user)
    assert actions.ask_replan(program=program, by=user) == first


def test_days_laid_out_anew_are_booked_when_a_person_accepts_them() -> None:
    program = make_garage()
    make_work(make_car())
    person = next(row.person for row in booked(program))
    tell(person=person)
    job, revision = proposed(program)
    facts = facts_now(program, revision.laid_out_at)
    made = actions.accept_replan(
        job=job,
        rows=revision.slots,
        as_proposed=facts.fingerprint == revision.fingerprint,
        by=make_user(),
    )
    assert {row.cause for row in made} == {"replan:1"}
    assert person not in {row.person for row in standing(program) if row.begins_at.date() == TODAY}
    assert len(revision.changes) >= 1
    assert revision.changes[0].startswith(f"{NUMBER} ")


def test_a_proposal_is_answered_once() -> None:
    program, user = make_program(), make_user()
    job, revision = again(program)
    actions.keep_days(job=job, by=user)
    with pytest.raises(ValidationError, match="This proposal was answered already"):
        actions.accept_replan(job=job, rows=revision.slots, as_proposed=True, by=user)


def test_a_proposal_from_other_facts_is_refused() -> None:
    job, revision = again(make_program())
    with pytest.raises(ValidationError, match="Something has changed since"):
        actions.accept_replan(job=job, rows=revision.slots, as_proposed=False, by=make_user())


def test_only_the_newest_proposal_is_answered() -> None:
    program, user = make_program(), make_user()
    job, _ = again(program)
    actions.ask_replan(program=program, by=user)
    with pytest.raises(ValidationError, match="look at the newest proposal"):
        actions.keep_days(job=job, by=user)


def test_a_calendar_is_made_once_for_each_and_anew_after_its_end() -> None:
    program, user, person = make_program(), make_user(), make_person()
    whole = actions.make_calendar(program=program, person=None, by=user)
    own = actions.make_calendar(program=program, person=person, by=user)
    assert actions.make_calendar(program=program, person=None, by=user) == whole
    assert own != whole
    actions.end_calendar(feed=whole, by=user)
    assert actions.make_calendar(program=program, person=None, by=user) != whole


def test_nobody_of_another_program_gets_a_calendar() -> None:
    program = make_program()
    stranger = make_person(program=make_program(name="Another garage"))
    with pytest.raises(ValidationError, match="This person is not on the list"):
        actions.make_calendar(program=program, person=stranger, by=make_user())
