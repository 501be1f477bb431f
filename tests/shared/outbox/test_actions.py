from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from django.core.exceptions import ValidationError

from shared.audit.models import Event
from shared.jobs.models import Job
from shared.jobs.states import JobState
from shared.outbox import actions
from shared.outbox.contact import MaySay, MessageKind, MessageState
from tests.factories import make_address, make_user

if TYPE_CHECKING:
    from shared.outbox.models import Message

pytestmark = pytest.mark.django_db


def write(**fields: object) -> Message:
    address = fields.pop("address", None) or make_address()
    defaults: dict[str, object] = {
        "program": address.program,  # type: ignore[attr-defined]
        "key": "status:1",
        "address": address,
        "kind": MessageKind.STATUS,
        "tells": MaySay.PROGRESS,
        "subject": "Your car",
        "text": "It is being repaired.",
    }
    return actions.write_message(**defaults | fields)  # type: ignore[arg-type]


def undecided(state: MessageState) -> Message:
    message = write()
    type(message).objects.update(state=state, held_because="No.")
    Job.objects.update(state=JobState.DONE)
    return message


def test_a_written_message_waits_and_a_job_will_send_it() -> None:
    message, job = write(), Job.objects.get()
    assert message.state == MessageState.WAITING
    assert (job.key, job.kind, job.payload) == (
        "send:status:1",
        "send_message",
        {"message": message.pk},
    )


def test_writing_twice_writes_once() -> None:
    first, second = write(), write(text="Something else.")
    assert (first.pk, second.text, Job.objects.count()) == (
        second.pk,
        "It is being repaired.",
        1,
    )


def test_writing_again_does_not_send_again() -> None:
    write()
    Job.objects.update(state=JobState.FAILED)
    write()
    assert Job.objects.get().state == JobState.FAILED


def test_a_subject_is_one_line() -> None:
    assert write(subject="Your car\r\nBcc: everybody@bramwick.example").subject == (
        "Your car Bcc: everybody@bramwick.example"
    )


def test_a_mail_can_be_stopped_with_one_press() -> None:
    # Source: RFC 8058, section 8.1 (the example's two headers); from memory.
    assert actions.unsubscribe_headers("https://example.com/unsubscribe/opaquepart") == {
        "List-Unsubscribe": "<https://example.com/unsubscribe/opaquepart>",
        "List-Unsubscribe-Post": "List-Unsubscribe=One-Click",
    }


def test_an_opt_out_is_kept_with_its_first_moment() -> None:
    address = make_address()
    first = actions.opt_out(address).opted_out_at
    again = actions.opt_out(address)
    assert first is not None
    assert (again.opted_out_at, again.version) == (first, 2)
    assert Event.objects.about("address", address.pk).count() == 1


@pytest.mark.parametrize("state", [MessageState.HELD, MessageState.UNKNOWN])
def test_a_person_may_let_a_message_go_again(state: MessageState) -> None:
    message = actions.send_again(message=undecided(state), by=make_user())
    assert (message.state, message.held_because) == (MessageState.WAITING, "")
    assert Job.objects.get().state == JobState.PENDING
    assert Event.objects.about("message", message.pk).count() == 1


def test_a_person_may_say_that_a_message_arrived() -> None:
    message = actions.mark_arrived(message=undecided(MessageState.UNKNOWN), by=make_user())
    assert (message.state, message.sent_at is not None) == (MessageState.SENT, True)


@pytest.mark.parametrize("state", [MessageState.WAITING, MessageState.SENDING])
def test_a_message_on_its_way_needs_no_decision(state: MessageState) -> None:
    message, by = undecided(state), make_user()
    for action in (actions.send_again, actions.mark_arrived):
        with pytest.raises(ValidationError) as refusal:
            action(message=message, by=by)
        assert refusal.value.messages == ["This message needs no decision."]


def test_a_held_message_did_not_arrive() -> None:
    with pytest.raises(ValidationError) as refusal:
        actions.mark_arrived(message=undecided(MessageState.HELD), by=make_user())
    assert refusal.value.messages == ["This message needs no decision."]


def test_what_is_to_be_read_first_asks_no_job() -> None:
    message = write(to_read=True)
    assert (message.state, Job.objects.count()) == (MessageState.TO_READ, 0)


def test_what_was_read_through_goes_once() -> None:
    message, by = write(to_read=True), make_user()
    sent = [actions.decide_read(messages=[message], because="", by=by) for _ in range(2)]
    message.refresh_from_db()
    assert (sent, message.state, Job.objects.count()) == ([1, 0], MessageState.WAITING, 1)


def test_what_was_read_through_may_be_held_back_with_a_reason() -> None:
    message, by = write(to_read=True), make_user()
    actions.decide_read(messages=[message], because="The day is wrong.", by=by)
    message.refresh_from_db()
    assert (message.state, message.held_because, Job.objects.count()) == (
        MessageState.HELD,
        "The day is wrong.",
        0,
    )
    assert Event.objects.get(what="Held back by a person.").reason == "The day is wrong."


def test_holding_back_needs_a_reason_and_a_message_that_waits() -> None:
    message, by = write(to_read=True), make_user()
    with pytest.raises(ValidationError, match="Say why it doesn't go"):
        actions.hold_back(message=message, because="  ", by=by)
    with pytest.raises(ValidationError, match="needs no decision"):
        actions.hold_back(message=write(key="status:2"), because="No.", by=by)
