"""Which message may go to which address, decided at the moment of sending.

>>> barriers(Rule(channel=Channel.EMAIL, says=MaySay.PROGRESS), MaySay.PROGRESS)
[]
>>> [str(line) for line in barriers(Rule(channel=Channel.EMAIL, barred=True), MaySay.CALL_BACK)]
['This address must not be written to.']
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

from shared.say import Say, say


class Channel(StrEnum):
    """How a person is reached."""

    EMAIL = "email"
    TEXT = "text"
    PHONE = "phone"
    POST = "post"


class MaySay(StrEnum):
    """How much a message to an address may tell, from least to most."""

    NOTHING = "nothing"
    CALL_BACK = "call_back"
    PROGRESS = "progress"

    @property
    def rank(self) -> int:
        """0 for nothing, growing with what may be said."""
        return list(MaySay).index(self)


class MessageState(StrEnum):
    """Where a message stands. `UNKNOWN` was being sent when the sender died.

    One `TO_READ` waits until a person has read it through; no sender takes it.
    """

    TO_READ = "to_read"
    WAITING = "waiting"
    SENDING = "sending"
    SENT = "sent"
    HELD = "held"
    UNKNOWN = "unknown"


class MessageKind(StrEnum):
    """What a message is; it decides what a stop of mail means and what a crash does."""

    APPEAL = "appeal"
    STATUS = "status"
    ANSWER = "answer"


@dataclass(frozen=True, kw_only=True)
class Rule:
    """What an address allows."""

    channel: Channel
    says: MaySay = MaySay.PROGRESS
    barred: bool = False
    opted_out: bool = False
    has_value: bool = True


def barriers(rule: Rule, tells: MaySay, kind: MessageKind = MessageKind.STATUS) -> list[Say]:
    """Return every reason why a message that `tells` so much must not go; empty when it may.

    An opt-out stops appeals and status reports; the answer to a person's own question still goes.
    """
    found = []
    if rule.barred:
        found.append(say("This address must not be written to."))
    if rule.opted_out and kind != MessageKind.ANSWER:
        found.append(say("The person asked for no more mail."))
    if tells.rank > rule.says.rank:
        found.append(say("The safe-contact rule allows less than this message tells."))
    if rule.channel != Channel.EMAIL:
        found.append(
            say("This person is reached by {channel}, not by mail.", channel=rule.channel.value)
        )
    if not rule.has_value:
        found.append(say("There is no mail address."))
    return found


def next_state(found: MessageState, kind: MessageKind, *, allowed: bool) -> MessageState:
    """Return what becomes of a message that was found waiting, or being sent by a dead sender.

    An appeal that may have gone is never sent a second time: a person has to ask.
    """
    if found == MessageState.WAITING:
        return MessageState.SENDING if allowed else MessageState.HELD
    if kind == MessageKind.APPEAL or not allowed:
        return MessageState.UNKNOWN
    return MessageState.SENDING
