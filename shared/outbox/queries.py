"""The messages a person may see."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.conf import settings
from django.utils.module_loading import import_string

from shared.outbox.models import Message, MessageQuerySet

if TYPE_CHECKING:
    from shared.accounts.models import User


def messages_for(user: User) -> MessageQuerySet:
    """Return the messages of the user's program with their addresses, newest first.

    Left out is mail to whom the user may not see, which `MAIL_WITHHELD` says.
    """
    withheld = import_string(settings.MAIL_WITHHELD)(user)
    rows = Message.objects.filter(program=user.program).exclude(address__in=withheld)
    return rows.select_related("address")
