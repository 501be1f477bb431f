"""What jobs took is written down, and how estimates came out."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, Any

import pytest
from django.urls import reverse

from shared.accounts.roles import RoleKind
from shared.policy.queries import policies
from tests.factories import (
    TODAY,
    make_consent,
    make_intake,
    make_item,
    make_need,
    make_owner,
)
from tests.vehicles.pages import sign_in, words
from vehicles.models import RepairItem

if TYPE_CHECKING:
    from django.test import Client


pytestmark = [pytest.mark.django_db, pytest.mark.usefixtures("today")]


@pytest.fixture
def today(time_machine: Any) -> None:
    time_machine.move_to(dt.datetime.combine(TODAY, dt.time(12), dt.UTC), tick=False)


def url(name: str, *args: object) -> str:
    return reverse(f"estimates:{name}", args=args)


def repairable() -> RepairItem:
    stay = make_intake(consents=())
    make_consent(make_owner(stay), stay)
    return make_item(intake=stay)


def test_a_job_is_marked_done_with_what_it_took(client: Client) -> None:
    item = repairable()
    sign_in(client)
    page = url("finish_item", item.intake_id, item.pk)
    assert "1 h were likely" in words(client.get(page))
    assert client.post(page, {"took_minutes": "soon"}).status_code == 422
    client.post(page, {"took_minutes": "75", "cost_cents": "0"})
    item.refresh_from_db()
    assert (item.state, item.took_minutes, item.cost_cents) == ("done", 75, 0)
    assert client.get(page).status_code == 404


def test_a_tap_marks_it_done_and_what_it_took_is_asked_at_once(client: Client) -> None:
    item = repairable()
    make_need(item=item)
    sign_in(client)
    place = reverse("repairs:mark_done", args=[item.intake_id, item.pk])
    asked = client.post(place, follow=True)
    page = url("record_actuals", item.intake_id, item.pk)
    assert ("Minutes it took" in words(asked), "Paid for parts" in words(asked)) == (True, True)
    assert page in asked.content.decode()
    item.refresh_from_db()
    minutes = client.post(page, {"version": item.version, "took_minutes": "75"}, follow=True)
    assert ("Minutes it took" in words(minutes), "Paid for parts" in words(minutes)) == (
        False,
        True,
    )
    item.refresh_from_db()
    cost = {"version": item.version, "took_minutes": "75", "cost_cents": "110.00"}
    assert "What it took" not in words(client.post(page, cost, follow=True))
    item.refresh_from_db()
    assert (item.took_minutes, item.cost_cents) == (75, 11_000)


def test_what_a_job_took_is_corrected_with_a_reason(client: Client) -> None:
    item = make_item(state="done", done_on=TODAY, took_minutes=750)
    sign_in(client)
    page = url("record_actuals", item.intake_id, item.pk)
    typed = {"took_minutes": "75", "version": "1"}
    assert "Say why." in words(client.post(page, typed))
    client.post(page, typed | {"because": "A digit too many"})
    item.refresh_from_db()
    assert item.took_minutes == 75
    shown = client.get(reverse("repairs:item_list", args=[item.intake_id]))
    assert "1 h 15 min" in words(shown)


def jobs(count: int = 9) -> None:
    stay = make_intake()
    for at in range(count):
        make_item(intake=stay, title=f"Job {at}", state="done", done_on=TODAY, took_minutes=75)


def test_the_record_shows_the_bias_and_every_job(client: Client) -> None:
    jobs()
    sign_in(client, RoleKind.TREASURER)
    response = client.get(url("record"))
    text = words(response)
    assert "Labor took 1.25 times what was likely: 9 jobs" in text
    assert "0 jobs are on record; from 8 on they say something." in text
    assert "9 jobs" in text
    assert b"/took/" not in response.content  # a treasurer opens no car
    assert client.get(url("record"), {"export": "csv"}).content.count(b"\r\n") == 10


def test_a_lead_technician_comes_from_a_job_to_what_it_took(client: Client) -> None:
    jobs(1)
    sign_in(client, RoleKind.LEAD_TECHNICIAN)
    item = RepairItem.objects.get()
    page = client.get(url("record")).content.decode()
    assert url("record_actuals", item.intake_id, item.pk) in page


def test_a_correction_is_adopted_by_a_person_and_dropped_again(client: Client) -> None:
    jobs()
    make_item()
    user = sign_in(client, RoleKind.COORDINATOR)
    text = words(client.get(url("correct")))
    assert "The record says labor 125 percent, from 9 jobs" in text
    typed = {"labor_correction_percent": "125", "parts_correction_percent": "100"}
    assert client.post(url("correct"), typed).status_code == 422
    client.post(url("correct"), typed | {"because": "Shop meeting"})
    assert user.program is not None
    assert policies(user.program, TODAY)["labor_correction_percent"] == 125
    again = client.post(url("correct"), typed | {"because": "Shop meeting"})
    assert "Nothing was changed." in words(again)
