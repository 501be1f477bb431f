"""Adding somebody who may sign in."""

from __future__ import annotations

import pytest
from django.core.management import CommandError, call_command

from shared.accounts.models import User
from shared.accounts.roles import RoleKind
from shared.management.commands import add_user
from tests.factories import make_program, make_user

pytestmark = pytest.mark.django_db

GOOD = "a-long-pass-phrase-of-ours"


def type_in(monkeypatch: pytest.MonkeyPatch, *answers: str) -> None:
    """Let a person type these answers, one after the other."""
    typed = iter(answers)
    monkeypatch.setattr(add_user, "getpass", lambda _prompt: next(typed))


def test_somebody_is_added_with_two_roles(monkeypatch: pytest.MonkeyPatch) -> None:
    make_program()
    type_in(monkeypatch, GOOD, GOOD)
    call_command("add_user", "lena", "--role", "coordinator", "--role", "board", verbosity=0)
    user = User.objects.get()
    assert user.role_kinds() == {RoleKind.COORDINATOR, RoleKind.BOARD}
    assert user.check_password(GOOD)


@pytest.mark.parametrize(
    ("answers", "sentence"),
    [
        ((GOOD, "another"), "The two passwords differ. Nothing was changed."),
        (("short", "short"), "This password is too short."),
    ],
)
def test_a_poor_password_is_refused(
    monkeypatch: pytest.MonkeyPatch, answers: tuple[str, str], sentence: str
) -> None:
    make_program()
    type_in(monkeypatch, *answers)
    with pytest.raises(CommandError, match=sentence):
        call_command("add_user", "lena", "--role", "board")
    assert not User.objects.exists()


def test_a_name_that_is_taken_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    make_user(username="lena")
    type_in(monkeypatch, GOOD, GOOD)
    with pytest.raises(CommandError, match="A user with that username already exists"):
        call_command("add_user", "lena", "--role", "board")
    assert User.objects.count() == 1


def test_without_a_program_nobody_is_added() -> None:
    with pytest.raises(CommandError, match="There is no program yet"):
        call_command("add_user", "lena", "--role", "board")
