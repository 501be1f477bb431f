from __future__ import annotations

import pytest
from django.core.exceptions import ValidationError
from django.utils import timezone

from shared.outbox.contact import MessageState
from shared.outbox.models import Address, Message
from tests.factories import make_address, make_program
from tests.refusals import assert_refused

pytestmark = pytest.mark.django_db


def address(**fields: object) -> Address:
    return Address(**{"program": make_program(), "email": "ana@bramwick.example"} | fields)


def message(**fields: object) -> Message:
    defaults = {
        "program": make_program(),
        "key": "status:1",
        "address": fields.get("address") or make_address(),
        "kind": "status",
        "tells": "progress",
        "subject": "Your car",
        "text": "It is being repaired.",
    }
    return Message(**defaults | fields)


@pytest.mark.parametrize(
    ("rule", "field"),
    [("address_channel_known", "channel"), ("address_says_known", "says")],
)
def test_an_address_holds_known_words_only(rule: str, field: str) -> None:
    sentence = f"This {field} is not known to the program."
    assert_refused(address(**{field: "x"}), rule, sentence)


@pytest.mark.parametrize(
    ("rule", "field"),
    [
        ("message_state_known", "state"),
        ("message_kind_known", "kind"),
        ("message_tells_known", "tells"),
    ],
)
def test_a_message_holds_known_words_only(rule: str, field: str) -> None:
    sentence = f"This {field} is not known to the program."
    assert_refused(message(**{field: "x"}), rule, sentence)


def test_a_message_is_written_once() -> None:
    message().save()
    assert_refused(message(), "message_written_once", "This message was written already.")


def test_a_sent_message_knows_when() -> None:
    sentence = "A sent message has the moment it was sent."
    assert_refused(message(state=MessageState.SENT), "message_sent_has_moment", sentence)


def test_contact_by_mail_needs_a_mail_address() -> None:
    with pytest.raises(ValidationError) as refusal:
        address(email="").full_clean()
    assert refusal.value.message_dict == {"email": ["Contact by mail needs a mail address."]}
    address(email="", barred=True).full_clean()


def test_an_address_says_nothing_by_itself_and_shows_no_name() -> None:
    row = address()
    row.save()
    assert (row.rule.says, str(row)) == ("nothing", f"address {row.pk}")
    row.opted_out_at = timezone.now()
    assert (row.rule.opted_out, row.rule.has_value) == (True, True)


def test_messages_are_found_by_what_is_to_be_done() -> None:
    for state in ("waiting", "held", "unknown", "sending"):
        message(key=state, state=state).save()
    found = [Message.objects.waiting(), Message.objects.held(), Message.objects.undecided()]
    assert [[row.key for row in rows] for rows in found] == [["waiting"], ["held"], ["unknown"]]


def test_a_message_id_is_made_of_the_key() -> None:
    row = message(key="appeal:17:sponsor:4")
    assert row.message_id == f"<appeal.17.sponsor.4.{row.program_id}@handback.invalid>"
    assert str(row) == "Your car"
