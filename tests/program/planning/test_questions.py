"""Asking a plan: why a car waits or goes, what a change would do, and ending its search."""

from __future__ import annotations

from typing import TYPE_CHECKING
from uuid import uuid4

import pytest
from django.core.exceptions import ValidationError
from django.db import IntegrityError

from program.models import Plan, WhatIf
from program.planning import actions
from program.planning.actions import ask_plan
from program.planning.jobs import ask_exactly, explain_case
from program.planning.states import PlanState
from program.planning.trying import Change, ChangeKind
from shared.accounts.roles import OFFICE, RoleKind
from shared.models import Job
from tests.factories import make_program, make_user
from tests.program.planning.asked import answered, ask, page, ready
from tests.program.planning.weeks import make_ready, make_shop
from tests.vehicles.pages import HTMX, sign_in, words

if TYPE_CHECKING:
    from django.test import Client

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("monday")]


def test_a_question_moves_nothing_of_the_plan() -> None:
    plan = ready()
    before = Plan.objects.values().get()
    question = answered(ask(plan))
    assert question.state == PlanState.READY
    assert question.result["freed"] == ["26-042"]
    assert Plan.objects.values().get() == before


def test_a_question_is_asked_once_however_often_it_is_sent() -> None:
    plan, key = ready(), uuid4()
    assert ask(plan, client_key=key) == ask(plan, client_key=key)
    assert Job.objects.filter(kind=actions.TRY).count() == 1


@pytest.mark.parametrize(
    ("change", "sentence"),
    [
        (Change(kind=ChangeKind.MONEY, what="XX", amount=1), "No fund XX is in this plan."),
        (Change(kind=ChangeKind.TIME, amount=60, week=9), "The plan has no week 10."),
    ],
)
def test_what_does_not_fit_the_plan_is_refused(change: Change, sentence: str) -> None:
    plan = ready()
    with pytest.raises(ValidationError) as refusal:
        ask(plan, change)
    assert refusal.value.messages == [sentence]
    assert not WhatIf.objects.exists()


def test_a_plan_is_not_asked_for_ever(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(actions, "MOST_QUESTIONS", 1)
    plan = ready()
    ask(plan)
    with pytest.raises(ValidationError, match="This plan has been asked enough"):
        ask(plan)


def test_nothing_to_try_is_said() -> None:
    plan = ready()
    with pytest.raises(ValidationError, match="Say what is to be tried"):
        actions.ask_what_if(plan=plan, changes=[], by=make_user())


def test_the_rules_of_the_table_hold_without_the_action() -> None:
    question = ask(ready(), client_key=uuid4())
    with pytest.raises(IntegrityError, match=r"what_if_asked_once|program_whatif"):
        WhatIf.objects.create(
            program=question.program,
            plan=question.plan,
            changes=[],
            asked_by=question.asked_by,
            client_key=question.client_key,
        )


def test_a_state_that_nobody_knows_is_refused() -> None:
    question = ask(ready())
    with pytest.raises(IntegrityError, match="what_if_state_known"):
        WhatIf.objects.filter(pk=question.pk).update(state="dreamt")


def test_why_a_car_waits_is_worked_out_when_somebody_asks() -> None:
    plan = ready()
    (row,) = plan.result["waits"]
    plan.result["waits"] = [row | {"exact": False, "reasons": [], "swap": ""}]
    plan.save()
    job = actions.ask_why(plan=plan, case_id="26-042")
    write = explain_case(job.payload, plan.program)
    assert write is not None
    write()
    plan.refresh_from_db()
    assert plan.result["waits"] == [row]


def test_nobody_asks_why_a_car_waits_that_goes_home() -> None:
    plan = ready()
    with pytest.raises(ValidationError, match="26-041 doesn't wait in plan"):
        actions.ask_why(plan=plan, case_id="26-041")


def test_giving_up_stops_the_job_and_leaves_the_plan_before(client: Client) -> None:
    plan = ready()
    asked = ask_plan(program=make_program(), by=None)
    sign_in(client, RoleKind.COORDINATOR)
    answer = client.post(page(asked, "plan_cancel"), follow=True)
    assert "The plan was given up." in words(answer)
    assert f"Plan {plan.number}, draft" in words(answer)
    job = Job.objects.get(key=f"plan:{asked.pk}")
    assert job.error == "Stopped by a person before it began."


def test_only_a_plan_that_is_being_computed_is_stopped(client: Client) -> None:
    plan = ready()
    sign_in(client, RoleKind.COORDINATOR)
    for name in ("plan_cancel", "search_end"):
        text = words(client.post(page(plan, name), follow=True))
        assert f"Plan {plan.number} is ready; there is nothing to stop." in text


def test_a_search_that_is_ended_early_is_asked_to_stop(client: Client) -> None:
    make_shop()
    asked = ask_plan(program=make_program(), by=None)
    Job.objects.update(state="running", lease_until="2026-11-30T12:00Z", lease_token=uuid4())
    sign_in(client, RoleKind.COORDINATOR)
    text = words(client.get("/week/"))
    assert "Take the best found so far" in text
    client.post(page(asked, "search_end"))
    assert Job.objects.get().stop_asked_at is not None
    assert "Take the best found so far" not in words(client.get("/week/"))


def test_a_car_that_goes_home_says_why_and_who_pays(client: Client) -> None:
    plan = ready()
    sign_in(client, RoleKind.COORDINATOR)
    text = words(client.get(page(plan, "case_why", "26-041")))
    assert "Dana Haskell’s car goes home" in text
    assert "$200.00" in text
    assert "Try without it" in text


def test_a_car_that_waits_says_the_least_that_would_bring_it_in(client: Client) -> None:
    plan = ready()
    sign_in(client, RoleKind.COORDINATOR)
    text = words(client.get(page(plan, "case_why", "26-042")))
    assert "Karl Iverson’s car waits" in text
    assert "It lacks $" in text
    assert "Try with it" in text


def test_reasons_that_are_being_worked_out_are_looked_for_again(client: Client) -> None:
    plan = ready()
    plan.result["waits"][0]["exact"] = False
    plan.save()
    sign_in(client, RoleKind.COORDINATOR)
    url = page(plan, "case_why", "26-042")
    assert "Work it out exactly" in words(client.get(url))
    client.post(url)
    part = client.get(url, headers=HTMX).content.decode()
    assert 'hx-trigger="every 1s"' in part
    assert "<main" not in part


def test_a_case_that_the_plan_had_not_heard_of_has_no_page(client: Client) -> None:
    plan = ready()
    make_ready("26-043")
    sign_in(client, RoleKind.COORDINATOR)
    assert client.get(page(plan, "case_why", "26-043")).status_code == 404
    assert client.get(page(plan, "case_why", "26-999")).status_code == 404


def test_trying_asks_and_shows_the_answer(client: Client) -> None:
    plan = ready()
    sign_in(client, RoleKind.COORDINATOR)
    answer = client.post(page(plan, "try_out"), {"money": "600"}, follow=True)
    assert "$600.00 more in the fund for anything" in words(answer)
    assert "It is being worked out." in words(answer)
    question = answered(WhatIf.objects.get())
    text = words(client.get(page(plan, "what_if", question.pk)))
    assert "would send home 26-042" in text
    assert "26-042 would go home" in text
    assert "$600.00 more" in words(client.get(page(plan, "try_out")))


def test_what_the_page_asks_first_becomes_exact_by_a_job() -> None:
    plan = ready()
    job = Job.objects.get(key=f"asks:{plan.pk}")
    write = ask_exactly(job.payload, plan.program)
    assert write is not None
    write()
    plan.refresh_from_db()
    assert plan.asks["rows"] is not None


@pytest.mark.parametrize("role", [role for role in RoleKind if role not in OFFICE])
def test_who_is_not_of_the_office_asks_nothing(client: Client, role: RoleKind) -> None:
    plan = ready()
    sign_in(client, role)
    for name in ("try_out", "waiting_list"):
        assert client.get(page(plan, name)).status_code in (302, 403)


def test_a_plan_that_was_asked_enough_says_so_on_the_page(
    client: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(actions, "MOST_QUESTIONS", 0)
    plan = ready()
    sign_in(client, RoleKind.COORDINATOR)
    answer = client.post(page(plan, "try_out"), {"money": "600"})
    assert answer.status_code == 422
    assert "This plan has been asked enough" in words(answer)


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ({"days": "2", "bay": "roof"}, "“roof” is not among the choices here."),
        ({"hours": "5", "week": "99"}, "“99” is not among the choices here."),
        ({"include": "26-041"}, "“26-041” is not among the choices here."),
        ({"part": "9.9"}, "“9.9” is not among the choices here. Choose one that is listed."),
        ({"money": "-5"}, "−$5.00 is too little. Type at least $0.01."),
        ({"hours": "10001"}, "“10001” is not possible. Type a whole number from 1 to 10,000."),
    ],
)
def test_what_cannot_be_tried_comes_back_with_a_sentence(
    client: Client, typed: dict[str, str], said: str
) -> None:
    plan = ready()
    sign_in(client, RoleKind.COORDINATOR)
    answer = client.post(page(plan, "try_out"), typed)
    assert (answer.status_code, WhatIf.objects.count()) == (422, 0)
    assert said in words(answer)


def test_bay_days_without_a_week_are_those_of_the_first(client: Client) -> None:
    plan = ready()
    sign_in(client, RoleKind.COORDINATOR)
    client.post(page(plan, "try_out"), {"days": "2"})
    assert WhatIf.objects.get().changes == [
        {"kind": "bay", "what": "", "amount": 2, "week": 0},
    ]


def test_a_form_sent_twice_asks_once_and_one_that_was_changed_asks_anew(client: Client) -> None:
    plan, key = ready(), str(uuid4())
    sign_in(client, RoleKind.COORDINATOR)
    sent = [
        client.post(page(plan, "try_out"), {"money": money, "client_key": key})["Location"]
        for money in ("7", "7", "8")
    ]
    assert (sent[0] == sent[1], sent[1] == sent[2]) == (True, False)
    asked = [row.changes[0]["amount"] for row in WhatIf.objects.order_by("pk")]
    assert asked == [7_00, 8_00]


def test_asking_why_of_a_car_that_goes_home_is_refused_on_the_page(client: Client) -> None:
    plan = ready()
    sign_in(client, RoleKind.COORDINATOR)
    answer = client.post(page(plan, "case_why", "26-041"), follow=True)
    assert f"26-041 doesn't wait in plan {plan.number}." in words(answer)


def test_a_plan_that_was_followed_is_not_asked_why(client: Client) -> None:
    plan = ready()
    plan.result["waits"][0]["exact"] = False
    plan.state = "superseded"
    plan.save()
    sign_in(client, RoleKind.COORDINATOR)
    text = words(client.get(page(plan, "case_why", "26-042")))
    assert f"Plan {plan.number} has been followed by another: ask the plan of the week." in text
    assert "Work it out exactly" not in text


def test_what_was_not_proven_is_told_as_such(client: Client) -> None:
    plan = ready()
    sign_in(client, RoleKind.COORDINATOR)
    url = page(plan, "case_why", "26-042")
    assert "Each was solved again with it, and with one cent or minute less." in words(
        client.get(url)
    )
    plan.result["waits"][0]["proven"] = False
    plan.save()
    text = words(client.get(url))
    assert "Found with the effort spent, and not proven: less may do." in text
    assert "Each was solved again" not in text
