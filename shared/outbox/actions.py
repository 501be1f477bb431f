"""Writing a message, stopping mail to an address, and deciding what a crash left open."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.core.exceptions import ValidationError
from django.db import transaction
from django.db.models import F
from django.template.loader import render_to_string
from django.utils import timezone

from shared.audit.actions import log_event
from shared.jobs.actions import ask, ask_again
from shared.outbox.contact import MaySay, MessageKind, MessageState
from shared.outbox.models import Address, Message

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from shared.accounts.models import Program, User
    from shared.jobs.models import Job

SEND = "send_message"
UNDECIDED = frozenset({MessageState.HELD, MessageState.UNKNOWN})


@transaction.atomic
def write_message(  # noqa: PLR0913  # a mail has this many parts
    *,
    program: Program,
    key: str,
    address: Address,
    kind: MessageKind,
    tells: MaySay,
    subject: str,
    text: str,
    headers: Mapping[str, str] | None = None,
    to_read: bool = False,
) -> Message:
    """Return the one message of this key; a new one waits, and a job is asked to send it.

    One `to_read` waits for a person to read it through before any job is asked.
    `tells` says how much the text gives away; the address's rule is asked when the message is
    sent, not now. `headers` are further ones, such as `unsubscribe_headers`. The HTML beside the
    text says the same: it is made of the text.
    """
    subject = " ".join(subject.split())
    message, _is_new = Message.objects.get_or_create(
        program=program,
        key=key,
        defaults={
            "address": address,
            "kind": kind,
            "tells": tells,
            "subject": subject,
            "text": text,
            "html": _as_html(subject, text, address.language),
            "headers": dict(headers or {}),
            "state": MessageState.TO_READ if to_read else MessageState.WAITING,
        },
    )
    if message.state != MessageState.TO_READ:
        _ask_to_send(message)
    return message


def _as_html(subject: str, text: str, language: str) -> str:
    """Return a mail's text as a page: its paragraphs and its links, nothing loaded or added."""
    words = {"subject": subject, "text": text.strip(), "language": language}
    return render_to_string("outbox/mail.html", words)


def _ask_to_send(message: Message) -> Job:
    """Return the one job that sends this message."""
    return ask(
        program=message.program,
        key=f"send:{message.key}",
        kind=SEND,
        payload={"message": message.pk},
    )


def unsubscribe_headers(url: str) -> dict[str, str]:
    """Return the headers by which a mail program offers to stop such mail with one press.

    Source: RFC 8058, section 3.1. `url` must be an HTTPS address that takes the POST alone.
    """
    return {
        "List-Unsubscribe": f"<{url}>",
        "List-Unsubscribe-Post": "List-Unsubscribe=One-Click",
    }


@transaction.atomic
def opt_out(address: Address, *, by: User | None = None) -> Address:
    """Stop appeals and status reports to an address. Asking twice changes nothing."""
    still_open = Address.objects.filter(pk=address.pk, opted_out_at=None)
    if still_open.update(opted_out_at=timezone.now(), version=F("version") + 1):
        log_event(address, "Asked for no more mail.", by=by, fields=["opted_out_at"])
    address.refresh_from_db()
    return address


@transaction.atomic
def send_again(*, message: Message, by: User) -> Message:
    """Let a held message, or one of which nobody knows whether it went, be tried again.

    The address's rule is asked again at that moment. Raises ValidationError for any other message.
    """
    found = _decidable(message, UNDECIDED)
    found.state, found.held_because = MessageState.WAITING, ""
    found.save(update_fields=["state", "held_because"])
    log_event(found, "Asked for the message to be sent again.", by=by, fields=["state"])
    ask_again(_ask_to_send(found))
    return found


@transaction.atomic
def mark_arrived(*, message: Message, by: User) -> Message:
    """Record that a message of which nobody knew did arrive."""
    found = _decidable(message, frozenset({MessageState.UNKNOWN}))
    found.state, found.sent_at = MessageState.SENT, timezone.now()
    found.save(update_fields=["state", "sent_at"])
    log_event(found, "Learned that the message arrived.", by=by, fields=["state"])
    return found


@transaction.atomic
def decide_read(*, messages: Iterable[Message], because: str, by: User) -> int:
    """Let messages go that a person has read through, or hold them back `because`; count them.

    Those that somebody else decided meanwhile are left as they are.
    """
    wanted = [message.pk for message in messages]
    found = list(Message.objects.to_read().filter(pk__in=wanted).select_for_update())
    for message in found:
        if because:
            hold_back(message=message, because=because, by=by)
        else:
            _let_go(message, by)
    return len(found)


def _let_go(message: Message, by: User) -> None:
    message.state = MessageState.WAITING
    message.save(update_fields=["state"])
    log_event(message, "Read through and let go.", by=by, fields=["state"])
    _ask_to_send(message)


@transaction.atomic
def hold_back(*, message: Message, because: str, by: User | None) -> Message:
    """Keep a message that waits to be read from going, with the reason.

    Raises:
        ValidationError: the message doesn't wait to be read, or no reason is given.
    """
    found = _decidable(message, frozenset({MessageState.TO_READ}))
    if not because.strip():
        raise ValidationError({"because": "Say why it doesn't go."})
    found.state, found.held_because = MessageState.HELD, because.strip()[:300]
    found.full_clean(exclude=["html"])
    found.save(update_fields=["state", "held_because"])
    log_event(found, "Held back by a person.", by=by, fields=["state"], reason=found.held_because)
    return found


def _decidable(message: Message, states: frozenset[MessageState]) -> Message:
    """Return the locked row, or refuse when it is in none of the states."""
    found = Message.objects.select_for_update().get(pk=message.pk)
    if found.state not in states:
        raise ValidationError("This message needs no decision.")
    return found
