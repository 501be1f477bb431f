"""The messages a person may see."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shared.outbox.models import Message, MessageQuerySet

if TYPE_CHECKING:
    from shared.accounts.models import User


def messages_for(user: User) -> MessageQuerySet:
    """Return the messages of the user's program with their addresses, newest first."""
    return Message.objects.filter(program=user.program).select_related("address")
