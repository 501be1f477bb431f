"""Adding a user, giving a role, and ending it. Here, since the log stands above the accounts."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.core.exceptions import ValidationError
from django.db import transaction

from shared.accounts.models import Role, User
from shared.audit.actions import log_event

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Sequence

    from shared.accounts.models import Program
    from shared.accounts.roles import RoleKind


@transaction.atomic
def add_user(
    *, program: Program, by: User | None, password: str, kinds: Sequence[RoleKind], **names: str
) -> User:
    """Return a new user with their roles from today on. `names` are username and personal names.

    Raises ValidationError when the username is taken or not possible.
    """
    user = User(program=program, **names)
    user.set_password(password)
    user.full_clean()
    user.save()
    for kind in kinds:
        grant_role(user=user, kind=kind, since_on=program.today(), by=by)
    return user


def grant_role(*, user: User, kind: RoleKind, since_on: dt.date, by: User | None) -> Role:
    """Return the new role of a user from a day on. `by` is None for a set-up command.

    Raises ValidationError when the user holds the role already, or belongs to no program.
    """
    if user.program is None:
        raise ValidationError("This person belongs to no program yet.")
    role = Role(program=user.program, user=user, kind=kind, since_on=since_on)
    return _written(role, f"Gave the role of {kind.label.lower()}.", by)


def end_role(*, role: Role, until_on: dt.date, by: User) -> Role:
    """Let a role end after a day. The row stays: who was what, when, is part of the record."""
    role.until_on = until_on
    return _written(role, "Ended the role.", by)


@transaction.atomic
def _written(role: Role, what: str, by: User | None) -> Role:
    """Check and save the role, with its line in the log."""
    role.full_clean()
    role.save()
    log_event(role, what, by=by, fields=["since_on", "until_on"])
    return role
