from __future__ import annotations

import datetime as dt

import pytest

from shared.people.models import Credential, Person, Skill, WeekHours
from tests.factories import TODAY, make_hours, make_person
from tests.refusals import assert_refused

pytestmark = pytest.mark.django_db


def hours(**fields: object) -> WeekHours:
    person = make_person()
    defaults = {"program": person.program, "person": person, "week_on": TODAY, "minutes": 60}
    return WeekHours(**defaults | fields)


def person(**fields: object) -> Person:
    return Person(**{"program": make_person().program, "name": "Ira", "kind": "paid"} | fields)


def test_a_person_of_an_unknown_kind_is_refused() -> None:
    sentence = "This kind is not known to the program."
    assert_refused(person(kind="ghost"), "person_kind_known", sentence)


@pytest.mark.parametrize(
    "fields", [{"pace_percent": 9}, {"pace_percent": 151}, {"attendance_percent": 101}]
)
def test_an_impossible_pace_is_refused(fields: dict[str, int]) -> None:
    sentence = "Pace is 10 to 150 percent, attendance 10 to 100 percent."
    assert_refused(person(**fields), "person_percents_possible", sentence)


def test_a_skill_is_signed_off_once_a_day() -> None:
    someone = make_person()
    row = {"program": someone.program, "person": someone, "code": "brakes", "since_on": TODAY}
    Skill.objects.create(**row)
    sentence = "This skill was signed off for that day already."
    assert_refused(Skill(**row), "skill_once_a_day", sentence)


def paper(**fields: object) -> Credential:
    someone = make_person()
    row = {"program": someone.program, "person": someone, "kind": "waiver", "since_on": TODAY}
    return Credential(**row | fields)


def test_a_paper_of_an_unknown_kind_is_refused() -> None:
    sentence = "This kind is not known to the program."
    assert_refused(paper(kind="diploma"), "credential_kind_known", sentence)


def test_a_paper_is_on_file_once_a_day() -> None:
    first = paper()
    first.save()
    sentence = "This paper is on file for that day already."
    assert_refused(paper(person=first.person), "credential_once_a_day", sentence)


def test_a_paper_runs_out_on_its_first_day_at_the_earliest() -> None:
    late = paper(until_on=TODAY - dt.timedelta(days=1))
    sentence = "A paper can't run out before it begins."
    assert_refused(late, "credential_dates_in_order", sentence)


def test_the_hours_of_a_week_stand_once() -> None:
    first = make_hours()
    second = hours(person=first.person)
    sentence = "This person's hours for that week are there already."
    assert_refused(second, "week_hours_once", sentence)


def test_a_week_has_168_hours() -> None:
    assert_refused(hours(minutes=10_081), "week_hours_possible", "A week has 168 hours.")


def test_a_week_is_named_by_its_monday() -> None:
    tuesday = hours(week_on=TODAY + dt.timedelta(days=1))
    assert_refused(tuesday, "week_hours_on_monday", "A week is named by its Monday.")


def test_book_time_is_what_is_given_times_attendance_times_pace() -> None:
    # 600 min x 80 % x 65 % = 312 min.
    volunteer = make_person(attendance_percent=80, pace_percent=65)
    assert hours(person=volunteer, minutes=600).book_minutes == 312
