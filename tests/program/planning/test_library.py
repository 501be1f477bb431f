"""The pages of earlier plans, and of every car that waits in one."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from django.urls import reverse

from program.models import Plan
from program.planning import views
from program.planning.actions import ask_plan
from program.planning.history import past_plans
from program.planning.states import PlanState
from shared.accounts.roles import RoleKind
from tests.factories import make_program, make_user
from tests.program.planning.approved import leaves, promised, shop_with_two_cars
from tests.program.planning.asked import page, ready
from tests.program.planning.weeks import computed
from tests.vehicles.pages import sign_in, words

if TYPE_CHECKING:
    from django.test import Client

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("monday")]


def test_of_all_plans_it_is_counted_how_many_days_were_kept(client: Client) -> None:
    plan = promised()
    leaves(plan.planned.get(case__number="26-041"), -1)
    (row,) = past_plans(make_user())
    assert (row.cars, row.due, row.kept, row.in_force) == (2, 2, 1, True)
    sign_in(client, RoleKind.COORDINATOR)
    text = words(client.get(reverse("planning:plan_list")))
    assert "Of 2 days promised that came, 1 was kept." in text
    text = words(client.get(reverse("planning:plan_page", args=[plan.number])))
    assert "1 car went home by the day promised, 1 did not." in text


def test_before_the_first_plan_the_list_says_so(client: Client) -> None:
    sign_in(client, RoleKind.COORDINATOR)
    text = words(client.get(reverse("planning:plan_list")))
    assert "No promised day has come yet." in text
    assert "No plan was approved yet" in text


def test_a_draft_is_no_earlier_plan(client: Client) -> None:
    shop_with_two_cars()
    plan = computed()
    sign_in(client, RoleKind.COORDINATOR)
    assert client.get(reverse("planning:plan_page", args=[plan.number])).status_code == 404


def test_a_plan_of_another_program_is_no_earlier_plan(client: Client) -> None:
    plan = promised()
    client.force_login(make_user(program=make_program(name="Elsewhere")))
    for name in ("plan_page", "waiting_list", "home_list"):
        assert client.get(page(plan, name)).status_code == 404
    assert client.get(reverse("planning:plan_list")).context["table"].rows.data.data == []


def test_every_car_that_waits_is_listed_with_what_it_lacks(client: Client) -> None:
    plan = ready()
    sign_in(client, RoleKind.COORDINATOR)
    answer = client.get(page(plan, "waiting_list"))
    assert [row.record.number for row in answer.context["table"].rows] == ["26-042"]
    assert "Karl Iverson" in words(answer)


@pytest.mark.parametrize("state", [PlanState.ASKED, PlanState.FAILED, PlanState.CANCELED])
def test_a_plan_that_was_not_computed_has_no_waiting_cars(client: Client, state: str) -> None:
    plan = ask_plan(program=make_program(), by=None)
    Plan.objects.filter(pk=plan.pk).update(state=state)
    sign_in(client, RoleKind.COORDINATOR)
    assert client.get(page(plan, "waiting_list")).status_code == 404


def test_of_many_cars_that_go_home_the_week_shows_the_first_and_sums_over_all(
    client: Client, monkeypatch: pytest.MonkeyPatch
) -> None:
    shop_with_two_cars()
    plan = computed()
    monkeypatch.setattr(views, "SHOWN_HOMES", 1)
    sign_in(client, RoleKind.COORDINATOR)
    text = words(client.get("/week/"))
    assert "All 2 as a list" in text
    assert "Together 13 " in text
    every = words(client.get(page(plan, "home_list")))
    assert "26-041 Dana Haskell" in every
    assert "26-042 Lan Nguyen" in every
