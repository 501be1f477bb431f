"""The hours of a week are written, and what is refused."""

from __future__ import annotations

import datetime as dt
from typing import Any

import pytest
from django.core.exceptions import ValidationError

from shared.audit.models import Event
from shared.dates import add_weeks, full_date, week_start
from shared.people.hours import parse
from shared.people.keeping import CHANGED, same_as_last_week, set_hours
from shared.people.models import Person, WeekHours
from shared.people.queries import as_seen
from tests.factories import make_hours, make_person, make_program, make_user

pytestmark = pytest.mark.django_db


def monday(weeks: int = 1) -> dt.date:
    return add_weeks(week_start(make_program().today()), weeks)


def write(person: Person, text: str = "Tue 18-21; Thu 18-21", **fields: Any) -> WeekHours:
    values: dict[str, Any] = {
        "week_on": monday(),
        "shifts": parse(text),
        "minutes": None,
        "seen": "none",
        "by": make_user(),
    }
    return set_hours(person=person, **values | fields)


def refused(person: Person, **fields: Any) -> list[str]:
    before = list(WeekHours.objects.values())
    with pytest.raises(ValidationError) as refusal:
        write(person, **fields)
    assert list(WeekHours.objects.values()) == before
    return refusal.value.messages


def test_the_hours_of_a_week_are_the_sum_of_its_shifts() -> None:
    row = write(make_person())
    assert (row.minutes, row.shifts) == (360, [[1, 1080, 180], [3, 1080, 180]])
    assert Event.objects.get().fields == ["weeks"]


def test_hours_on_any_day_have_no_shift() -> None:
    row = write(make_person(), "", minutes=450)
    assert (row.minutes, row.shifts) == (450, [])
    assert write(row.person, "", seen=as_seen(row)).minutes == 0


def test_the_same_again_changes_nothing_whoever_has_seen_what() -> None:
    person = make_person()
    assert write(person) == write(person)
    assert (WeekHours.objects.count(), Event.objects.count()) == (1, 1)


def test_hours_that_somebody_else_changed_are_refused() -> None:
    person = make_person()
    first = write(person)
    assert refused(person, text="Tue 18-20") == [CHANGED]
    assert write(person, "Tue 18-20", seen=as_seen(first)).minutes == 120


def test_minutes_beside_shifts_are_their_sum() -> None:
    assert refused(make_person(), minutes=361) == ["The times make another sum. Leave this empty."]
    assert write(make_person(name="Sten Voss"), minutes=360).minutes == 360


def test_a_week_that_is_over_or_far_off_is_refused() -> None:
    person, far = make_person(), monday(53)
    assert refused(person, week_on=monday(-1)) == ["This week is over; its hours stay as they are."]
    assert refused(person, week_on=far) == [f"{full_date(far)}, is more than a year ahead."]
    tuesday = monday() + dt.timedelta(days=1)
    assert refused(person, week_on=tuesday) == [f"{full_date(tuesday)}, is no Monday."]
    assert write(person, week_on=monday(0)).week_on == monday(0)


def test_somebody_who_has_left_by_then_gives_no_hours() -> None:
    last = monday() - dt.timedelta(days=1)
    assert refused(make_person(left_on=last)) == [
        f"Rosalind Amadi works here until {full_date(last)}."
    ]
    assert write(make_person(name="Sten Voss", left_on=monday())).minutes == 360


def test_shifts_that_overlap_are_refused() -> None:
    twice = [*parse("Tue 18-21"), *parse("Tue 20-22")]
    assert refused(make_person(), shifts=twice) == ["Tuesday: 18:00-21:00 and 20:00-22:00 overlap."]


def same(person: Person, weeks: int, seen: str = "none") -> WeekHours:
    return same_as_last_week(person=person, week_on=monday(weeks), seen=seen, by=make_user())


def test_a_week_is_written_as_the_one_before() -> None:
    person = make_person()
    write(person)
    row = same(person, 2)
    assert (row.week_on, row.minutes, len(row.shifts)) == (monday(2), 360, 2)
    make_hours(person=person, week_on=monday(4), minutes=90)
    assert (same(person, 5).minutes, same(person, 5).shifts) == (90, [])


def test_without_a_week_before_there_is_nothing_to_repeat() -> None:
    with pytest.raises(ValidationError) as refusal:
        same(make_person(), 2)
    assert refusal.value.messages == ["No hours are written for the week before."]
