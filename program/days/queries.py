"""What is booked, what went wrong, and the days that were proposed last."""

from __future__ import annotations

from typing import TYPE_CHECKING

from program.cases.models import Case
from program.days.models import Booking, CalendarFeed, Trouble
from shared.jobs.models import Job
from shared.people.models import Person

if TYPE_CHECKING:
    import datetime as dt

    from django.db.models import QuerySet

    from shared.accounts.models import Program, User

KIND = "replan_days"
WITH = ("case", "bay", "person", "item")


def standing(program: Program) -> QuerySet[Booking]:
    """Return the bookings that stand, past ones too, in order of time."""
    return Booking.objects.filter(program=program, ended_at=None).order_by("begins_at", "pk")


def bookings_for(user: User, begin: dt.datetime, end: dt.datetime) -> list[Booking]:
    """Return what stands between two moments, of cases that the user may see; one query."""
    seen = Booking.objects.filter(
        case__in=Case.objects.for_user(user), ended_at=None, begins_at__lt=end, ends_at__gt=begin
    )
    return list(seen.select_related(*WITH).order_by("begins_at", "pk"))


def troubles(program: Program, today: dt.date) -> QuerySet[Trouble]:
    """Return what went wrong and still counts on a day or later."""
    rows = Trouble.objects.filter(program=program, ended_at=None, until_on__gte=today)
    return rows.select_related("person", "bay", "case", "item", "by")


def newest_replan(program: Program) -> Job | None:
    """Return the job that was last asked to lay out the days anew, or None."""
    return Job.objects.filter(program=program, kind=KIND).order_by("-pk").first()


def person_of(user: User) -> Person | None:
    """Return who of the shop signs in as this user, or None."""
    return Person.objects.filter(program=user.program_id, user=user).first()


def calendars(program: Program) -> QuerySet[CalendarFeed]:
    """Return the calendars whose links open."""
    rows = CalendarFeed.objects.filter(program=program, link__revoked_at=None)
    return rows.select_related("link", "person", "made_by").order_by("pk")


def feed_bookings(feed: CalendarFeed, begin: dt.datetime) -> list[Booking]:
    """Return what a calendar shows from a moment on: of its person, or of the whole shop."""
    rows = standing(feed.program).filter(ends_at__gt=begin)
    if feed.person_id:
        rows = rows.filter(person_id=feed.person_id)
    return list(rows.select_related(*WITH))
