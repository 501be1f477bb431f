"""The repair items of a stay: added, put in order, estimated and done from their page."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
import time_machine
from django.urls import reverse

from tests.factories import (
    TODAY,
    make_finding,
    make_intake,
    make_item,
)
from tests.vehicles.pages import sign_in, words
from tests.vehicles.rows import full_stay
from vehicles.models import Estimate, Prerequisite, RepairItem

if TYPE_CHECKING:
    from django.test import Client

    from vehicles.models import Intake

pytestmark = pytest.mark.django_db
CARS = "/cars/"
SENT = {
    "title": "Front pads",
    "system": "brakes",
    "labor_low_minutes": "40",
    "labor_likely_minutes": "60",
    "labor_high_minutes": "90",
}


def page(stay: Intake) -> str:
    return reverse("intake:vehicle_page", args=[stay.pk])


def items(stay: Intake, name: str = "item_list", *more: int) -> str:
    return reverse(f"repairs:{name}", args=[stay.pk, *more])


# ---- repair items ----


def test_items_stand_by_their_rank_with_their_sum(client: Client) -> None:
    sign_in(client)
    stay = make_intake()
    make_item(intake=stay, title="Bulb", tier=2, net_cost_cents=480)
    make_item(intake=stay, title="Two front tires", tier=0, net_cost_cents=24_000)
    make_item(intake=stay, title="Wiper", state="withdrawn", withdrawn_because="not worn")
    text = words(client.get(items(stay)))
    assert text.index("Two front tires") < text.index("Bulb")
    assert "Together 320 244.80" in text
    assert "Wiper withdrawn: not worn" in text
    assert "No estimate was made yet." in text


@time_machine.travel("2026-11-30 15:00Z", tick=False)
def test_an_item_is_added_and_the_stay_ranked_again(client: Client) -> None:
    user = sign_in(client)
    finding = make_finding()
    response = client.post(
        items(finding.intake, "add_item"), SENT | {"findings": [finding.pk]}, follow=True
    )
    item = RepairItem.objects.get()
    assert (item.tier, item.points, item.needs_lift) == (0, 160, False)
    assert "Added: Front pads." in words(response)
    assert user.program == item.program


def test_minutes_out_of_order_are_refused_and_stay_typed(client: Client) -> None:
    sign_in(client)
    stay = make_intake()
    response = client.post(items(stay, "add_item"), SENT | {"labor_low_minutes": "75"})
    assert (response.status_code, RepairItem.objects.count()) == (422, 0)
    assert "Minutes go from low over likely to high, 60,000 at most." in words(response)
    assert 'value="75"' in response.content.decode()


def test_an_empty_item_is_refused(client: Client) -> None:
    sign_in(client)
    response = client.post(items(make_intake(), "add_item"), {})
    assert (response.status_code, RepairItem.objects.count()) == (422, 0)
    assert "Five things to put right" in words(response)


def test_an_order_is_recorded_and_a_circle_refused(client: Client) -> None:
    sign_in(client)
    one = make_item(title="Water pump")
    two = make_item(intake=one.intake, title="Timing belt")
    place = items(one.intake, "require_first")
    done = client.post(place, {"first": two.pk, "item": one.pk}, follow=True)
    assert "Recorded: Timing belt before Water pump." in words(done)
    assert "After: Timing belt." in words(done)
    circle = client.post(place, {"first": one.pk, "item": two.pk})
    assert (circle.status_code, Prerequisite.objects.count()) == (422, 1)
    assert "“Water pump” needs itself, by way of “Timing belt”." in words(circle)


def test_an_order_of_nothing_is_refused(client: Client) -> None:
    sign_in(client)
    response = client.post(items(make_item().intake, "require_first"), {})
    assert (response.status_code, Prerequisite.objects.count()) == (422, 0)


@time_machine.travel("2026-11-30 15:00Z", tick=False)
def test_an_item_is_marked_done_once(client: Client) -> None:
    sign_in(client)
    item = make_item()
    place = items(item.intake, "mark_done", item.pk)
    assert "Done: Two front tires." in words(client.post(place, follow=True))
    item.refresh_from_db()
    assert (item.state, item.done_on) == ("done", TODAY)
    assert "“Two front tires” is done already." in words(client.post(place, follow=True))


def test_an_estimate_is_made_and_told_in_words(client: Client) -> None:
    sign_in(client)
    stay = full_stay()
    text = words(client.post(items(stay, "make_estimate"), follow=True))
    estimate = Estimate.objects.get()
    half, eighty = estimate.p50_cents / 100, estimate.p80_cents / 100
    assert f"Five in ten such repairs cost at most ${half:.2f}, eight in ten at most" in text
    assert f"${eighty:.2f}" in text
    assert "The items have changed" not in text
    make_item(intake=stay)
    assert "The items have changed since this estimate was made." in words(client.get(items(stay)))


def test_an_ended_stay_shows_its_items_and_no_form(client: Client) -> None:
    sign_in(client)
    stay = make_intake(left_on=TODAY)
    item = make_item(intake=stay)
    html = client.get(items(stay)).content.decode()
    assert html.count("<form") == 1  # the one that signs out
    refused = client.post(items(stay, "add_item"), SENT)
    assert (refused.status_code, RepairItem.objects.count()) == (422, 1)
    client.post(items(stay, "mark_done", item.pk))
    assert client.post(items(stay, "make_estimate")).status_code == 404
    item.refresh_from_db()
    assert (item.state, Estimate.objects.count()) == ("open", 0)


def test_a_finding_with_a_number_that_no_row_has_is_refused(client: Client) -> None:
    sign_in(client)
    stay = make_intake()
    make_finding(intake=stay)
    answer = client.post(items(stay, "add_item"), SENT | {"findings": "9" * 23})
    assert (answer.status_code, RepairItem.objects.count()) == (422, 0)
    assert "This is not one of this car." in words(answer)
