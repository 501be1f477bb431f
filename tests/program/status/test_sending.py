from __future__ import annotations

import datetime as dt
import re
from typing import TYPE_CHECKING, Any

import pytest

from program.cases.models import Case
from program.households.models import Household
from program.status.sending import status_report, weekly_reports
from program.work import SCHEDULES, WORK
from shared.audit.models import Event
from shared.jobs.actions import ask
from shared.jobs.models import Job
from shared.jobs.runner import run_due
from shared.outbox.contact import MessageState
from shared.outbox.models import Message
from tests.program.status.making import make_approved_plan, make_told_case

if TYPE_CHECKING:
    from django.core.mail import EmailMessage

pytestmark = pytest.mark.django_db

LINK = re.compile(r"http://\S+/car/[\w-]{48}/")


def write(case: Case, **payload: object) -> None:
    written = status_report({"case": case.pk} | payload, case.program)
    if written:
        written()


def test_the_mail_says_where_the_car_is_and_the_day_that_holds() -> None:
    case = make_told_case()
    plan = make_approved_plan(case)
    write(case, plan=plan.pk)
    mail = Message.objects.get()
    assert (mail.key, mail.kind, mail.tells) == (
        f"status:{case.pk}:plan:{plan.pk}",
        "status",
        "progress",
    )
    assert mail.subject == "News about your car"
    assert mail.text.startswith("Your car is not safe to drive now.")
    day = plan.planned.get().home_by_on
    assert f"You can count on having it back by {day:%A, %B} {day.day}." in mail.text
    assert len(LINK.findall(mail.text)) == 1
    assert re.findall(r'href="([^"]*)"', mail.html) == LINK.findall(mail.text)


def test_the_mail_names_neither_street_nor_number_nor_house_words() -> None:
    case = make_told_case()
    write(case, week="2026-W48")
    mail = Message.objects.get()
    assert case.vehicle
    for word in (case.vehicle.vin, "ABC 123", "Osier Street, ", "Corolla", case.number):
        assert word not in mail.subject + mail.text + mail.html
    assert re.findall(r"\b(case|tier|deficiency)\b", mail.text) == []


def test_the_mail_is_in_the_language_of_the_household() -> None:
    case = make_told_case(language="es")
    make_approved_plan(case)
    write(case, week="2026-W48")
    mail = Message.objects.get()
    assert mail.subject == "Noticias de su auto"
    assert '<html lang="es">' in mail.html


def test_a_report_sets_the_day_of_the_next_word() -> None:
    case = make_told_case()
    write(case, week="2026-W48")
    case.refresh_from_db()
    assert case.next_word_on == case.program.today() + dt.timedelta(days=7)


def test_the_same_report_is_written_once() -> None:
    case = make_told_case()
    write(case, week="2026-W48")
    write(case, week="2026-W48")
    assert Message.objects.count() == 1


@pytest.mark.parametrize(
    ("rule", "because"),
    [
        ({"barred": True}, "This address must not be written to."),
        (
            {"says": "call_back"},
            "The safe-contact rule allows less than this message tells.",
        ),
    ],
)
def test_what_the_rule_forbids_holds_no_link_and_is_not_sent(
    rule: dict[str, Any], because: str, mailoutbox: list[EmailMessage]
) -> None:
    case = make_told_case(**rule)
    ask(
        program=case.program,
        key="status:1",
        kind="status_report",
        payload={"case": case.pk, "week": "2026-W48"},
    )
    while run_due(WORK):
        pass
    mail = Message.objects.get()
    assert (mail.state, mail.held_because) == (MessageState.HELD, because)
    assert LINK.findall(mail.text + mail.html) == []
    case.refresh_from_db()
    assert (case.link, mailoutbox) == (None, [])


def test_a_report_that_may_go_goes_once(mailoutbox: list[EmailMessage]) -> None:
    case = make_told_case()
    for _ in range(2):
        ask(
            program=case.program,
            key="status:1",
            kind="status_report",
            payload={"case": case.pk, "week": "2026-W48"},
        )
        while run_due(WORK):
            pass
    assert [mail.to for mail in mailoutbox] == [["ana@bramwick.example"]]


def test_nobody_asked_means_no_mail_and_a_line_in_the_log() -> None:
    case = make_told_case()
    Household.objects.update(safe_contact_on=None)
    write(case, week="2026-W48")
    assert Message.objects.count() == 0
    assert [line.what for line in Event.objects.about("case", case.pk)] == [
        "No status report: nobody has asked yet how they may safely be reached."
    ]


def test_a_plan_that_another_followed_and_a_closed_case_are_not_told() -> None:
    case = make_told_case()
    plan = make_approved_plan(case)
    plan.state = "superseded"
    plan.save()
    assert status_report({"case": case.pk, "plan": plan.pk}, case.program) is None
    Case.objects.update(closed_on=case.program.today())
    assert status_report({"case": case.pk, "week": "2026-W48"}, case.program) is None


def test_the_week_asks_for_its_reports() -> None:
    case = make_told_case()
    weekly_reports({}, case.program)()
    assert [job.payload["case"] for job in Job.objects.filter(kind="status_report")] == [case.pk]


def test_both_kinds_are_known_to_the_runner_and_the_weekly_one_comes_on_mondays() -> None:
    assert (WORK["status_report"], WORK["weekly_reports"]) == (status_report, weekly_reports)
    assert [slot.weekday for slot in SCHEDULES if slot.kind == "weekly_reports"] == [0]
