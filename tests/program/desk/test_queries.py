from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING
from uuid import uuid4

import pytest
from django.utils import timezone

from program.decisions.queries import decide_by
from program.desk.queries import open_cases, page_of, slips, to_decide
from program.households.models import Household
from program.planning.queries import outcome_of
from program.status.actions import ask_question
from shared.accounts.roles import RoleKind
from shared.jobs.models import Job
from shared.outbox.models import Message
from shared.people.models import Credential
from sponsors.appeals.models import Appeal
from sponsors.matching.models import Reservation
from tests.factories import (
    make_address,
    make_case,
    make_household,
    make_need,
    make_person,
    make_plan,
    make_pledge,
    make_program,
    make_sponsor,
    make_user,
)
from tests.program.decisions.story import make_supplement
from tests.program.desk.making import make_ready_plan

if TYPE_CHECKING:
    from pytest_django import DjangoAssertNumQueries

    from program.desk.wording import Slip
    from program.planning.models import Plan
    from program.status.models import Question

pytestmark = pytest.mark.django_db


def waiting(plan: Plan | None = None) -> list[Slip]:
    user = make_user()
    outcome = outcome_of(plan) if plan and plan.result else None
    return slips(user, open_cases(user), plan, outcome)


def lines(found: list[Slip]) -> list[tuple[str, str, str]]:
    return [(str(slip.title), str(slip.why), str(slip.by)) for slip in found]


def test_nothing_waits_where_all_is_calm() -> None:
    make_case()
    assert waiting() == []


def test_a_ready_plan_waits_for_approval_and_an_approved_one_does_not() -> None:
    plan = make_ready_plan(make_case())
    assert lines(waiting(plan)) == [
        (
            "Approve the plan for three weeks",
            "Cars that go home: 1. Newly set aside: $123.45.",
            "today",
        )
    ]
    plan.state = "approved"
    assert waiting(plan) == []


def test_a_plan_that_failed_says_why() -> None:
    plan = make_plan(state="failed", error="Case 26-041 has two open stays.")
    assert lines(waiting(plan)) == [
        (
            "Look at the plan that could not be computed",
            "Case 26-041 has two open stays.",
            "today",
        )
    ]


def test_supplements_wait_for_their_answers_on_one_slip() -> None:
    row = make_supplement()
    [slip] = [slip for slip in waiting() if slip.url == "/decisions/"]
    assert (str(slip.title), str(slip.why), slip.count) == (
        "Answer a supplement",
        "2012 Toyota Corolla. Work waits.",
        1,
    )
    assert slip.due_on == decide_by(row)
    make_supplement()
    assert "Answer two supplements" in [str(slip.title) for slip in waiting()]


def question(name: str, text: str, number: str) -> Question:
    household = make_household(name=name)
    case = make_case(household=household, number=number)
    return ask_question(case=case, text=text, client_key=uuid4())


def test_one_question_is_read_on_the_slip_and_more_are_counted() -> None:
    question("Dana Haskell", "Can I drive on Thursday?", "26-041")
    slip = waiting()[0]
    assert (str(slip.title), str(slip.why)) == (
        "Dana Haskell asks a question",
        "“Can I drive on Thursday?” Case 26-041.",
    )
    assert slip.url == "/cases/26-041/#questions"
    question("Pilar Quist", "When?", "26-056")
    slip = waiting()[0]
    assert (str(slip.title), str(slip.why), slip.count) == (
        "Answer two questions",
        "Dana Haskell and Pilar Quist. The oldest: “Can I drive on Thursday?”",
        2,
    )


def test_cases_held_by_a_decision_and_cases_that_are_deciding_count_once() -> None:
    held = make_case(household=make_household(name="Nadine Farrow", stage="deciding"))
    plan = make_ready_plan(make_case(), held)
    found = [slip for slip in waiting(plan) if str(slip.title).startswith("Decide")]
    assert [(str(slip.title), slip.count) for slip in found] == [
        ("Decide the car of Nadine Farrow", 1)
    ]
    make_case(household=make_household(name="Chidi Abara", stage="deciding"))
    found = [slip for slip in waiting(plan) if str(slip.title).startswith("Decide")]
    assert [(str(slip.title), str(slip.why), slip.url) for slip in found] == [
        ("Decide two cars", "Nadine Farrow and Chidi Abara.", "/week/#decide")
    ]
    assert len(to_decide(open_cases(make_user()), None)) == 2


def test_a_day_to_decide_by_that_is_near_stands_on_the_desk() -> None:
    case = make_case()
    today = case.program.today()
    Household.objects.update(decide_by_on=today - dt.timedelta(days=2))
    assert lines(waiting()) == [
        (
            "Decide how it goes on for Dana Haskell",
            "Dana Haskell. The day to decide by is near or over.",
            "2 days late",
        )
    ]
    Household.objects.update(decide_by_on=today + dt.timedelta(days=4))
    assert waiting() == []


def test_a_household_that_nobody_asked_about_safety_is_asked_first() -> None:
    make_case()
    Household.objects.update(safe_contact_on=None)
    assert lines(waiting()) == [
        (
            "Ask Dana Haskell how to reach them safely",
            "Dana Haskell. No mail goes before.",
            "today",
        )
    ]


def test_a_pledge_that_ends_unused_is_shown_and_one_that_is_kept_is_not() -> None:
    today = make_program().today()
    sponsor = make_sponsor(name="Calloway Battery Supply")
    pledge = make_pledge(sponsor=sponsor, expires_on=today, pledged_on=today, title="One battery")
    make_pledge(sponsor=sponsor, expires_on=today + dt.timedelta(days=30), pledged_on=today)
    assert lines(waiting()) == [
        (
            "Use or release a pledge",
            "Calloway Battery Supply: One battery. Kept for no need.",
            "today",
        )
    ]
    Reservation.objects.create(
        program=pledge.program,
        supply=pledge.units.get(),
        need=make_need(),
        made_for="test",
        because="It fits.",
    )
    assert waiting() == []


def test_drafted_appeals_failed_jobs_and_unknown_messages_wait() -> None:
    program, sponsor = make_program(), make_sponsor(name="Larkspur Radiator Shop")
    Appeal.objects.create(
        program=program, sponsor=sponsor, round="2026-W48", subject="A radiator", text="…"
    )
    Job.objects.create(program=program, key="one", kind="plan", state="failed")
    Message.objects.create(
        program=program,
        key="two",
        address=make_address(),
        kind="appeal",
        tells="progress",
        subject="A radiator",
        text="…",
        state="unknown",
    )
    assert [str(slip.title) for slip in waiting()] == [
        "Read one appeal, then send it",
        "Look at a job that failed",
        "Say whether a message arrived",
    ]


def test_a_tied_user_gets_no_slip_about_the_household() -> None:
    user = make_user()
    asked = question("Dana Haskell", "When?", "26-041")
    assert asked.case.household
    asked.case.household.ties.create(program=asked.program, user=user, declared_at=timezone.now())
    assert slips(user, open_cases(user), None, None) == []


def test_a_caseworker_is_shown_what_a_caseworker_may_do() -> None:
    question("Dana Haskell", "When?", "26-041")
    plan = make_ready_plan(make_case())
    user = make_user(RoleKind.CASEWORKER)
    found = slips(user, open_cases(user), plan, outcome_of(plan))
    assert [str(slip.title) for slip in found] == ["Dana Haskell asks a question"]


def runs_out(name: str, days: int) -> None:
    person = make_person(name=name, kind="volunteer")
    today = person.program.today()
    row = {"program": person.program, "kind": "waiver", "since_on": dt.date(2020, 1, 1)}
    Credential.objects.create(person=person, until_on=today + dt.timedelta(days=days), **row)


def test_a_paper_that_runs_out_is_a_slip_of_whose_it_is() -> None:
    runs_out("Tove Lindgren", 1)
    user = make_user()
    [slip] = slips(user, [], None, None)
    assert str(slip.title) == "See the next volunteer waiver of Tove Lindgren"
    assert slip.url == "/people/?papers=soon"


def test_papers_that_run_out_are_one_slip_and_the_next_leads() -> None:
    runs_out("Tove Lindgren", 20)
    runs_out("Joris Achterberg", 10)
    user = make_user()
    assert user.program
    [slip] = slips(user, [], None, None)
    assert (str(slip.title), slip.count) == ("See the next papers of two people", 2)
    assert slip.due_on == user.program.today() + dt.timedelta(days=10)


def test_a_page_that_does_not_exist_has_no_address() -> None:
    assert page_of("nowhere:page") == ""


def test_slips_cost_the_same_for_one_row_and_for_three(
    django_assert_num_queries: DjangoAssertNumQueries,
) -> None:
    user = make_user()
    assert user.program
    question("Dana Haskell", "When?", "26-041")
    user.role_kinds()  # read once a request, before any slip
    with django_assert_num_queries(9):
        slips(user, open_cases(user), None, None)
    question("Pilar Quist", "When?", "26-042")
    question("Chidi Abara", "When?", "26-043")
    with django_assert_num_queries(9):
        slips(user, open_cases(user), None, None)
