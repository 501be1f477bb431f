"""What a person types about the days."""

from __future__ import annotations

from typing import Any
from uuid import uuid4

import pytest

from program.days.forms import COUNTS, FORMS, CalendarForm
from program.days.states import TroubleKind
from tests.factories import TODAY, make_bay, make_person, make_program, make_user
from tests.program.days.garage import booked, make_car, make_garage, make_work

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("monday")]


def form(kind: TroubleKind, **sent: Any) -> Any:
    sent = {"client_key": str(uuid4()), "from_on": "2026-11-30", "until_on": "2026-12-01"} | sent
    return FORMS[kind](sent, user=make_user(), today=TODAY)


def test_away_until_before_from_is_refused_in_words() -> None:
    person = make_person()
    typed = form(TroubleKind.PERSON_AWAY, person=person.pk, until_on="2026-11-01")
    assert typed.errors["until_on"] == [
        "The last day is before Monday, November 30, 2026, the first."
    ]


def test_an_unknown_person_and_somebody_elses_are_no_choice() -> None:
    make_program()
    stranger = make_person(program=make_program(name="Another garage"))
    for pk in (stranger.pk, 99_999):
        typed = form(TroubleKind.PERSON_AWAY, person=pk)
        assert list(typed.errors) == ["person"]


def test_a_bay_is_closed_for_days() -> None:
    bay = make_bay()
    typed = form(TroubleKind.BAY_CLOSED, bay=bay.pk)
    assert typed.is_valid()
    assert typed.cleaned_data["bay"] == bay


def test_a_part_is_late_from_today_on_for_a_car_that_is_booked() -> None:
    program, case = make_garage(), make_car()
    make_work(case)
    assert not form(TroubleKind.PART_LATE, case=case.pk).is_valid()
    booked(program)
    typed = form(TroubleKind.PART_LATE, case=case.pk)
    assert typed.is_valid()
    assert typed.cleaned_data["from_on"] == TODAY


def test_work_that_ran_over_names_its_car_and_counts_on() -> None:
    program, case = make_garage(), make_car()
    item = make_work(case)
    booked(program)
    typed = form(TroubleKind.RAN_OVER, item=item.pk, minutes="45")
    assert typed.is_valid()
    values = typed.cleaned_data
    assert (values["case"], values["minutes"], values["until_on"]) == (case, 45, TODAY + COUNTS)
    assert [label for _, label in typed.fields["item"].choices][1:] == ["26-043 Front brakes"]


def test_minutes_that_make_no_sense_are_refused() -> None:
    typed = form(TroubleKind.RAN_OVER, minutes="-5")
    assert typed.errors["minutes"] == ["“-5” is not possible. Type a whole number from 1 to 3,000."]


def test_a_calendar_is_of_the_whole_shop_unless_somebody_is_named() -> None:
    typed = CalendarForm({}, user=make_user())
    assert typed.is_valid()
    assert typed.cleaned_data == {"person": None}
