"""Pins on the pages of the week: made, obeyed, in conflict, taken off."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from django.urls import reverse

from program.models import Case, Pin, Plan
from program.planning.actions import pin_case
from shared.accounts.roles import RoleKind
from tests.factories import make_user
from tests.program.planning.test_views import WEEK, approve_url, ready
from tests.program.planning.weeks import (
    computed,
    make_money,
    make_ready,
    make_shop,
    make_work,
    stay_of,
)
from tests.vehicles.pages import sign_in, words

if TYPE_CHECKING:
    from django.test import Client

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("monday")]

COORDINATOR = RoleKind.COORDINATOR


def test_a_case_is_pinned_with_a_reason_and_unpinned(client: Client) -> None:
    sign_in(client, COORDINATOR)
    ready()
    page = reverse("planning:case_pin", args=["26-042"])
    assert "Keep a car in the plan, or out of it" in words(client.get(page))
    response = client.post(page, {"direction": "out", "reason": "The family is away."}, follow=True)
    assert "Case 26-042 is pinned. A new plan is being computed." in words(response)
    assert "The family is away." in words(client.get(page))
    client.post(reverse("planning:case_unpin", args=["26-042"]))
    assert not Pin.objects.filter(ended_at=None).exists()


def test_a_pin_without_a_reason_comes_back_with_what_was_typed(client: Client) -> None:
    sign_in(client, COORDINATOR)
    ready()
    response = client.post(reverse("planning:case_pin", args=["26-042"]), {"direction": "out"})
    assert response.status_code == 422
    assert "Why: an answer is missing." in words(response)
    assert 'value="out"' in response.content.decode()
    assert not Pin.objects.exists()


def test_pins_are_shown_beside_the_plan(client: Client) -> None:
    user = sign_in(client, COORDINATOR)
    make_shop()
    case = make_ready("26-041")
    pin_case(case=case, direction="out", reason="The family is away.", by=user)
    Plan.objects.all().delete()
    computed()
    assert "26-041 stays out: The family is away." in words(client.get(WEEK))


def pinned(*numbers: str) -> None:
    """Pin cars in, and compute the plan anew."""
    user = make_user()
    for number in numbers:
        case = Case.objects.get(number=number)
        pin_case(case=case, direction="in", reason="The board wants it.", by=user)
    computed()


def test_a_pin_for_which_the_money_is_not_there_says_so_and_can_be_taken_off(
    client: Client,
) -> None:
    sign_in(client, COORDINATOR)
    ready()
    pinned("26-042")
    text = words(client.get(WEEK))
    assert (
        "One car that has to stay in does not fit 26-042 is pinned in, and can't go home within"
        " these weeks even by itself. It lacks $190.00. Take the pin off 26-042 This plan does"
        " without it."
    ) in text
    assert "One car goes home" in text
    response = client.post(reverse("planning:case_unpin", args=["26-042"]), follow=True)
    assert "The pin is off 26-042. A new plan is being computed." in words(response)
    computed()
    assert "has to stay in" not in words(client.get(WEEK))


def test_two_pins_that_each_fit_and_not_both_are_both_offered_to_come_off(client: Client) -> None:
    sign_in(client, COORDINATOR)
    make_shop()
    make_money(40_000)
    make_work(make_ready("26-041"), sublet_cents=30_000)
    make_work(make_ready("26-042", name="Karl Iverson", weight=4), sublet_cents=30_000)
    pinned("26-041", "26-042")
    text = words(client.get(WEEK))
    assert (
        "26-042 is pinned in, and can't go home beside 26-041, which is pinned in too. Beside all"
        " that has to stay in it lacks $290.00. Take the pin off 26-041 Take the pin off 26-042"
    ) in text


def test_a_pin_on_a_car_that_waits_for_a_person_says_what_for(client: Client) -> None:
    sign_in(client, COORDINATOR)
    ready()
    stay_of(Case.objects.get(number="26-042")).consents.all().delete()
    pinned("26-042")
    text = words(client.get(WEEK))
    assert "26-042 is pinned in, and can't be planned yet." in text
    assert "Take the pin off 26-042 This plan does without it." in text


def test_a_pin_on_a_car_that_left_says_that_it_is_not_here(client: Client) -> None:
    sign_in(client, COORDINATOR)
    ready()
    condition = Case.objects.get(number="26-042").vehicle.condition  # type: ignore[union-attr]
    condition.step = "expected"
    condition.save()
    pinned("26-042")
    assert "26-042 is pinned in, and its car is not in the shop." in words(client.get(WEEK))


def test_a_draft_beside_a_pin_that_does_not_fit_names_the_plan_in_force(client: Client) -> None:
    sign_in(client, COORDINATOR)
    plan = ready()
    client.post(approve_url(plan))
    pinned("26-042")
    assert (
        f"This plan does without it. Until a plan is approved, plan {plan.number} is in force."
    ) in words(client.get(WEEK))


def test_a_plan_that_failed_leaves_the_one_in_force_and_the_pins_to_be_taken_off(
    client: Client,
) -> None:
    sign_in(client, COORDINATOR)
    plan = ready()
    client.post(approve_url(plan))
    pinned("26-042")
    Plan.objects.filter(state="ready").update(state="failed", error="Item 7 needs itself.")
    text = words(client.get(WEEK))
    assert f"Item 7 needs itself. Plan {plan.number} stays in force." in text
    assert "Take the pin off 26-042" in text


def test_a_pin_that_is_off_already_is_not_taken_off_twice(client: Client) -> None:
    sign_in(client, COORDINATOR)
    ready()
    count = Plan.objects.count()
    response = client.post(reverse("planning:case_unpin", args=["26-042"]), follow=True)
    assert "26-042 was not pinned any more. Nothing was changed." in words(response)
    assert Plan.objects.count() == count
