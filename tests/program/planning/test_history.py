"""What earlier plans promised, and what happened."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from program.models import Plan, PlannedCase
from program.planning.history import past_plans, promises_of
from shared.accounts.roles import RoleKind
from tests.factories import make_user
from tests.program.planning.approved import approve, shop_with_two_cars
from tests.program.planning.weeks import computed, stay_of
from tests.vehicles.pages import sign_in, words

if TYPE_CHECKING:
    from django.test import Client

pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("monday")]


def promised() -> Plan:
    """Return an approved plan of two cars, both promised for last Friday."""
    shop_with_two_cars()
    plan = approve(computed())
    today = plan.program.today()
    days = {
        "home_from_on": today - dt.timedelta(days=5),
        "home_by_on": today - dt.timedelta(days=3),
    }
    PlannedCase.objects.update(**days)
    return plan


def leaves(planned: PlannedCase, days: int) -> None:
    """Let a car go home so many days after the day promised."""
    stay = stay_of(planned.case)
    stay.left_on = planned.home_by_on + dt.timedelta(days=days)
    stay.arrived_on = planned.home_from_on - dt.timedelta(days=9)
    stay.save()


def test_a_promise_is_kept_when_the_car_went_by_its_day() -> None:
    plan = promised()
    leaves(plan.planned.get(case__number="26-041"), 0)
    leaves(plan.planned.get(case__number="26-042"), 1)
    rows = {row.number: row for row in promises_of(plan, make_user())}
    assert [(rows[n].was_kept, rows[n].is_late) for n in sorted(rows)] == [
        (True, False),
        (False, True),
    ]
    assert rows["26-042"].happened.endswith(", 1 day late")


def test_a_day_that_passed_without_the_car_is_late_and_one_ahead_is_not() -> None:
    plan = promised()
    soon = plan.program.today() + dt.timedelta(days=2)
    plan.planned.filter(case__number="26-042").update(home_by_on=soon)
    rows = {row.number: row.happened for row in promises_of(plan, make_user())}
    assert rows == {"26-041": "late", "26-042": "not yet due"}


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


def test_the_list_reads_as_often_for_one_plan_as_for_three() -> None:
    promised()
    user = make_user()
    with CaptureQueriesContext(connection) as one:
        past_plans(user)
    approve(computed())
    approve(computed())
    with CaptureQueriesContext(connection) as three:
        past_plans(user)
    assert len(one) == len(three)
