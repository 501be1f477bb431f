from __future__ import annotations

import datetime as dt

import pytest

from shared.people.forms import HoursForm, PaperForm, PersonEditForm, SkillForm, as_typed
from tests.factories import TODAY, make_hours, make_person, make_user

pytestmark = pytest.mark.django_db


def test_a_person_is_shown_as_on_record() -> None:
    person = make_person(born_on=dt.date(1980, 5, 1), pace_percent=90)
    typed = as_typed(person)
    assert (typed["name"], typed["born_on"], typed["pace_percent"], typed["version"]) == (
        "Rosalind Amadi",
        dt.date(1980, 5, 1),
        90,
        1,
    )
    form = PersonEditForm(user=make_user(), person=person, initial=typed)
    assert 'value="1980-05-01"' in str(form["born_on"])


def test_a_skill_is_not_signed_off_for_a_day_that_has_not_come() -> None:
    form = SkillForm({"code": "brakes", "since_on": "2026-12-01"}, today=TODAY)
    assert form.errors == {"since_on": ["Tuesday, December 1, 2026, has not come yet."]}


def test_a_skill_that_the_shop_does_not_know_is_refused() -> None:
    form = SkillForm({"code": "juggling", "since_on": "2026-11-30"}, today=TODAY)
    assert list(form.errors) == ["code"]


def test_a_paper_needs_its_kind_and_first_day() -> None:
    assert set(PaperForm({}).errors) == {"kind", "since_on"}


def test_the_shifts_of_a_week_stand_at_their_days() -> None:
    row = make_hours(shifts=[[1, 1080, 180], [1, 480, 60]], minutes=240)
    form = HoursForm(row=row, seen="240")
    assert list(form.fields)[:2] == ["monday", "tuesday"]
    assert form["tuesday"].value() == "18:00-21:00, 8:00-9:00"
    assert (form["hours"].value(), form["seen"].value()) == (None, "240")
    assert HoursForm(row=make_hours(), seen="")["hours"].value() == "20:00"


def test_a_week_is_put_together_as_the_action_takes_it() -> None:
    form = HoursForm({"tuesday": "18-21, 8 to 9", "seen": "none"}, row=None, seen="none")
    assert form.is_valid()
    shifts = form.cleaned_data.pop("shifts")
    assert [shift.row for shift in shifts] == [(1, 480, 60), (1, 1080, 180)]
    assert form.cleaned_data == {"minutes": None, "seen": "none"}


def test_each_day_and_the_hours_tell_what_is_wrong_with_them() -> None:
    typed = {"monday": "8-9, 8-9", "sunday": "all day", "hours": "200"}
    form = HoursForm(typed, row=None, seen="none")
    assert form.errors == {
        "monday": ["Monday: 8:00-9:00 and 8:00-9:00 overlap."],
        "sunday": ["“all day” is no time. Type such as 17:30-20:30."],
        "hours": ["“200” is not a number of hours in a week."],
    }
