"""The pages of the week."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from program.models import Case, Commitment, Pin, Plan
from program.planning.actions import ask_plan, pin_case
from program.planning.states import PlanState
from shared.accounts.roles import OFFICE, RoleKind
from tests.factories import make_need, make_plan, make_program, make_user
from tests.program.planning.weeks import (
    computed,
    make_money,
    make_ready,
    make_shop,
    make_work,
)
from tests.vehicles.pages import BACKEND, HTMX, sign_in, words

if TYPE_CHECKING:
    from django.test import Client

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("monday")]

WEEK = "/week/"
COORDINATOR = RoleKind.COORDINATOR


def ready() -> Plan:
    """Return a plan that sends one car home and lets one wait."""
    make_shop()
    make_money(50_000)
    make_work(make_ready("26-041", name="Dana Haskell"))
    make_work(make_ready("26-042", name="Karl Iverson", weight=4), sublet_cents=60_000)
    return computed()


def approve_url(plan: Plan) -> str:
    return reverse("planning:plan_approve", args=[plan.number])


def pdf_url(plan: Plan) -> str:
    return reverse("planning:week_pdf", args=[plan.number])


def test_before_the_first_plan_one_can_be_asked_for(client: Client) -> None:
    sign_in(client, COORDINATOR)
    assert "There is no plan yet" in words(client.get(WEEK))
    response = client.post(reverse("planning:plan_ask"))
    assert (response.status_code, response["Location"]) == (302, WEEK)
    assert Plan.objects.get().state == PlanState.ASKED


def test_a_plan_that_is_being_computed_says_so_and_looks_again(client: Client) -> None:
    sign_in(client, COORDINATOR)
    ask_plan(program=make_program(), by=None)
    response = client.get(WEEK)
    assert "The plan is being computed" in words(response)
    assert 'hx-trigger="every 2s"' in response.content.decode()
    part = client.get(WEEK, headers=HTMX).content.decode()
    assert 'id="progress"' in part
    assert "<main" not in part


def test_the_waiting_page_leaves_for_the_plan_once_it_is_there(client: Client) -> None:
    sign_in(client, COORDINATOR)
    ready()
    assert client.get(WEEK, headers=HTMX)["HX-Redirect"] == WEEK


def test_a_plan_that_failed_says_why(client: Client) -> None:
    sign_in(client, COORDINATOR)
    make_plan(state="failed", error="Item 7 needs itself.")
    text = words(client.get(WEEK))
    assert "The plan could not be computed" in text
    assert "Item 7 needs itself." in text


def test_the_week_says_who_goes_home_who_waits_and_what_approving_does(client: Client) -> None:
    sign_in(client, COORDINATOR)
    plan = ready()
    text = words(client.get(WEEK))
    assert "One car goes home It carries 8 points of need." in text
    assert "Proven: no other choice brings more than 8 home with this money" in text
    assert "Approving sets aside $200.00 from 1 fund and tells 1 household a date." in text
    assert (
        "26-041 Dana Haskell 2012 Toyota Corolla Two front tires Why 26-041 8 1:45 200.00" in text
    )
    assert "26-042 Karl Iverson, 2012 Toyota Corolla, need 4: lacks" in text
    assert f"Plan {plan.number}, draft" in text


def test_approving_sets_the_money_aside_and_says_who_did_it(client: Client) -> None:
    user = sign_in(client, COORDINATOR)
    plan = ready()
    response = client.post(approve_url(plan), follow=True)
    text = words(response)
    assert f"Plan {plan.number} is approved. Money, parts and dates are set." in text
    assert f"{user} approved it on" in text
    assert "Approve this plan" not in text
    assert Commitment.objects.get().cents == 20_000


def test_a_second_approval_is_refused_and_changes_nothing(client: Client) -> None:
    sign_in(client, COORDINATOR)
    plan = ready()
    client.post(approve_url(plan))
    response = client.post(approve_url(plan))
    assert response.status_code == 422
    assert f"Plan {plan.number} is approved; only a ready plan is approved." in words(response)
    assert Commitment.objects.count() == 1


@pytest.mark.parametrize(
    ("state", "said"),
    [
        ("asked", "is still being computed. Approve it once it is there."),
        ("superseded", "was followed by another. Approve the plan of the week."),
        ("failed", "is failed; only a ready plan is approved."),
    ],
)
def test_a_plan_that_is_not_ready_is_refused_with_what_it_is(
    client: Client, state: str, said: str
) -> None:
    sign_in(client, COORDINATOR)
    plan = ready()
    Plan.objects.update(state=state)
    response = client.post(approve_url(plan))
    assert f"Plan {plan.number} {said}" in words(response)
    assert not Commitment.objects.exists()


def test_a_plan_of_other_facts_is_refused_on_a_page(client: Client) -> None:
    sign_in(client, COORDINATOR)
    plan = ready()
    make_work(make_ready("26-043"))
    response = client.post(approve_url(plan))
    assert response.status_code == 422
    assert "The plan was not approved" in words(response)
    assert "Compute it again, then approve." in words(response)
    assert not Commitment.objects.exists()


def test_the_wall_sheet_is_a_pdf_that_nobody_keeps(client: Client) -> None:
    sign_in(client, RoleKind.TECHNICIAN)
    response = client.get(pdf_url(ready()))
    assert response.content.startswith(b"%PDF-1.7")
    assert (response["Content-Type"], response["Cache-Control"]) == ("application/pdf", "no-store")


@pytest.mark.parametrize("role", list(RoleKind))
def test_the_office_reads_the_week_and_nobody_else(client: Client, role: RoleKind) -> None:
    sign_in(client, role)
    assert client.get(WEEK).status_code == (200 if role in OFFICE else 403)


@pytest.mark.parametrize("role", [RoleKind.TREASURER, RoleKind.BOARD, RoleKind.TECHNICIAN])
def test_only_the_coordinator_asks_approves_and_pins(client: Client, role: RoleKind) -> None:
    plan = ready()
    sign_in(client, role)
    pin = reverse("planning:case_pin", args=["26-041"])
    unpin = reverse("planning:case_unpin", args=["26-041"])
    for url in (approve_url(plan), reverse("planning:plan_ask"), pin, unpin):
        assert client.post(url, {"direction": "in", "reason": "x"}).status_code == 403
    assert not Pin.objects.exists()


def test_who_only_reads_is_offered_nothing_to_change(client: Client) -> None:
    ready()
    pin_case(case=Case.objects.get(number="26-041"), direction="in", reason="Why.", by=make_user())
    sign_in(client, RoleKind.TREASURER)
    page = client.get(WEEK).content.decode()
    for offer in ("Compute", "Approve this plan", "Take the pin off", "Keep 26-"):
        assert offer not in page


def test_strangers_sign_in_first(client: Client) -> None:
    plan = ready()
    for url in (WEEK, pdf_url(plan)):
        assert client.get(url)["Location"].startswith("/accounts/")
    assert client.post(approve_url(plan)).status_code == 302
    assert Plan.objects.get().state == PlanState.READY


def test_another_programs_plan_and_case_are_not_there(client: Client) -> None:
    plan = ready()
    stranger = make_user(program=make_program(name="Other garage"))
    client.force_login(stranger, BACKEND)
    assert client.get(pdf_url(plan)).status_code == 404
    assert client.post(approve_url(plan)).status_code == 404
    assert client.get(reverse("planning:case_pin", args=["26-041"])).status_code == 404
    assert "There is no plan yet" in words(client.get(WEEK))


@pytest.mark.parametrize("name", ["plan_approve", "plan_ask", "case_unpin"])
def test_a_change_is_never_made_by_following_a_link(client: Client, name: str) -> None:
    sign_in(client, COORDINATOR)
    arguments: dict[str, list[Any]] = {"plan_approve": [1], "case_unpin": ["26-041"]}
    url = reverse(f"planning:{name}", args=arguments.get(name, []))
    assert client.get(url).status_code == 405


def test_the_week_takes_as_many_queries_for_four_cars_as_for_one(client: Client) -> None:
    sign_in(client, COORDINATOR)
    make_shop()
    make_money(500_000)

    def count() -> int:
        computed()
        with CaptureQueriesContext(connection) as queries:
            client.get(WEEK)
        return len(queries)

    make_need(item=make_work(make_ready("26-041")))
    one = count()
    for number in ("26-042", "26-043", "26-044"):
        make_need(item=make_work(make_ready(number)))
    assert count() == one
