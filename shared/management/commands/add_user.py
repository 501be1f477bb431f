"""`manage.py add_user NAME --role coordinator`: somebody who may sign in, from today on."""

from __future__ import annotations

from getpass import getpass
from typing import TYPE_CHECKING, Any

from django.contrib.auth.password_validation import validate_password
from django.core.exceptions import ValidationError
from django.core.management.base import BaseCommand, CommandError

from shared.accounts.models import Program
from shared.accounts.roles import STAFF, RoleKind
from shared.people.actions import add_user

if TYPE_CHECKING:
    from django.core.management.base import CommandParser


class Command(BaseCommand):
    help = "Add somebody who may sign in. The password is asked for, never given as an argument."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.add_argument("username")
        parser.add_argument("--first-name", default="")
        parser.add_argument("--last-name", default="")
        parser.add_argument(
            "--role",
            action="append",
            required=True,
            choices=sorted(kind.value for kind in STAFF),
            help="what the person is to the program; may be given more than once",
        )

    def handle(self, *args: Any, **options: Any) -> None:
        program = Program.objects.first()
        if program is None:
            raise CommandError("There is no program yet. Import its sheet first.")
        try:
            user = add_user(
                program=program,
                username=options["username"],
                first_name=options["first_name"],
                last_name=options["last_name"],
                password=_asked(),
                kinds=[RoleKind(kind) for kind in options["role"]],
                by=None,
            )
        except ValidationError as refusal:
            raise CommandError(" ".join(refusal.messages)) from refusal
        self.stdout.write(f"{user} may sign in as {user.username}.")


def _asked() -> str:
    """Return a password that was typed twice and is good enough."""
    password = getpass("Password: ")
    if password != getpass("The same again: "):
        raise CommandError("The two passwords differ. Nothing was changed.")
    validate_password(password)
    return password
