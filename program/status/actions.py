"""The household's page: its link, its questions and their answers, and the weekly word."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

from django.core.exceptions import ValidationError
from django.db import transaction
from django.template.loader import render_to_string
from django.utils import timezone, translation

from program.cases.models import Case
from program.planning.approving import STATUS_REPORT
from program.status.models import Question
from program.status.queries import page_barriers
from shared.audit.actions import log_event
from shared.dates import DAYS_A_WEEK, week_name
from shared.jobs.actions import ask
from shared.links.actions import make_link, renew, revoke
from shared.links.purposes import LinkPurpose
from shared.outbox.actions import write_message
from shared.outbox.contact import MaySay, MessageKind

if TYPE_CHECKING:
    from uuid import UUID

    from shared.accounts.models import Program, User
    from shared.links.models import AccessLink

MOST_OPEN_QUESTIONS = 5
LONGEST_QUESTION, LONGEST_ANSWER = 1_000, 2_000
TOO_LONG = translation.gettext_noop("A question has up to 1,000 characters.")


@transaction.atomic
def give_page(*, case: Case, by: User | None) -> AccessLink:
    """Return the case's private link, made or opened again where that is needed.

    Raises:
        ValidationError: the case has no household, or the safe-contact rule allows no page.
    """
    found = Case.objects.select_for_update().get(pk=case.pk)
    if found.household is None:
        raise ValidationError("There is no household to give a link to.")
    if reasons := page_barriers(found.household):
        raise ValidationError([f"No private link: {reason}" for reason in reasons])
    if found.link is None:
        found.link = make_link(found.program, LinkPurpose.STATUS)
        found.save(update_fields=["link"])
        log_event(found, "The private link was made.", by=by, fields=["link"])
    elif found.link.revoked_at:
        renew(found.link, by=by)
        log_event(found, "The private link was made anew.", by=by, fields=["link"])
    return found.link


@transaction.atomic
def take_page_back(*, case: Case, reason: str, by: User) -> None:
    """Take the private link of a case back: whoever has it finds nothing.

    Raises:
        ValidationError: there is no link that opens anything.
    """
    found = Case.objects.select_for_update().get(pk=case.pk)
    if found.link is None or found.link.revoked_at:
        raise ValidationError("No private link is open.")
    revoke(found.link, by=by, reason=reason.strip())
    log_event(found, "The private link was taken back.", by=by, reason=reason, fields=["link"])


@transaction.atomic
def ask_question(*, case: Case, text: str, client_key: UUID) -> Question:
    """Keep a question from the household's page; the same key again is the same question.

    Raises:
        ValidationError: nothing or too much was written, or too many questions are open.
    """
    Case.objects.select_for_update().get(pk=case.pk)
    text = text.strip()
    if len(text) > LONGEST_QUESTION:
        raise ValidationError({"text": translation.gettext(TOO_LONG)})
    known = Question.objects.filter(client_key=client_key, case=case).first()
    if known:
        return known
    if Question.objects.open().filter(case=case).count() >= MOST_OPEN_QUESTIONS:
        raise ValidationError({"text": _too_many()})
    question = Question(program_id=case.program_id, case=case, text=text, client_key=client_key)
    question.full_clean()
    question.save()
    log_event(case, "The household asked a question.", by=None)
    return question


def _too_many() -> str:
    """Return the refusal in the language of the page."""
    return translation.gettext("We have five questions of yours. We answer these first.")


@transaction.atomic
def answer_question(*, question: Question, answer: str, by: User) -> Question:
    """Keep the answer, show it on the page and, where mail may go, write it to the household.

    Raises:
        ValidationError: it is answered already, or nothing or too much was written.
    """
    found = Question.objects.select_for_update().get(pk=question.pk)
    if found.answered_at:
        raise ValidationError("Somebody has answered this question meanwhile.")
    if not answer.strip() or len(answer) > LONGEST_ANSWER:
        raise ValidationError({"answer": "Write the answer, in up to 2,000 characters."})
    found.answer, found.answered_at, found.answered_by = answer.strip(), timezone.now(), by
    found.full_clean()
    found.save()
    log_event(found.case, "The household's question was answered.", by=by)
    _write_answer(found)
    return found


def _write_answer(question: Question) -> None:
    """Write the mail of an answer; a household that nobody asked about safety gets none."""
    household = question.case.household
    if household is None or household.safe_contact_on is None:
        return
    context = {"question": question, "program": question.program}
    with translation.override(household.address.language), timezone.override(question.program.zone):
        write_message(
            program=question.program,
            key=f"answer:{question.pk}",
            address=household.address,
            kind=MessageKind.ANSWER,
            tells=MaySay.PROGRESS,
            subject=translation.gettext("Our answer to your question"),
            text=render_to_string("status/answer.txt", context),
        )


def ask_weekly_reports(*, program: Program, on: dt.date) -> int:
    """Ask for the week's report to each household that is to hear before the week is over.

    Who was told a later day, by a plan approved meanwhile, is left alone; asking twice in one ISO
    week asks once. Returns how many were asked for.
    """
    ends = on + dt.timedelta(days=DAYS_A_WEEK)
    cases = Case.objects.open().filter(program=program, household__isnull=False)
    due = [case for case in cases if case.next_word_on is None or case.next_word_on < ends]
    week = week_name(on)
    for case in due:
        ask(
            program=program,
            key=f"status:{case.pk}:{week}",
            kind=STATUS_REPORT,
            payload={"case": case.pk, "week": week},
        )
    return len(due)
