from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, Any

import pytest
from django.core.exceptions import ValidationError

from shared.accounts.roles import RoleKind
from shared.people import queries
from shared.people.may import INSPECT, ROAD_TEST, UNDER_RAISED_CAR
from shared.people.models import Credential, Person
from tests.factories import TODAY, make_able, make_hours, make_person, make_program, make_user

if TYPE_CHECKING:
    from pytest_django import DjangoAssertNumQueries

pytestmark = pytest.mark.django_db


def paper(person: Person, until_on: dt.date | None, **fields: Any) -> Credential:
    row = {"program": person.program, "kind": "waiver", "since_on": dt.date(2025, 1, 1)}
    return Credential.objects.create(person=person, until_on=until_on, **row | fields)


def ends(person: Person) -> tuple[dt.date | None, str | None]:
    found: Any = queries.with_next_end(Person.objects.filter(pk=person.pk)).get()
    return found.ends_on, found.ends_kind


def test_a_technician_with_everything_is_not_refused() -> None:
    user = make_user(RoleKind.TECHNICIAN)
    queries.refuse_unless_may_all(user, (INSPECT, UNDER_RAISED_CAR, ROAD_TEST), TODAY)


def test_who_is_nobody_of_the_shop_is_refused() -> None:
    with pytest.raises(ValidationError) as refusal:
        queries.refuse_unless_may(make_user(first_name="Ira", last_name="Hale"), INSPECT, TODAY)
    assert refusal.value.messages == ["Ira Hale is not on the list of people who work in the shop."]


def test_a_refusal_has_the_sentences_of_the_blockers_each_once() -> None:
    user = make_user(RoleKind.TECHNICIAN, person=False)
    make_person(user=user, name="Tove Lindgren", kind="volunteer")
    with pytest.raises(ValidationError) as refusal:
        queries.refuse_unless_may_all(user, (INSPECT, UNDER_RAISED_CAR), TODAY)
    assert refusal.value.messages == [
        "No volunteer waiver of Tove Lindgren is on file.",
        "Tove Lindgren is not signed off for the lift.",
    ]


def test_an_age_that_nobody_noted_refuses_nothing() -> None:
    user = make_user(RoleKind.TECHNICIAN)
    Person.objects.filter(user=user).update(born_on=None)
    queries.refuse_unless_may(user, UNDER_RAISED_CAR, TODAY)


def test_the_worker_of_a_user_is_read_in_three_queries(
    django_assert_num_queries: DjangoAssertNumQueries,
) -> None:
    user = make_user(RoleKind.TECHNICIAN, first_name="Sten", last_name="Voss")
    with django_assert_num_queries(3):
        known = queries.worker_of(user)
    assert known is not None
    assert (known.name, len(known.credentials)) == ("Sten Voss", 6)
    assert known.born_on == dt.date(1980, 5, 1)


def test_somebody_of_the_office_is_no_worker() -> None:
    assert queries.worker_of(make_user()) is None


@pytest.mark.parametrize("role", [RoleKind.TECHNICIAN, RoleKind.VOLUNTEER])
def test_the_others_see_themselves_alone(role: RoleKind) -> None:
    user = make_user(role, person=False)
    mine = make_person(user=user)
    make_person(name="Sten Voss")
    assert list(queries.people_for(user)) == [mine]


def test_who_keeps_the_papers_sees_everybody_of_the_program_and_nobody_else() -> None:
    mine = make_person()
    make_person(program=make_program(name="Another garage"))
    assert list(queries.people_for(make_user())) == [mine]


def test_the_paper_that_runs_out_first_is_named() -> None:
    person = make_person()
    paper(person, TODAY + dt.timedelta(days=40))
    paper(person, TODAY + dt.timedelta(days=9), kind="driver_license")
    assert ends(person) == (TODAY + dt.timedelta(days=9), "driver_license")


def test_a_paper_that_was_renewed_or_ended_does_not_count() -> None:
    person = make_person()
    paper(person, TODAY)
    paper(person, None, since_on=TODAY)
    paper(person, TODAY, kind="driver_license", ended_because="suspended")
    assert ends(person) == (None, None)


def test_those_who_left_are_not_counted_among_what_runs_out() -> None:
    for left_on in (None, TODAY - dt.timedelta(days=1)):
        paper(make_person(left_on=left_on), TODAY + dt.timedelta(days=30))
    paper(make_person(), TODAY + dt.timedelta(days=31))
    [found] = queries.running_out(make_user(), TODAY)
    assert (found.left_on, found.ends_kind) == (None, "waiver")


def test_each_act_is_answered_for_one_day() -> None:
    able = make_able(make_person())
    assert [str(one.act.what) for one in queries.answers(able, TODAY) if one.against] == []
    able.left_on = TODAY
    late = queries.answers(able, TODAY + dt.timedelta(days=1))
    assert [len(one.against) for one in late] == [1] * 10


def test_a_sign_in_belongs_to_one_person() -> None:
    keeper = make_user()
    free = make_user(RoleKind.TECHNICIAN, person=False)
    taken = make_user(RoleKind.TECHNICIAN)
    make_user(RoleKind.SPONSOR)
    person = Person.objects.get(user=taken)
    assert set(queries.users_without_person(keeper)) == {keeper, free}
    assert set(queries.users_without_person(keeper, person)) == {keeper, free, taken}


def test_nine_weeks_lie_ahead_written_or_not(
    django_assert_num_queries: DjangoAssertNumQueries,
) -> None:
    person = make_person()
    make_hours(person=person, minutes=180, shifts=[[1, 1080, 180]])
    with django_assert_num_queries(1):
        lines = queries.weeks_ahead(person, TODAY + dt.timedelta(days=6))
    assert [line.week_on for line in lines] == [
        TODAY + dt.timedelta(weeks=number) for number in range(9)
    ]
    assert [(line.shifts, line.seen, line.has_before) for line in lines[:3]] == [
        ("Tue 18:00-21:00", "180 Tue 18:00-21:00", False),
        ("", "none", True),
        ("", "none", False),
    ]
