from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from shared.accounts.roles import RoleKind
from shared.jobs.models import Job
from shared.outbox.contact import MessageState
from shared.outbox.models import Message
from tests.factories import make_program, make_user
from tests.shared.outbox.written import make_message
from tests.shared.pages import tidy

if TYPE_CHECKING:
    from django.test import Client

pytestmark = pytest.mark.django_db

LIST = "/mail/"


def page_of(message: Message) -> str:
    return reverse("outbox:message_page", args=[message.pk])


@pytest.fixture
def coordinator(client: Client) -> Client:
    client.force_login(make_user())
    return client


def test_the_list_says_what_is_held_and_why(coordinator: Client) -> None:
    reason = "The person asked for no more mail."
    make_message(state=MessageState.HELD, held_because=reason)
    page = tidy(coordinator.get(LIST).content.decode())
    assert "One message is held back, and each says why." in page
    assert reason in page


def test_the_list_asks_for_what_nobody_knows(coordinator: Client) -> None:
    for key in ("one", "two"):
        make_message(key, state=MessageState.UNKNOWN)
    page = tidy(coordinator.get(LIST).content.decode())
    assert "Two messages may or may not have gone: a person has to say." in page


def test_the_list_narrows_by_state_and_kind(coordinator: Client) -> None:
    make_message("one", state=MessageState.HELD)
    make_message("two")
    for query, keys in [({"state": "held"}, ["one"]), ({"kind": "appeal"}, [])]:
        table = coordinator.get(LIST, query).context["table"]
        assert [row.record.key for row in table.rows] == keys


def test_a_message_can_be_read_with_its_links(coordinator: Client) -> None:
    page = tidy(coordinator.get(page_of(make_message())).content.decode())
    assert "<h1>Your car</h1>" in page
    assert "<p>It is being repaired.</p>" in page
    assert 'href="http://localhost:8000/s/1/"' in page
    assert "To decide" not in page


def test_a_text_is_shown_as_text(coordinator: Client) -> None:
    message = make_message()
    Message.objects.update(text="<script>alert(1)</script>")
    page = tidy(coordinator.get(page_of(message)).content.decode())
    assert "&lt;script&gt;alert(1)&lt;/script&gt;" in page


def test_a_held_message_may_be_tried_again(coordinator: Client) -> None:
    message = make_message(state=MessageState.HELD, held_because="There is no mail address.")
    Job.objects.update(state="done")
    assert "There is no mail address." in coordinator.get(page_of(message)).content.decode()
    again = reverse("outbox:send_again", args=[message.pk])
    answer = coordinator.post(again, follow=True)
    assert "The message waits to be sent." in answer.content.decode()
    assert (Message.objects.get().state, Job.objects.get().state) == ("waiting", "pending")


def test_a_person_may_say_that_a_message_arrived(coordinator: Client) -> None:
    message = make_message(state=MessageState.UNKNOWN)
    assert "Did this message arrive?" in coordinator.get(page_of(message)).content.decode()
    arrived = reverse("outbox:mark_arrived", args=[message.pk])
    answer = coordinator.post(arrived, follow=True)
    assert "Recorded: the message arrived." in answer.content.decode()
    assert Message.objects.get().state == MessageState.SENT


@pytest.mark.parametrize("name", ["send_again", "mark_arrived"])
def test_a_message_on_its_way_is_left_alone(coordinator: Client, name: str) -> None:
    address = reverse(f"outbox:{name}", args=[make_message().pk])
    assert coordinator.get(address).status_code == 405
    answer = coordinator.post(address, follow=True)
    assert "This message needs no decision." in answer.content.decode()


def test_mail_of_another_program_is_not_there(client: Client) -> None:
    message = make_message()
    client.force_login(make_user(program=make_program(name="Elsewhere")))
    assert client.get(page_of(message)).status_code == 404
    assert client.post(reverse("outbox:send_again", args=[message.pk])).status_code == 404


@pytest.mark.parametrize("role", sorted(set(RoleKind) - {RoleKind.COORDINATOR}))
def test_others_are_refused(client: Client, role: RoleKind) -> None:
    client.force_login(make_user(role))
    assert [client.get(url).status_code for url in (LIST, page_of(make_message()))] == [403, 403]


def test_a_stranger_is_sent_to_sign_in(client: Client) -> None:
    assert client.get(LIST)["Location"] == "/accounts/sign-in/?next=/mail/"


def test_the_list_asks_as_often_for_three_messages_as_for_one(coordinator: Client) -> None:
    counts = []
    for keys in (["one"], ["two", "three"]):
        for key in keys:
            make_message(key)
        with CaptureQueriesContext(connection) as queries:
            coordinator.get(LIST)
        counts.append(len(queries))
    assert counts[0] == counts[1]


READ = "/mail/to-read/"


def test_what_waits_to_be_read_is_shown_whole(coordinator: Client) -> None:
    make_message(state=MessageState.TO_READ)
    make_message("status:2")
    page = tidy(coordinator.get(READ).content.decode())
    assert "One message waits for your eyes. Nothing goes before." in page
    assert page.count("It is being repaired.") == 1
    assert "One message waits to be read through." in tidy(coordinator.get(LIST).content.decode())


def test_the_ticked_go_and_the_others_wait(coordinator: Client) -> None:
    one, two = (make_message(key, state=MessageState.TO_READ) for key in ("one", "two"))
    answer = coordinator.post(READ, {"messages": [one.pk], "do": "send"}, follow=True)
    assert "What you ticked is on its way." in tidy(answer.content.decode())
    states = dict(Message.objects.values_list("pk", "state"))
    assert states == {one.pk: MessageState.WAITING, two.pk: MessageState.TO_READ}


def test_holding_back_without_a_reason_changes_nothing(coordinator: Client) -> None:
    message = make_message(state=MessageState.TO_READ)
    answer = coordinator.post(READ, {"messages": [message.pk], "do": "hold"})
    assert answer.status_code == 422
    assert "Say why they don&#x27;t go." in answer.content.decode()
    assert Message.objects.get().state == MessageState.TO_READ


def test_nothing_ticked_is_said(coordinator: Client) -> None:
    make_message(state=MessageState.TO_READ)
    answer = coordinator.post(READ, {"do": "send"})
    assert (answer.status_code, "Tick at least one message." in answer.content.decode()) == (
        422,
        True,
    )


def test_what_somebody_else_sent_meanwhile_is_no_choice(coordinator: Client) -> None:
    message = make_message(state=MessageState.WAITING)
    answer = coordinator.post(READ, {"messages": [message.pk], "do": "hold", "because": "No."})
    assert answer.status_code == 422
    assert Message.objects.get().state == MessageState.WAITING
