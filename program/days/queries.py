"""What is booked, what went wrong, and the days that were proposed last."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

from program.cases.models import Case
from program.days.bookings import Bay, Held, Person
from program.days.duty import Over, Rules
from program.days.hours import Hours, Span, shifts_of
from program.days.models import Booking, CalendarFeed, Trouble
from program.days.states import TroubleKind
from shared.jobs.models import Job
from shared.people import models as people
from shared.people.kinds import PaperKind, PersonKind
from shared.people.may import ADULT_YEARS, ROAD_TEST, SIGN_OFF
from shared.people.models import WeekHours
from sponsors.matching.models import Reservation
from sponsors.pledges.states import SupplyState
from vehicles.repairs.states import NeedState
from vehicles.shop.models import Bay as ShopBay
from vehicles.shop.queries import open_bays

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Mapping, Sequence

    from django.db.models import QuerySet

    from shared.accounts.models import Program, User
    from shared.people.may import Act
    from vehicles.repairs.models import RepairItem

KIND = "replan_days"
WITH = ("case", "bay", "person", "item")
# Work that nobody under 18 does, whoever signed them off: program policy, as `may` has it.
ADULT = frozenset({"lift", "road_test", "sign_off", "high_voltage"})
LEAP = 28


def standing(program: Program) -> QuerySet[Booking]:
    """Return the bookings that stand, past ones too, in order of time."""
    return Booking.objects.filter(program=program, ended_at=None).order_by("begins_at", "pk")


def bookings_for(user: User, begin: dt.datetime, end: dt.datetime) -> list[Booking]:
    """Return what stands between two moments, of cases that the user may see; one query."""
    seen = Booking.objects.filter(
        case__in=Case.objects.for_user(user), ended_at=None, begins_at__lt=end, ends_at__gt=begin
    )
    return list(seen.select_related(*WITH).order_by("begins_at", "pk"))


def next_work(user: User, after: dt.datetime) -> dt.datetime | None:
    """Return when the next work begins after a moment, of cases that the user may see."""
    seen = Booking.objects.filter(case__in=Case.objects.for_user(user), ended_at=None)
    later = seen.filter(begins_at__gte=after).order_by("begins_at")
    return later.values_list("begins_at", flat=True).first()


def troubles(program: Program, today: dt.date) -> QuerySet[Trouble]:
    """Return what went wrong and still counts on a day or later."""
    rows = Trouble.objects.filter(program=program, ended_at=None, until_on__gte=today)
    return rows.select_related("person", "bay", "case", "item", "by")


def newest_replan(program: Program) -> Job | None:
    """Return the job that was last asked to lay out the days anew, or None."""
    return Job.objects.filter(program=program, kind=KIND).order_by("-pk").first()


def person_of(user: User) -> people.Person | None:
    """Return who of the shop signs in as this user, or None."""
    return people.Person.objects.filter(program=user.program_id, user=user).first()


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


def people_of(
    program: Program, days: Sequence[dt.date], told: Iterable[Trouble]
) -> tuple[Person, ...]:
    """Return everybody with hours on some of the days, as the days are laid out; four queries.

    Papers are held like skills, under the words a person reads. A volunteer is there on the days
    of their waiver only; nobody is on days on which they are away.
    """
    away: dict[int | None, list[Span]] = {}
    for row in told:
        if row.kind == TroubleKind.PERSON_AWAY:
            span = Span(from_on=row.from_on, until_on=row.until_on)
            away.setdefault(row.person_id, []).append(span)
    first = days[0] - dt.timedelta(days=days[0].weekday())
    hours: dict[int, list[Hours]] = {}
    for week in WeekHours.objects.filter(program=program, week_on__range=(first, days[-1])):
        hours.setdefault(week.person_id, []).append(
            Hours(
                week_on=week.week_on,
                minutes=week.minutes,
                shifts=tuple((day, begins, long) for day, begins, long in week.shifts),
            )
        )
    rows = people.Person.objects.filter(program=program, pk__in=hours).order_by("pk")
    return tuple(
        _person(row, hours[row.pk], days, away.get(row.pk, []))
        for row in rows.prefetch_related("skills", "credentials")
    )


def _person(
    row: people.Person, hours: Iterable[Hours], days: Sequence[dt.date], away: Collection[Span]
) -> Person:
    return Person(
        id=str(row.pk),
        name=row.name,
        shifts=shifts_of(hours, days, [*away, *_out(row, days)]),
        percent=row.pace_percent * row.attendance_percent,
        held=tuple(_held(row)),
    )


def _held(row: people.Person) -> Iterable[Held]:
    for skill in row.skills.all():
        from_on = skill.since_on
        if row.born_on and skill.code in ADULT:
            from_on = max(from_on, _of_age(row.born_on))
        yield Held(code=skill.code, from_on=from_on, until_on=skill.until_on)
    for paper in row.credentials.all():
        code = PaperKind(paper.kind).within
        yield Held(code=code, from_on=paper.since_on, until_on=paper.until_on)


def _of_age(born_on: dt.date) -> dt.date:
    """Return the day somebody is 18; born on February 29, on March 1."""
    if (born_on.month, born_on.day) == (2, LEAP + 1):
        return dt.date(born_on.year + ADULT_YEARS, 3, 1)
    return born_on.replace(year=born_on.year + ADULT_YEARS)


def _out(row: people.Person, days: Sequence[dt.date]) -> Iterable[Span]:
    """Yield the days after somebody left, and those that a volunteer's waiver doesn't cover."""
    if row.left_on:
        yield Span(from_on=row.left_on + dt.timedelta(days=1))
    if row.kind != PersonKind.VOLUNTEER:
        return
    waivers = [
        Span(from_on=paper.since_on, until_on=paper.until_on)
        for paper in row.credentials.all()
        if paper.kind == PaperKind.WAIVER
    ]
    for day in every_day(days):
        if not any(waiver.holds(day) for waiver in waivers):
            yield Span(from_on=day, until_on=day)


def every_day(days: Sequence[dt.date]) -> list[dt.date]:
    """Return each day from the first to the last one, days on which the shop is shut among them."""
    return [days[0] + dt.timedelta(days=n) for n in range((days[-1] - days[0]).days + 1)]


def bays_of(program: Program, days: Sequence[dt.date], told: Iterable[Trouble]) -> tuple[Bay, ...]:
    """Return the bays, with the days on which they or their lifts can't be used; four queries."""
    usable = open_bays(program, every_day(days))
    closed = [row for row in told if row.kind == TroubleKind.BAY_CLOSED]
    found = []
    for row in ShopBay.objects.filter(program=program).order_by("name", "pk"):
        out = [day for day, bays in usable.every.items() if row.pk not in bays]
        spans = [
            Span(from_on=one.from_on, until_on=one.until_on)
            for one in closed
            if one.bay_id == row.pk
        ]
        flat = [day for day, bays in usable.lift.items() if row.pk not in bays and day not in out]
        found.append(
            Bay(
                id=str(row.pk),
                label=row.name,
                has_lift=row.has_lift,
                closed=(*spans, *(Span(from_on=day, until_on=day) for day in out)),
                no_lift=tuple(Span(from_on=day, until_on=day) for day in flat),
            )
        )
    return tuple(found)


def codes_of(acts: Iterable[Act], held: Collection[str] | None) -> tuple[str, ...]:
    """Return what a person has to hold for some acts.

    A skill under which somebody may learn beside another is asked for only where somebody holds
    it: else nobody could stand by either.
    """
    found = set()
    for act in acts:
        for code in act.skills:
            if held is None or not act.supervised or code in held:
                found.add(code)
        found |= {PaperKind(code).within for code in act.credentials}
    return tuple(sorted(found))


def coming_parts(program: Program, items: Iterable[RepairItem]) -> dict[int, dt.date | None]:
    """Return for each item that lacks a part the day it is there, or None where nobody knows."""
    needs = {
        need.pk: item.pk
        for item in items
        for need in item.needs.all()
        if need.state == NeedState.OPEN
    }
    kept = Reservation.objects.standing().filter(program=program, need__in=needs)
    there: dict[int, dt.date | None] = {}
    for row in kept.select_related("supply"):
        shelf = row.supply.state in {SupplyState.ON_SHELF, SupplyState.FITTED}
        there[row.need_id] = dt.date.min if shelf else row.supply.available_on
    found: dict[int, dt.date | None] = {}
    for need, item in sorted(needs.items()):
        day, before = there.get(need), found.get(item, dt.date.min)
        found[item] = None if day is None or before is None else max(day, before)
    return found


def rules_of(
    program: Program,
    limits: Mapping[str, int],
    people: Iterable[Person],
    told: Iterable[Trouble],
    shop: tuple[Iterable[Bay], dt.date],
) -> Rules:
    """Return what holds for all cars: final inspection, who and what is out today, what ran over.

    `shop` are its bays and the day.
    """
    bays, today = shop
    told = list(told)
    return Rules(
        final_minutes=limits["final_inspection_minutes"],
        road_skills=codes_of([ROAD_TEST], None),
        final_skills=codes_of([SIGN_OFF], None),
        percents={person.id: person.percent for person in people},
        gone=frozenset(
            str(row.person_id)
            for row in told
            if row.kind == TroubleKind.PERSON_AWAY and row.from_on <= today <= row.until_on
        ),
        shut=frozenset(bay.id for bay in bays if any(span.holds(today) for span in bay.closed)),
        over=tuple(
            Over(
                item_id=str(row.item_id),
                minutes=row.minutes,
                told_at=local(program, row.made_at),
            )
            for row in told
            if row.kind == TroubleKind.RAN_OVER and row.item_id
        ),
    )


def local(program: Program, moment: dt.datetime) -> dt.datetime:
    """Return a moment by the shop's own clock, without its zone."""
    return moment.astimezone(program.zone).replace(tzinfo=None)
