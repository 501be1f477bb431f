"""What the tables of the days refuse."""

from __future__ import annotations

import datetime as dt
from typing import Any
from uuid import uuid4

import pytest
from django.core.exceptions import ValidationError
from django.db import IntegrityError, transaction

from program.models import Booking, CalendarFeed, Trouble
from shared.links.purposes import LinkPurpose
from tests.factories import TODAY, make_bay, make_case, make_link, make_person, make_user
from tests.refusals import assert_refused

pytestmark = pytest.mark.django_db

EIGHT = dt.datetime(2026, 11, 30, 13, tzinfo=dt.UTC)


def booking(**fields: Any) -> Booking:
    case = make_case()
    defaults: dict[str, Any] = {
        "program": case.program,
        "cause": "plan:1",
        "case": case,
        "kind": "work",
        "title": "Front brakes",
        "begins_at": EIGHT,
        "ends_at": EIGHT + dt.timedelta(hours=1),
    }
    return Booking(**defaults | fields)


def trouble(**fields: Any) -> Trouble:
    user = make_user()
    defaults: dict[str, Any] = {
        "program": user.program,
        "kind": "person_away",
        "person": make_person(),
        "from_on": TODAY,
        "until_on": TODAY,
        "by": user,
    }
    return Trouble(**defaults | fields)


@pytest.mark.parametrize(
    ("rule", "fields", "sentence"),
    [
        ("booking_kind_known", {"kind": "nap"}, "This kind is not known to the program."),
        ("booking_times_in_order", {"ends_at": EIGHT}, "A booking ends after it begins."),
    ],
)
def test_an_impossible_booking_is_refused(rule: str, fields: dict[str, Any], sentence: str) -> None:
    assert_refused(booking(**fields), rule, sentence)


def test_the_last_day_of_a_trouble_is_not_before_the_first() -> None:
    row = trouble(until_on=TODAY - dt.timedelta(days=1))
    assert_refused(row, "trouble_days_in_order", "The last day is not before the first.")


@pytest.mark.parametrize("kind", ["person_away", "bay_closed", "part_late", "ran_over"])
def test_a_trouble_names_what_it_is_about(kind: str) -> None:
    row = trouble(kind=kind, person=None)
    sentence = "Say who is away, which bay is closed, or which car it is."
    assert_refused(row, "trouble_names_its_subject", sentence)


def test_an_unknown_kind_of_trouble_is_refused() -> None:
    rules = {rule.name: rule for rule in Trouble._meta.constraints}
    row = trouble(kind="rain")  # no kind is about rain, so that it breaks two rules at once
    with pytest.raises(ValidationError, match="This kind is not known to the program"):
        rules["trouble_kind_known"].validate(Trouble, row)
    with pytest.raises(IntegrityError), transaction.atomic():
        row.save()


def test_one_form_tells_a_trouble_once() -> None:
    key = uuid4()
    first = trouble(client_key=key)
    first.save()
    again = trouble(client_key=key, program=first.program)
    assert_refused(again, "trouble_told_once", "This was told already.")


def test_rows_say_what_they_are() -> None:
    feed = CalendarFeed(
        program=make_bay().program, link=make_link(LinkPurpose.CALENDAR), made_by=make_user()
    )
    assert str(feed) == "calendar of the shop"
    assert str(trouble()) == "person_away, 2026-11-30"
    assert str(booking()).endswith(": Front brakes")
