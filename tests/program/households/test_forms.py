from __future__ import annotations

from typing import Any

import pytest

from program.households.forms import ContactForm, StageForm, TieForm
from tests.factories import make_household, make_program, make_user

pytestmark = pytest.mark.django_db


def test_only_stages_that_may_follow_are_offered() -> None:
    form = StageForm(make_household(stage="back_on_road"))
    choices: Any = form.fields["to"]
    assert choices.choices == [
        ("being_served", "Being served"),
        ("followed_up", "Followed up"),
    ]


def test_the_contact_form_opens_with_the_rule_as_it_stands() -> None:
    home = make_household()
    form = ContactForm.for_household(home)
    assert form.initial["email"] == home.address.email
    assert form.initial["says"] == "progress"
    assert form.initial["asked_on"] == home.safe_contact_on


def test_only_people_of_the_program_can_be_tied() -> None:
    home, user = make_household(), make_user()
    make_user(program=make_program(name="Another garage"))
    people: Any = TieForm(home).fields["user"]
    assert list(people.queryset) == [user]
