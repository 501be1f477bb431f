"""The days as a page shows them: who does what when, and what somebody does next."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import TYPE_CHECKING

from django.urls import reverse
from django.utils import timezone

from program.days.hours import open_days
from program.days.queries import (
    bookings_for,
    local,
    newest_replan,
    next_work,
    person_of,
    troubles,
)
from program.days.revision import Revision
from program.days.states import BookingKind, TroubleKind
from shared.dates import add_weeks, long_date, parse_date, week_start
from shared.jobs.states import JobState
from shared.say import Say, say
from vehicles.intake.models import Intake

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from program.days.models import Booking, Trouble
    from shared.accounts.models import Program, User
    from shared.jobs.models import Job

NEXT = 6  # slots of one's own that are shown
AHEAD = dt.timedelta(weeks=2)  # how far one's own next work is looked for


@dataclass(frozen=True, kw_only=True)
class Line:
    """One booking as it is read: by the shop's own clock, with where its page is."""

    case: str
    title: str
    kind: BookingKind
    bay: str
    person: str
    begins_at: dt.datetime
    ends_at: dt.datetime
    car_url: str = ""
    work_url: str = ""

    @property
    def day(self) -> dt.date:
        """The day it begins."""
        return self.begins_at.date()

    @property
    def time(self) -> str:
        """From when to when, with the day where it ends on another."""
        begin = f"{self.begins_at:%-I:%M %p}"
        if self.kind == BookingKind.AWAY:
            return f"until {long_date((self.ends_at - dt.timedelta(minutes=1)).date())}"
        last = (self.ends_at - dt.timedelta(minutes=1)).date()
        ends = f"{self.ends_at:%-I:%M %p}"
        return f"{begin} to {ends}" if last == self.day else f"{begin} to {last:%a} {ends}"

    @property
    def what(self) -> str:
        """The work, or that the car cures or is away after it."""
        if self.kind in {BookingKind.REST, BookingKind.AWAY}:
            return f"{self.kind.label}: {self.title}"
        return self.title


@dataclass(frozen=True, kw_only=True)
class Day:
    """One day of the page."""

    on: dt.date
    lines: tuple[Line, ...]
    is_today: bool = False


@dataclass(frozen=True, kw_only=True)
class TroubleLine:
    """What went wrong, in a sentence, and its key."""

    pk: int
    sentence: Say
    reason: str


@dataclass(frozen=True, kw_only=True)
class DaysSheet:
    """One week: the days with their bookings, one's own next work, what went wrong."""

    first_on: dt.date
    days: tuple[Day, ...]
    mine: tuple[Line, ...]
    knows_me: bool
    troubles: tuple[TroubleLine, ...]
    before_on: dt.date
    after_on: dt.date
    next_on: dt.date | None  # the Monday of the next week with work, where this one has none

    @property
    def lines(self) -> tuple[Line, ...]:
        """All bookings of the page."""
        return tuple(line for day in self.days for line in day.lines)


def days_sheet(user: User, program: Program, first_on: dt.date, today: dt.date) -> DaysSheet:
    """Return the page of the week from a Monday on; the same number of queries for any week.

    One more where nothing is booked: when the next work is.
    """
    begin = dt.datetime.combine(first_on, dt.time(), program.zone)
    rows = bookings_for(user, begin, begin + dt.timedelta(weeks=1))
    stays = _stays(rows)
    lines = [_line(program, row, stays) for row in rows]
    me = person_of(user)
    now = timezone.now()
    own = [row for row in bookings_for(user, now, now + AHEAD) if me and row.person_id == me.pk]
    days = sorted({*open_days(first_on, 1), *(line.day for line in lines)})
    return DaysSheet(
        first_on=first_on,
        days=tuple(
            Day(
                on=day,
                lines=tuple(line for line in lines if line.day == day),
                is_today=day == today,
            )
            for day in days
            if day >= first_on
        ),
        mine=tuple(_line(program, row, _stays(own)) for row in own[:NEXT]) if own else (),
        knows_me=me is not None,
        troubles=tuple(_trouble(row) for row in troubles(program, today)),
        before_on=add_weeks(first_on, -1),
        after_on=add_weeks(first_on, 1),
        next_on=None if lines else _next_monday(user, begin, program),
    )


def _next_monday(user: User, begin: dt.datetime, program: Program) -> dt.date | None:
    """Return the Monday of the week of the next booking after a moment."""
    at = next_work(user, begin)
    return week_start(at.astimezone(program.zone).date()) if at else None


def _stays(rows: Iterable[Booking]) -> dict[int, int]:
    """Return the open stay of each vehicle; one query."""
    vehicles = {row.case.vehicle_id for row in rows} - {None}
    found = Intake.objects.open().filter(vehicle__in=vehicles)
    return dict(found.values_list("vehicle_id", "pk"))


def _line(program: Program, row: Booking, stays: Mapping[int, int]) -> Line:
    stay = stays.get(row.case.vehicle_id or 0)
    return Line(
        case=row.case.number,
        title=row.title,
        kind=BookingKind(row.kind),
        bay=str(row.bay or ""),
        person=str(row.person or ""),
        begins_at=local(program, row.begins_at),
        ends_at=local(program, row.ends_at),
        car_url=reverse("intake:vehicle_page", args=[stay]) if stay else "",
        work_url=(
            reverse("repairs:item_page", args=[row.item.intake_id, row.item.pk]) if row.item else ""
        ),
    )


def _trouble(row: Trouble) -> TroubleLine:
    return TroubleLine(pk=row.pk, sentence=trouble_in_words(row), reason=row.reason)


def trouble_in_words(row: Trouble) -> Say:
    """Return what went wrong and for how long."""
    values = {"until": long_date(row.until_on), "from_": long_date(row.from_on)}
    if row.kind == TroubleKind.PERSON_AWAY:
        return say("{who} is away from {from_} until {until}.", who=row.person, **values)
    if row.kind == TroubleKind.BAY_CLOSED:
        return say("{bay} is closed from {from_} until {until}.", bay=row.bay, **values)
    number = row.case.number if row.case else ""
    if row.kind == TroubleKind.PART_LATE:
        return say("A part for {case} is not there until {until}.", case=number, **values)
    return say(
        "{case}: “{work}” takes {minutes} minutes more.",
        case=number,
        work=row.item,
        minutes=row.minutes,
    )


@dataclass(frozen=True, kw_only=True)
class Proposal:
    """The newest days laid out anew: still computed, failed, or there to be answered."""

    job: Job
    revision: Revision | None
    answer: str

    @property
    def is_open(self) -> bool:
        """Whether a person has to accept it, or leave things as they are."""
        return self.revision is not None and not self.answer

    @property
    def refused(self) -> str:
        """Why no days were found, or why the job failed; empty for one that found some."""
        return str(self.job.payload.get("refused") or self.job.error)

    @property
    def computing(self) -> bool:
        """Whether a worker has it, or will."""
        return self.job.state in {JobState.PENDING, JobState.RUNNING}


def newest_proposal(program: Program) -> Proposal | None:
    """Return the newest days laid out anew, or None before the first."""
    job = newest_replan(program)
    if job is None:
        return None
    kept = job.payload.get("proposal")
    revision = Revision.from_json(kept) if kept and job.state == JobState.DONE else None
    return Proposal(job=job, revision=revision, answer=job.payload.get("answer", ""))


def monday_of(typed: str, today: dt.date) -> dt.date:
    """Return the Monday that an address names, this week's where it names no day.

    Raises ValueError when the text is no day, or one that no week of the shop can be near.
    """
    day = parse_date(typed) if typed else today
    return week_start(day)
