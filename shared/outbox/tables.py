"""The list of messages."""

from __future__ import annotations

from typing import ClassVar

from django_tables2 import A

from shared.outbox.contact import MessageKind, MessageState
from shared.tables import Column, MomentColumn, Table

STATES = {
    MessageState.TO_READ: "waits to be read",
    MessageState.WAITING: "waits",
    MessageState.SENDING: "is being sent",
    MessageState.SENT: "sent",
    MessageState.HELD: "held back",
    MessageState.UNKNOWN: "nobody knows whether it went",
}
KINDS = {
    MessageKind.APPEAL: "Appeal",
    MessageKind.STATUS: "Status report",
    MessageKind.ANSWER: "Answer",
}


class MessageTable(Table):
    """What was written to whom, and whether it went."""

    caption: ClassVar[str] = "Mail"
    one, many = "message", "messages"
    empty_title: ClassVar[str] = "No mail was written yet"
    nothing_yet: ClassVar[str] = "Appeals and status reports appear here before they are sent."
    subject = Column(verbose_name="Subject", linkify=("outbox:message_page", [A("pk")]))
    kind = Column(verbose_name="Kind")
    to = Column(verbose_name="To", accessor="address__email")
    state = Column(verbose_name="State")
    held_because = Column(verbose_name="Held back because")
    made_at = MomentColumn(verbose_name="Written")
    sent_at = MomentColumn(verbose_name="Sent")

    def render_kind(self, value: str) -> str:
        return KINDS[MessageKind(value)]

    def render_state(self, value: str) -> str:
        return STATES[MessageState(value.replace(" ", "_"))]
