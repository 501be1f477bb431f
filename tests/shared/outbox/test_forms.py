"""What a person says of messages that wait to be read through."""

from __future__ import annotations

from typing import Any

import pytest

from shared.outbox.contact import MessageState
from shared.outbox.forms import ReadForm
from shared.outbox.models import Message
from tests.shared.outbox.written import make_message

pytestmark = pytest.mark.django_db

WHY = "Say why they don't go."


def typed(*messages: Message, **values: Any) -> ReadForm:
    """Return the form for all messages, with these ticked."""
    ticked = [message.pk for message in messages]
    return ReadForm({"messages": ticked, **values}, messages=Message.objects.all())


def test_what_is_ticked_goes_and_needs_no_reason() -> None:
    one, _ = make_message("one"), make_message("two")
    form = typed(one, do="send", because="A reason that nobody asked for.")
    assert form.is_valid()
    assert [*form.cleaned_data["messages"]] == [one]
    assert (form.lets_go, form.cleaned_data["because"]) == (True, "")


def test_what_is_held_back_says_why() -> None:
    form = typed(make_message(), do="hold", because="The day is wrong.")
    assert form.is_valid()
    assert (form.lets_go, form.cleaned_data["because"]) == (False, "The day is wrong.")


@pytest.mark.parametrize("because", ["", "   "])
def test_holding_back_without_a_reason_is_refused(because: str) -> None:
    assert typed(make_message(), do="hold", because=because).errors == {"because": [WHY]}


def test_at_least_one_message_is_ticked() -> None:
    make_message()
    assert typed(do="send").errors == {"messages": ["Tick at least one message."]}


def test_a_message_that_is_not_offered_can_not_be_ticked() -> None:
    message = make_message(state=MessageState.WAITING)
    offered = Message.objects.filter(state=MessageState.TO_READ)
    form = ReadForm({"messages": [message.pk], "do": "send"}, messages=offered)
    assert form.errors == {"messages": ["Messages: choose one of the answers offered."]}
