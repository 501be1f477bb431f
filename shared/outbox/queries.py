"""The messages a person may see."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shared.outbox.contact import MessageState
from shared.outbox.models import Message

if TYPE_CHECKING:
    from django.db.models import QuerySet

    from shared.accounts.models import Program, User


def messages_for(user: User) -> QuerySet[Message]:
    """Return the messages of the user's program with their addresses, newest first."""
    return Message.objects.filter(program=user.program).select_related("address")


def undecided(program: Program) -> QuerySet[Message]:
    """Return the messages of which nobody knows whether they went: a person has to say."""
    return Message.objects.filter(program=program, state=MessageState.UNKNOWN)
