"""A message that waits to be sent."""

from __future__ import annotations

from shared.outbox.actions import write_message
from shared.outbox.contact import MaySay, MessageKind
from shared.outbox.models import Message
from tests.factories import make_address


def make_message(key: str = "status:1", **fields: object) -> Message:
    address = make_address(email="ana@bramwick.example")
    message = write_message(
        program=address.program,
        key=key,
        address=address,
        kind=MessageKind.STATUS,
        tells=MaySay.PROGRESS,
        subject="Your car",
        text="It is being repaired.\n\nSee http://localhost:8000/s/1/",
    )
    Message.objects.filter(pk=message.pk).update(**fields)
    return message
