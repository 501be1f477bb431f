"""Mail servers as they misbehave: backends that answer like a real one does."""

from __future__ import annotations

from smtplib import SMTPConnectError, SMTPServerDisconnected
from typing import TYPE_CHECKING, NoReturn

from django.core.mail.backends.base import BaseEmailBackend

if TYPE_CHECKING:
    from collections.abc import Sequence

    from django.core.mail import EmailMessage


class Refuses(BaseEmailBackend):
    """Answers before any mail is taken."""

    def send_messages(self, email_messages: Sequence[EmailMessage]) -> NoReturn:
        raise SMTPConnectError(421, b"Too many connections")


class HangsUp(BaseEmailBackend):
    """Breaks off in the middle: whether the mail was taken, nobody knows."""

    def send_messages(self, email_messages: Sequence[EmailMessage]) -> NoReturn:
        raise SMTPServerDisconnected("Connection unexpectedly closed")
