from __future__ import annotations

import email
import email.policy
import re
from html import unescape
from pathlib import Path
from smtplib import SMTPConnectError, SMTPServerDisconnected
from typing import TYPE_CHECKING

import pytest
from django.core import mail
from django.core.mail import EmailMultiAlternatives

from shared.jobs.models import Job
from shared.jobs.runner import run_due
from shared.jobs.states import JobState
from shared.outbox.actions import opt_out, unsubscribe_headers, write_message
from shared.outbox.contact import Channel, MaySay, MessageKind, MessageState
from shared.outbox.models import Message
from shared.outbox.sending import send
from tests.factories import make_address, make_program

if TYPE_CHECKING:
    from pytest_django import Settings

    from shared.outbox.models import Address

pytestmark = pytest.mark.django_db

REFUSES = "tests.shared.outbox.mailservers.Refuses"
HANGS_UP = "tests.shared.outbox.mailservers.HangsUp"
WORKING = "django.core.mail.backends.locmem.EmailBackend"


def write(
    address: Address | None = None, kind: MessageKind = MessageKind.STATUS, **fields: object
) -> Message:
    to = address or make_address(email="ana@bramwick.example")
    defaults: dict[str, object] = {
        "subject": "Your car",
        "text": "It is being repaired.",
        "key": "status:1",
    }
    return write_message(
        program=to.program,
        address=to,
        kind=kind,
        tells=MaySay.PROGRESS,
        **defaults | fields,  # type: ignore[arg-type]
    )


def run(message: Message) -> Message:
    send({"message": message.pk}, message.program)
    message.refresh_from_db()
    return message


def test_a_waiting_message_is_sent_once_however_often_its_job_runs() -> None:
    message = run(run(write()))
    assert (message.state, message.sent_at is not None) == (MessageState.SENT, True)
    assert [sent.to for sent in mail.outbox] == [["ana@bramwick.example"]]


def test_the_job_of_a_message_sends_it() -> None:
    write()
    assert run_due({"send_message": send}) == 1
    assert (len(mail.outbox), Job.objects.get().state) == (1, JobState.DONE)


def test_a_mail_carries_what_mail_programs_need() -> None:
    headers = unsubscribe_headers("https://garage.example/stop/1/")
    message = run(write(headers=headers))
    raw = mail.outbox[0].message().as_bytes()
    parsed = email.message_from_bytes(raw, policy=email.policy.default)
    assert parsed["Message-ID"] == message.message_id
    assert parsed["List-Unsubscribe-Post"] == "List-Unsubscribe=One-Click"
    assert parsed["Reply-To"] == "desk@osier-street.example"
    assert str(parsed["From"]) == "Osier Street Garage <garage@osier-street.example>"
    assert [part.get_content_type() for part in parsed.iter_parts()] == ["text/plain", "text/html"]


HOSTILE = (
    "<script>alert(1)</script> & “<b onclick=x>”\n\n"
    "Your own page:\nhttps://garage.example/car/abc_-1/?a=1&b=2\n- one\n- two\n"
)


def seen(html: str) -> str:
    """Return the words of a page as a browser shows them."""
    body = html.partition("<body>")[2]
    return " ".join(unescape(re.sub(r"<[^>]+>", " ", body)).split())


def test_both_parts_of_a_mail_say_the_same_sentences() -> None:
    message = run(write(text=HOSTILE))
    [sent] = mail.outbox
    assert isinstance(sent, EmailMultiAlternatives)
    assert (sent.body, sent.alternatives) == (HOSTILE, [(message.html, "text/html")])
    assert seen(message.html) == " ".join(HOSTILE.split())


def test_the_html_of_a_mail_holds_paragraphs_and_links_and_nothing_that_was_typed() -> None:
    html = write(text=HOSTILE, subject="</title><img src=x>").html
    body = html.partition("<body>")[2]
    assert re.findall(r"<(\w+)", body) == ["p", "p", "br", "a", "br", "br"]
    link = "https://garage.example/car/abc_-1/?a=1&amp;b=2"
    assert re.findall(r'href="([^"]*)"', html) == [link]
    assert "<title>&lt;/title&gt;&lt;img src=x&gt;</title>" in html


def test_the_html_of_a_mail_loads_nothing() -> None:
    html = write(text=HOSTILE).html
    assert re.findall(r"\b(?:src|style|onclick|class)=\"", html) == []


def test_the_html_of_a_mail_names_the_language_of_its_reader() -> None:
    assert '<html lang="es">' in write(make_address(language="es")).html


@pytest.mark.parametrize(
    ("fields", "reason"),
    [
        ({"barred": True}, "This address must not be written to."),
        (
            {"says": MaySay.CALL_BACK},
            "The safe-contact rule allows less than this message tells.",
        ),
        ({"channel": Channel.PHONE}, "This person is reached by phone, not by mail."),
        ({"email": ""}, "There is no mail address."),
    ],
)
def test_what_an_address_forbids_is_held_with_the_reason(
    fields: dict[str, object], reason: str
) -> None:
    message = run(write(make_address(**fields)))
    assert (message.state, message.held_because) == (MessageState.HELD, reason)
    assert mail.outbox == []


def test_the_address_is_asked_when_the_mail_goes_not_when_it_is_written() -> None:
    message = write()
    opt_out(message.address)
    assert run(message).held_because == "The person asked for no more mail."
    assert mail.outbox == []


def test_an_answer_goes_after_an_opt_out() -> None:
    message = write(kind=MessageKind.ANSWER)
    opt_out(message.address)
    assert run(message).state == MessageState.SENT


def test_all_reasons_are_told_together() -> None:
    message = run(write(make_address(barred=True, email="", channel=Channel.POST)))
    assert message.held_because == (
        "This address must not be written to. This person is reached by post, not by mail. "
        "There is no mail address."
    )


def crashed(kind: MessageKind) -> Message:
    """Return a message whose sender died in the middle."""
    message = write(kind=kind)
    Message.objects.update(state=MessageState.SENDING)
    return message


def test_an_appeal_whose_sender_died_is_left_to_a_person() -> None:
    assert run(crashed(MessageKind.APPEAL)).state == MessageState.UNKNOWN
    assert mail.outbox == []


@pytest.mark.parametrize("kind", [MessageKind.STATUS, MessageKind.ANSWER])
def test_other_mail_whose_sender_died_goes_again_under_its_old_id(kind: MessageKind) -> None:
    message = run(crashed(kind))
    assert message.state == MessageState.SENT
    assert [sent.extra_headers["Message-ID"] for sent in mail.outbox] == [message.message_id]


def test_nothing_goes_again_to_who_said_stop_in_between() -> None:
    message = crashed(MessageKind.STATUS)
    opt_out(message.address)
    assert run(message).state == MessageState.UNKNOWN
    assert mail.outbox == []


def test_a_server_that_refuses_leaves_the_message_waiting(settings: Settings) -> None:
    message = write(kind=MessageKind.APPEAL)
    settings.EMAIL_BACKEND = REFUSES
    with pytest.raises(SMTPConnectError):
        run(message)
    message.refresh_from_db()
    assert message.state == MessageState.WAITING
    settings.EMAIL_BACKEND = WORKING
    assert run(message).state == MessageState.SENT


def test_after_a_server_that_hangs_up_nobody_knows(settings: Settings) -> None:
    message = write(kind=MessageKind.APPEAL)
    settings.EMAIL_BACKEND = HANGS_UP
    with pytest.raises(SMTPServerDisconnected):
        run(message)
    settings.EMAIL_BACKEND = WORKING
    assert run(message).state == MessageState.UNKNOWN
    assert mail.outbox == []


def test_a_failing_server_fails_the_job_not_the_worker(settings: Settings) -> None:
    write()
    settings.EMAIL_BACKEND = REFUSES
    assert run_due({"send_message": send}) == 1
    job = Job.objects.get()
    assert (job.state, job.error.split(":")[0]) == (JobState.PENDING, "SMTPConnectError")


def test_a_message_of_another_program_is_not_sent() -> None:
    message = write()
    with pytest.raises(Message.DoesNotExist):
        send({"message": message.pk}, make_program(name="Elsewhere"))


def test_without_a_server_mail_is_kept_in_a_folder(settings: Settings, tmp_path: Path) -> None:
    settings.EMAIL_BACKEND = "django.core.mail.backends.filebased.EmailBackend"
    settings.EMAIL_FILE_PATH = settings.MAIL_FOLDER
    run(write())
    (kept,) = Path(settings.MAIL_FOLDER).iterdir()
    assert "It is being repaired." in kept.read_text()
