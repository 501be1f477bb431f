from __future__ import annotations

import datetime as dt

import pytest

from shared.people.forms import PaperForm, PersonEditForm, SkillForm, as_typed
from tests.factories import TODAY, make_person, make_user

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
