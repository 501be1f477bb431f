"""What is booked, as it is read."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

import pytest

from program.days.queries import (
    bookings_for,
    calendars,
    codes_of,
    every_day,
    feed_bookings,
    person_of,
    standing,
    troubles,
)
from program.models import CalendarFeed, Tie, Trouble
from shared.accounts.roles import RoleKind
from shared.links.actions import revoke
from shared.links.purposes import LinkPurpose
from shared.people.may import ROAD_TEST, work_on
from tests.factories import TODAY, make_bay, make_link, make_program, make_user
from tests.program.days.garage import booked, make_car, make_garage, make_work

if TYPE_CHECKING:
    from shared.models import User

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("monday")]

BEGIN = dt.datetime(2026, 11, 30, tzinfo=dt.UTC)
WEEK = dt.timedelta(weeks=1)


def seen(user: User) -> int:
    return len(bookings_for(user, BEGIN, BEGIN + WEEK))


def test_bookings_of_a_household_one_is_tied_to_are_not_seen() -> None:
    program, user = make_garage(), make_user()
    case = make_car()
    make_work(case)
    booked(program)
    assert seen(user) == 3
    assert case.household is not None
    Tie.objects.create(program=program, user=user, household=case.household)
    assert seen(user) == 0


def test_what_ended_or_lies_elsewhere_in_time_is_not_read() -> None:
    program, user = make_garage(), make_user()
    make_work(make_car())
    booked(program)
    assert len(bookings_for(user, BEGIN - WEEK, BEGIN)) == 0
    standing(program).update(ended_at=BEGIN)
    assert seen(user) == 0


def test_a_trouble_counts_until_its_last_day_and_not_once_taken_back() -> None:
    program, user = make_program(), make_user()
    row = Trouble.objects.create(
        program=program,
        kind="bay_closed",
        bay=make_bay(),
        from_on=TODAY,
        until_on=TODAY,
        by=user,
    )
    assert list(troubles(program, TODAY)) == [row]
    assert list(troubles(program, TODAY + dt.timedelta(days=1))) == []
    Trouble.objects.update(ended_at=BEGIN)
    assert list(troubles(program, TODAY)) == []


def test_whoever_works_here_is_known_by_their_sign_in() -> None:
    technician = make_user(RoleKind.TECHNICIAN)
    assert str(person_of(technician)) == str(technician)
    assert person_of(make_user()) is None


def test_a_calendar_of_one_person_shows_theirs_alone() -> None:
    program, user = make_garage(), make_user()
    make_work(make_car())
    person = booked(program)[0].person
    link = make_link(LinkPurpose.CALENDAR)
    feed = CalendarFeed.objects.create(program=program, link=link, person=person, made_by=user)
    own = feed_bookings(feed, BEGIN)
    assert {row.person for row in own} == {person}
    feed.person = None
    assert len(feed_bookings(feed, BEGIN)) == 3
    assert list(calendars(program)) == [feed]
    revoke(link)
    assert list(calendars(program)) == []


def test_papers_are_asked_for_in_words_and_supervised_skills_where_held() -> None:
    assert codes_of([ROAD_TEST], None) == ("driver license", "insurer’s listing", "road_test")
    assert codes_of([work_on("lights")], frozenset()) == ()
    assert codes_of([work_on("brakes")], frozenset()) == ("brakes",)


def test_every_day_holds_the_weekend_between() -> None:
    days = [TODAY, TODAY + dt.timedelta(days=7)]
    assert len(every_day(days)) == 8
