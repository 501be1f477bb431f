from __future__ import annotations

import datetime as dt
from typing import Any

import pytest
from django.test import RequestFactory

from shared.people.filters import PersonFilter
from shared.people.models import Credential, Person
from shared.people.queries import with_next_end
from tests.factories import make_person, make_user

pytestmark = pytest.mark.django_db


def named(**typed: str) -> list[str]:
    request: Any = RequestFactory().get("/")
    request.user = make_user()
    rows = with_next_end(Person.objects.all())
    return [person.name for person in PersonFilter(typed, queryset=rows, request=request).qs]


def ending(days: int, name: str) -> None:
    person = make_person(name=name)
    day = person.program.today() + dt.timedelta(days=days)
    row = {"program": person.program, "kind": "waiver", "since_on": dt.date(2020, 1, 1)}
    Credential.objects.create(person=person, until_on=day, **row)


@pytest.mark.parametrize(("papers", "names"), [("soon", ["b", "c"]), ("over", ["a"])])
def test_what_runs_out_soon_is_not_what_has_run_out(papers: str, names: list[str]) -> None:
    for name, days in (("a", -1), ("b", 0), ("c", 30), ("d", 31)):
        ending(days, name)
    assert named(papers=papers) == names


@pytest.mark.parametrize(("here", "names"), [("yes", ["on", "still"]), ("no", ["gone"])])
def test_the_last_day_is_still_a_day_here(here: str, names: list[str]) -> None:
    today = make_person(name="on").program.today()
    make_person(name="still", left_on=today)
    make_person(name="gone", left_on=today - dt.timedelta(days=1))
    assert named(here=here) == names
