"""The job that sends one message. It may be killed at any line, and may run any number of times.

A message is taken (`sending`) in one transaction with the reading of its address, sent outside any
transaction, and marked `sent` at once. Who finds it `sending` knows that a sender died: an appeal
is then left to the coordinator, a status report or an answer goes again under its old Message-ID.
"""

from __future__ import annotations

from email.utils import formataddr
from smtplib import SMTPRecipientsRefused, SMTPResponseException
from socket import gaierror
from typing import TYPE_CHECKING, Any

from django.conf import settings
from django.core.mail import EmailMultiAlternatives
from django.db import transaction
from django.utils import timezone

from shared.outbox.contact import MaySay, MessageKind, MessageState, barriers, next_state
from shared.outbox.models import Address, Message

if TYPE_CHECKING:
    from shared.accounts.models import Program

# Answers of a server, or of none, after which it is certain that nothing was delivered.
NOT_SENT = (ConnectionRefusedError, gaierror, SMTPResponseException, SMTPRecipientsRefused)

LONGEST_REASON = 300


def send(payload: dict[str, Any], program: Program) -> None:
    """Send the message that the payload names, unless its address forbids it now.

    Raises what the mail server's client raises, so that the job is tried again later.
    """
    message = _take(payload["message"], program)
    if message is None:
        return
    try:
        as_mail(message).send()
    except NOT_SENT:
        _turn(message, MessageState.SENDING, state=MessageState.WAITING)
        raise
    # Written though the lease may be lost: that the mail went is a fact, not a result.
    _turn(message, MessageState.SENDING, state=MessageState.SENT, sent_at=timezone.now())


@transaction.atomic
def _take(pk: int, program: Program) -> Message | None:
    """Return the message to send now, marked as being sent; None when nothing may be sent."""
    message = Message.objects.select_for_update().get(pk=pk, program=program)
    if message.state not in (MessageState.WAITING, MessageState.SENDING):
        return None
    address = Address.objects.select_for_update().get(pk=message.address_id)
    kind = MessageKind(message.kind)
    reasons = barriers(address.rule, MaySay(message.tells), kind)
    found = MessageState(message.state)
    message.state = next_state(found, kind, allowed=not reasons)
    message.held_because = " ".join(str(reason) for reason in reasons)[:LONGEST_REASON]
    message.save(update_fields=["state", "held_because"])
    message.address = address
    return message if message.state == MessageState.SENDING else None


def _turn(message: Message, found: MessageState, **fields: Any) -> None:
    """Write fields of a message, if it still stands where it was found."""
    Message.objects.filter(pk=message.pk, state=found).update(**fields)


def as_mail(message: Message) -> EmailMultiAlternatives:
    """Return the mail itself: text, HTML beside it, a fixed Message-ID, replies to the charity."""
    program = message.program
    mail = EmailMultiAlternatives(
        subject=message.subject,
        body=message.text,
        from_email=formataddr((program.name, settings.DEFAULT_FROM_EMAIL)),
        to=[message.address.email],
        reply_to=[program.email],
        headers={"Message-ID": message.message_id, "Auto-Submitted": "auto-generated"}
        | message.headers,
    )
    mail.attach_alternative(message.html, "text/html")
    return mail
