from __future__ import annotations

import datetime as dt

import pytest
import time_machine

from shared.accounts.models import Role
from shared.accounts.roles import OFFICE, STAFF, RoleKind
from tests.factories import TODAY, make_program, make_user
from tests.refusals import assert_refused

pytestmark = pytest.mark.django_db


def make_role(**fields: object) -> Role:
    user = make_user(role=None)
    return Role(
        **{"program": user.program, "user": user, "kind": "board", "since_on": TODAY} | fields
    )


def test_a_role_of_an_unknown_kind_is_refused() -> None:
    sentence = "This kind is not known to the program."
    assert_refused(make_role(kind="king"), "role_kind_known", sentence)


def test_a_role_that_ends_before_it_begins_is_refused() -> None:
    role = make_role(until_on=TODAY - dt.timedelta(days=1))
    assert_refused(role, "role_dates_in_order", "A role can't end before it begins.")


def test_a_role_is_held_once_at_a_time() -> None:
    first = make_role()
    first.save()
    assert_refused(
        make_role(user=first.user), "role_held_once", "This person holds the role already."
    )


def test_a_role_may_be_held_again_after_it_ended() -> None:
    first = make_role(until_on=TODAY)
    first.save()
    make_role(user=first.user).save()
    assert first.user.roles.count() == 2


def test_a_role_counts_on_its_first_and_its_last_day() -> None:
    role = make_role(until_on=TODAY + dt.timedelta(days=7))
    days = [TODAY + dt.timedelta(days=step) for step in (-1, 0, 7, 8)]
    assert [role.holds_on(day) for day in days] == [False, True, True, False]


def test_a_user_without_a_program_has_no_role() -> None:
    user = make_user(role=None)
    user.program = None
    assert user.role_kinds() == frozenset()


def test_roles_of_today_open_pages() -> None:
    user = make_user(RoleKind.TREASURER)
    assert [user.is_any_of(OFFICE), user.is_any_of(STAFF), user.is_any_of({RoleKind.BOARD})] == [
        True,
        True,
        False,
    ]


@time_machine.travel("2026-12-01T03:30:00Z")
def test_today_is_the_day_where_the_program_is() -> None:
    assert make_program().today() == dt.date(2026, 11, 30)


def test_a_user_is_written_by_name_or_by_user_name() -> None:
    assert str(make_user(first_name="Ana", last_name="Rook")) == "Ana Rook"
    assert str(make_user(first_name="", last_name="", username="ana")) == "ana"
