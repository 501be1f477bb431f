from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, Any
from uuid import uuid4

import pytest
from django.core.exceptions import ValidationError

from program.cases.models import Case
from program.households.models import Household
from program.status.actions import (
    answer_question,
    ask_question,
    ask_weekly_reports,
    give_page,
    take_page_back,
)
from program.status.models import Question
from shared.audit.models import Event
from shared.jobs.models import Job
from shared.links.purposes import LinkPurpose
from shared.links.queries import find, link_token
from shared.outbox.models import Message
from tests.factories import TODAY, make_case, make_program, make_user, make_vehicle
from tests.program.status.making import make_told_case

if TYPE_CHECKING:
    from program.status.models import Question as Row

pytestmark = pytest.mark.django_db


def asked(case: Case, text: str = "Can I drive on Thursday?") -> Row:
    return ask_question(case=case, text=text, client_key=uuid4())


def test_a_link_is_made_once_and_printed_again_the_same() -> None:
    case = make_told_case()
    first = give_page(case=case, by=make_user())
    assert give_page(case=case, by=None) == first
    assert [line.what for line in Event.objects.about("case", case.pk)] == [
        "The private link was made."
    ]


def test_a_link_that_was_taken_back_opens_again_by_a_new_token_only() -> None:
    case, user = make_told_case(), make_user()
    old = link_token(give_page(case=case, by=user))
    take_page_back(case=case, reason="Somebody else has it", by=user)
    assert find(old, LinkPurpose.STATUS) is None
    with pytest.raises(ValidationError, match="No private link is open"):
        take_page_back(case=case, reason="Again", by=user)
    new = link_token(give_page(case=case, by=user))
    assert new != old
    assert find(old, LinkPurpose.STATUS) is None
    assert find(new, LinkPurpose.STATUS) is not None


@pytest.mark.parametrize(
    ("rule", "sentence"),
    [
        ({"barred": True}, "No private link: Contact could put a person in danger."),
        ({"says": "call_back"}, "No private link: They do not want it told how the car is doing."),
    ],
)
def test_no_link_is_made_against_the_rule(rule: dict[str, Any], sentence: str) -> None:
    case = make_told_case(**rule)
    with pytest.raises(ValidationError) as refusal:
        give_page(case=case, by=make_user())
    assert refusal.value.messages == [sentence]
    case.refresh_from_db()
    assert case.link is None


def test_a_car_without_household_gets_no_link() -> None:
    program = make_program()
    case = Case.objects.create(
        program=program, number="26-900", opened_on=TODAY, vehicle=make_vehicle()
    )
    with pytest.raises(ValidationError, match="There is no household to give a link to"):
        give_page(case=case, by=make_user())


def test_the_same_key_is_the_same_question() -> None:
    case, key = make_told_case(), uuid4()
    first = ask_question(case=case, text=" When? ", client_key=key)
    assert ask_question(case=case, text="When?", client_key=key) == first
    assert (Question.objects.count(), first.text) == (1, "When?")


@pytest.mark.parametrize("text", ["  ", "x" * 1001])
def test_nothing_and_too_much_are_refused(text: str) -> None:
    with pytest.raises(ValidationError):
        asked(make_told_case(), text)
    assert Question.objects.count() == 0


def test_the_sixth_open_question_waits_for_the_first_five() -> None:
    case = make_told_case()
    questions = [asked(case) for _ in range(5)]
    with pytest.raises(ValidationError, match="We have five questions of yours"):
        asked(case)
    answer_question(question=questions[0], answer="Yes.", by=make_user())
    assert asked(case).pk


def test_an_answer_is_kept_and_written_once() -> None:
    question, user = asked(make_told_case()), make_user()
    answer_question(question=question, answer=" Not yet: the brakes are open. ", by=user)
    with pytest.raises(ValidationError, match="Somebody has answered this question meanwhile"):
        answer_question(question=question, answer="Yes.", by=user)
    question.refresh_from_db()
    assert (question.answer, question.answered_by) == ("Not yet: the brakes are open.", user)
    mail = Message.objects.get()
    assert (mail.key, mail.kind, mail.tells) == (f"answer:{question.pk}", "answer", "progress")
    assert "Not yet: the brakes are open." in mail.text
    assert "Not yet: the brakes are open." in mail.html


def test_an_empty_answer_is_refused() -> None:
    with pytest.raises(ValidationError, match="Write the answer, in up to 2,000 characters"):
        answer_question(question=asked(make_told_case()), answer=" ", by=make_user())


def test_no_mail_is_written_while_nobody_asked_how_to_reach_them() -> None:
    question = asked(make_told_case())
    Household.objects.update(safe_contact_on=None)
    answer_question(question=Question.objects.get(), answer="Yes.", by=make_user())
    assert Message.objects.count() == 0
    assert question.answer == ""


def test_the_log_holds_neither_question_nor_answer() -> None:
    case = make_told_case()
    answer_question(question=asked(case, "Am I safe there?"), answer="You are.", by=make_user())
    lines = [f"{line.what} {line.reason}" for line in Event.objects.about("case", case.pk)]
    assert lines == [
        "The household's question was answered. ",
        "The household asked a question. ",
    ]


def test_one_report_a_week_for_each_household_that_is_to_hear() -> None:
    due, later, closed = make_told_case(), make_case(), make_case()
    later.next_word_on = TODAY + dt.timedelta(days=7)
    later.save()
    closed.closed_on = TODAY
    closed.save()
    assert ask_weekly_reports(program=due.program, on=TODAY) == 1
    assert ask_weekly_reports(program=due.program, on=TODAY) == 1
    job = Job.objects.get(kind="status_report")
    assert (job.key, job.payload) == (
        f"status:{due.pk}:2026-W49",
        {"case": due.pk, "week": "2026-W49"},
    )
