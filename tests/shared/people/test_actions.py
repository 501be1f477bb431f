from __future__ import annotations

import datetime as dt

import pytest
from django.core.exceptions import ValidationError

from shared.accounts.models import Role, User
from shared.accounts.roles import RoleKind
from shared.audit.models import Event
from shared.people.actions import end_role, grant_role
from tests.factories import TODAY, make_user

pytestmark = pytest.mark.django_db


def grant(user: User) -> Role:
    return grant_role(user=user, kind=RoleKind.BOARD, since_on=TODAY, by=make_user())


def test_a_granted_role_stands_from_its_day_and_in_the_log() -> None:
    role = grant(make_user(role=None))
    assert (role.kind, role.since_on, role.until_on) == ("board", TODAY, None)
    assert Event.objects.about("role", role.pk).get().what == "Gave the role of board."


def test_a_role_held_already_is_not_granted_twice() -> None:
    role = grant(make_user(role=None))
    with pytest.raises(ValidationError) as refusal:
        grant(role.user)
    assert refusal.value.messages == ["This person holds the role already."]
    assert role.user.roles.count() == 1


def test_a_user_of_no_program_gets_no_role() -> None:
    user = make_user(role=None)
    user.program = None
    with pytest.raises(ValidationError) as refusal:
        grant(user)
    assert refusal.value.messages == ["This person belongs to no program yet."]


def test_an_ended_role_stays_on_record() -> None:
    role = grant(make_user(role=None))
    end_role(role=role, until_on=TODAY, by=make_user())
    kept = Role.objects.get(pk=role.pk)
    assert kept.until_on == TODAY
    assert Event.objects.about("role", role.pk).count() == 2


def test_a_role_does_not_end_before_it_began() -> None:
    role = grant(make_user(role=None))
    with pytest.raises(ValidationError) as refusal:
        end_role(role=role, until_on=TODAY - dt.timedelta(days=1), by=make_user())
    assert refusal.value.messages == ["A role can't end before it begins."]
    assert Role.objects.get(pk=role.pk).until_on is None
