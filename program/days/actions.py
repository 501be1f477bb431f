"""Booking what was laid out, telling what went wrong, and accepting days laid out anew."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, Any

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone

from program.cases.models import Case
from program.days.models import Booking, CalendarFeed, Trouble
from program.days.queries import KIND, newest_replan, standing
from program.days.states import Answered, TroubleKind
from shared.accounts.models import Program
from shared.audit.actions import log_event
from shared.jobs.actions import ask
from shared.jobs.models import Job
from shared.jobs.states import JobState
from shared.links.actions import make_link, revoke
from shared.links.purposes import LinkPurpose

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from program.days.bookings import Slot
    from shared.accounts.models import User
    from shared.people.models import Person

REPLAN = KIND
LATE_BY = dt.timedelta(minutes=15)  # a slot that goes on begins at the next quarter hour
LONGEST = 120


@transaction.atomic
def book(*, program: Program, cause: str, rows: Sequence[Slot], by: User | None) -> list[Booking]:
    """Write the bookings of a board and end those of earlier causes that still lie ahead.

    `rows` are slots by the shop's clock: `car_id` is a case's number, the other ids are keys. What
    goes on now keeps its beginning where the same person goes on with it, and else ends now.

    Raises:
        ValidationError: a row names a case, person, bay or item of another program, or none.
    """
    _lock(program.pk)
    now = timezone.now()
    cases = _cases(program, rows)
    new = [_booking(program, cause, row, cases) for row in rows]
    _refuse_strangers(program, new)
    _end_ahead(program, cause, new, now)
    made = Booking.objects.bulk_create(new)
    log_event(program, f"{len(made)} bookings were made.", by=by, reason=cause)
    return made


def _cases(program: Program, rows: Iterable[Slot]) -> dict[str, int]:
    numbers = {row.car_id for row in rows}
    found = Case.objects.filter(program=program, number__in=numbers).values_list("number", "pk")
    cases = dict(found)
    missing = sorted(numbers - set(cases))
    if missing:
        raise ValidationError(f"There is no case {missing[0]}.")
    return cases


def _booking(program: Program, cause: str, row: Slot, cases: dict[str, int]) -> Booking:
    if row.ends_at <= row.begins_at:
        raise ValidationError(f"“{row.title}” of {row.car_id} ends before it begins.")
    return Booking(
        program=program,
        cause=cause,
        case_id=cases[row.car_id],
        item_id=int(row.item_id) if row.item_id else None,
        kind=row.kind,
        title=row.title[:LONGEST],
        bay_id=int(row.bay_id) if row.bay_id else None,
        person_id=int(row.person_id) if row.person_id else None,
        begins_at=row.begins_at.replace(tzinfo=program.zone),
        ends_at=row.ends_at.replace(tzinfo=program.zone),
    )


def _refuse_strangers(program: Program, rows: Iterable[Booking]) -> None:
    """Refuse what belongs to another program; one query for each kind of thing."""
    for name, words in (("bay", "a bay"), ("person", "a person"), ("item", "a repair item")):
        asked = {getattr(row, f"{name}_id") for row in rows} - {None}
        model: Any = Booking._meta.get_field(name).related_model
        if model.objects.filter(program=program, pk__in=asked).count() != len(asked):
            raise ValidationError(f"A booking names {words} that is not here.")


def _end_ahead(program: Program, cause: str, new: Sequence[Booking], now: dt.datetime) -> None:
    goes_on = {_same(row): row for row in new if row.begins_at <= now + LATE_BY}
    for old in standing(program).filter(ends_at__gt=now):
        follows = goes_on.get(_same(old))
        if old.begins_at >= now or follows:
            if follows and old.begins_at < follows.begins_at:
                follows.begins_at = old.begins_at
            old.ended_at, old.ended_because = now, cause[:LONGEST]
            old.save(update_fields=["ended_at", "ended_because"])
        else:
            old.ends_at = now
            old.save(update_fields=["ends_at"])


def _same(row: Booking) -> tuple[object, ...]:
    return (row.case_id, row.item_id, row.kind, row.title, row.person_id, row.bay_id)


@transaction.atomic
def tell_trouble(
    *, program: Program, kind: str, from_on: dt.date, until_on: dt.date, by: User, **about: Any
) -> Trouble:
    """Return what went wrong, and ask for days laid out around it.

    `about` are the fields of the model: person, bay, case, item, minutes, reason, client_key. A
    form that is sent twice tells it once.

    Raises:
        ValidationError: the days are not in order or past, or what it is about is missing, gone or
            of another program.
    """
    _lock(program.pk)
    key = about.get("client_key")
    if key and (told := Trouble.objects.filter(program=program, client_key=key).first()):
        return told
    trouble = Trouble(
        program=program, kind=kind, from_on=from_on, until_on=until_on, by=by, **about
    )
    _refuse_trouble(trouble, program)
    trouble.full_clean()
    trouble.save()
    log_event(trouble, "Trouble with the days was told.", by=by, fields=["kind"])
    ask_replan(program=program, by=by)
    return trouble


def _refuse_trouble(trouble: Trouble, program: Program) -> None:
    about = (trouble.person, trouble.bay, trouble.case, trouble.item)
    if any(row is not None and row.program_id != program.pk for row in about):
        raise ValidationError("This belongs to somebody else’s program.")
    if trouble.until_on < program.today():
        raise ValidationError({"until_on": "The last day has passed: nothing can be moved for it."})
    if trouble.case and trouble.case.closed_on:
        raise ValidationError({"case": f"Case {trouble.case.number} is closed."})
    if trouble.kind == TroubleKind.RAN_OVER and not (trouble.item and trouble.minutes):
        raise ValidationError({"minutes": "Say which work it is, and how many minutes more."})


@transaction.atomic
def take_back_trouble(*, trouble: Trouble, by: User) -> Trouble:
    """Let a trouble count no longer, and ask for days laid out without it.

    Raises ValidationError when it was taken back before.
    """
    _lock(trouble.program_id)
    found = Trouble.objects.select_for_update(of=("self",)).get(pk=trouble.pk)
    if found.ended_at:
        raise ValidationError("This was taken back already.")
    found.ended_at = timezone.now()
    found.save(update_fields=["ended_at"])
    log_event(found, "Trouble with the days was taken back.", by=by, fields=["ended_at"])
    ask_replan(program=found.program, by=by)
    return found


@transaction.atomic
def ask_replan(*, program: Program, by: User | None) -> Job:
    """Ask a job to lay out the days anew, from the facts as they will be then; one waits at most.

    What was proposed before and not answered is followed by the new proposal.
    """
    _lock(program.pk)
    newest = newest_replan(program)
    if newest and newest.state == JobState.PENDING:
        return newest
    number = Job.objects.filter(program=program, kind=REPLAN).count() + 1
    key = f"{REPLAN}:{number}"
    job = ask(program=program, key=key, kind=REPLAN, payload={"key": key, "number": number})
    log_event(program, "The days are to be laid out anew.", by=by)
    return job


def keep_proposal(*, program: Program, key: str, proposal: dict[str, Any]) -> None:
    """Keep what was computed with the job that computed it, for a person to accept."""
    job = Job.objects.select_for_update(of=("self",)).get(program=program, key=key)
    job.payload = job.payload | {"proposal": proposal}
    job.save(update_fields=["payload"])


def keep_refusal(*, program: Program, key: str, because: str) -> None:
    """Keep with the job why no days were found."""
    job = Job.objects.select_for_update(of=("self",)).get(program=program, key=key)
    job.payload = job.payload | {"refused": because}
    job.save(update_fields=["payload"])


@transaction.atomic
def accept_replan(*, job: Job, rows: Sequence[Slot], as_proposed: bool, by: User) -> list[Booking]:
    """Book the days as proposed; the standing bookings ahead end.

    `as_proposed` says whether the facts are still those that the proposal was computed from.

    Raises:
        ValidationError: it was answered, followed by another proposal, or the facts have changed.
    """
    found = _unanswered(job)
    if not as_proposed:
        raise ValidationError(
            "Something has changed since these days were laid out. Lay them out again, then accept."
        )
    made = book(program=found.program, cause=f"replan:{found.payload['number']}", rows=rows, by=by)
    _answer(found, Answered.ACCEPTED, by)
    return made


@transaction.atomic
def keep_days(*, job: Job, by: User) -> Job:
    """Leave the bookings as they stand, whatever was proposed.

    Raises ValidationError when it was answered, or followed by another proposal.
    """
    found = _unanswered(job)
    _answer(found, Answered.KEPT, by)
    return found


def _unanswered(job: Job) -> Job:
    _lock(job.program_id)
    newest = newest_replan(job.program)
    if newest is None or newest.pk != job.pk or newest.state != JobState.DONE:
        raise ValidationError("The days are being laid out anew: look at the newest proposal.")
    if newest.payload.get("answer"):
        raise ValidationError("This proposal was answered already.")
    return newest


def _answer(job: Job, answer: Answered, by: User) -> None:
    job.payload = job.payload | {"answer": answer, "by": by.pk}
    job.save(update_fields=["payload"])
    log_event(job.program, f"The days laid out anew were {answer}.", by=by, reason=job.key)


@transaction.atomic
def make_calendar(*, program: Program, person: Person | None, by: User) -> CalendarFeed:
    """Return a new private link to the bookings of one person, or with None of the whole shop.

    The one that stands for them is returned as it is.

    Raises ValidationError when the person is not of this program.
    """
    _lock(program.pk)
    if person is not None and person.program_id != program.pk:
        raise ValidationError("This person is not on the list.")
    there = CalendarFeed.objects.filter(program=program, person=person, link__revoked_at=None)
    if same := there.select_related("link").first():
        return same
    link = make_link(program, LinkPurpose.CALENDAR)
    feed = CalendarFeed(program=program, link=link, person=person, made_by=by)
    feed.full_clean()
    feed.save()
    log_event(feed, "A calendar link was made.", by=by)
    return feed


@transaction.atomic
def end_calendar(*, feed: CalendarFeed, by: User) -> CalendarFeed:
    """Take the link of a calendar back: whoever has it reads nothing any more."""
    revoke(feed.link, by=by)
    log_event(feed, "The calendar link was taken back.", by=by)
    return feed


def _lock(program: int) -> None:
    """Lock the row of a program, by id, before any other, so that nobody waits in a circle."""
    Program.objects.select_for_update(no_key=True).get(pk=program)
