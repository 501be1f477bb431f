"""The pages of trouble codes."""

from __future__ import annotations

from http import HTTPStatus
from typing import TYPE_CHECKING, Any
from uuid import uuid4

import pytest
from django.urls import reverse

from shared.accounts.roles import RoleKind
from tests.factories import TODAY, make_intake, make_scan
from tests.vehicles.pages import sign_in, words
from vehicles.models import CodeScan, TroubleCode

if TYPE_CHECKING:
    from django.test import Client

    from vehicles.models import Intake

pytestmark = pytest.mark.django_db
TYPED = {"volts": "12.6", "lamp": "off", "pasted": "P0301"}


def page(stay: Intake) -> str:
    return reverse("codes:code_list", args=[stay.pk])


def test_the_page_begins_with_the_battery(client: Client) -> None:
    sign_in(client)
    text = words(client.get(page(make_intake())))
    assert "No codes were read on this stay yet." in text
    assert text.index("Battery at rest") < text.index("Check-engine lamp") < text.index("Codes (")


def test_codes_are_recorded_and_shown_with_what_they_forbid(client: Client) -> None:
    sign_in(client)
    stay = make_intake()
    answer = client.post(page(stay), TYPED | {"lamp": "flashing"}, follow=True)
    text = words(answer)
    assert answer.redirect_chain == [(page(stay), HTTPStatus.FOUND)]
    assert "This car is not driven until this has been checked" in text
    assert "P0301: misfire, cylinder 1." in text
    assert "clearing also resets the readiness monitors." in text


def test_a_form_sent_twice_is_one_reading(client: Client) -> None:
    sign_in(client)
    stay, sent = make_intake(), TYPED | {"client_key": str(uuid4())}
    for _ in range(2):
        assert client.post(page(stay), sent).status_code == HTTPStatus.FOUND
    assert (CodeScan.objects.count(), TroubleCode.objects.count()) == (1, 1)


def test_what_is_refused_stands_in_the_form_with_what_was_typed(client: Client) -> None:
    sign_in(client)
    answer = client.post(page(make_intake()), TYPED | {"pasted": "P0301\nPO128"})
    assert answer.status_code == HTTPStatus.UNPROCESSABLE_ENTITY
    text = words(answer)
    assert "Line 2: “PO128” is not a code. Is it P0128?" in text
    assert "Record it all the same" in text


def test_readings_are_listed_newest_first(client: Client) -> None:
    sign_in(client)
    stay = make_intake()
    make_scan(stay, "P0128", cleared_at="2026-11-01T12:00Z", at="2026-11-01T11:00Z")
    make_scan(stay, "P0217")
    text = words(client.get(page(stay)))
    assert text.index("P0217") < text.index("No longer counts") < text.index("P0128")


def test_a_stay_that_has_ended_shows_its_codes_and_takes_no_more(client: Client) -> None:
    sign_in(client)
    stay = make_intake(left_on=TODAY)
    make_scan(stay, "P0301")
    text = words(client.get(page(stay)))
    assert "Misfire, cylinder 1." in text
    assert "Record the codes" not in text
    answer = client.post(page(stay), TYPED)
    assert (answer.status_code, CodeScan.objects.count()) == (HTTPStatus.UNPROCESSABLE_ENTITY, 1)
    assert "nothing more can be recorded on it" in words(answer)
    assert client.post(page(stay), TYPED).status_code == HTTPStatus.UNPROCESSABLE_ENTITY


def test_clearing_says_what_goes_with_the_codes(client: Client) -> None:
    user = sign_in(client)
    scan = make_scan(make_intake(), "P0301")
    url = reverse("codes:clear_codes", args=[scan.intake_id, scan.pk])
    text = words(client.get(url))
    assert "No freeze frame is on record." in text
    assert "The readiness monitors" in text
    client.post(url)
    scan.refresh_from_db()
    assert scan.cleared_by == user
    assert f"{user}" in words(client.get(page(scan.intake)))


def test_withdrawing_asks_why(client: Client) -> None:
    sign_in(client)
    scan = make_scan(make_intake(), "P0301")
    url = reverse("codes:withdraw_scan", args=[scan.intake_id, scan.pk])
    assert client.post(url, {}).status_code == HTTPStatus.UNPROCESSABLE_ENTITY
    client.post(url, {"because": "Another car"})
    assert "Withdrawn: Another car" in words(client.get(page(scan.intake)))


def test_a_car_that_is_withheld_has_no_codes(client: Client) -> None:
    user = sign_in(client)
    scan = make_scan(make_intake(), "P0301")
    scan.intake.vehicle.withheld_from.add(user)
    args: list[Any] = [scan.intake_id, scan.pk]
    urls = [page(scan.intake), *(reverse(f"codes:{one}", args=args) for one in STEPS)]
    assert {client.get(url).status_code for url in urls} == {HTTPStatus.NOT_FOUND}


def test_a_reading_is_only_found_on_its_own_stay(client: Client) -> None:
    sign_in(client)
    scan, other = make_scan(make_intake(), "P0301"), make_intake()
    url = reverse("codes:withdraw_scan", args=[other.pk, scan.pk])
    assert client.get(url).status_code == HTTPStatus.NOT_FOUND


def test_the_treasurer_reads_no_codes(client: Client) -> None:
    sign_in(client, RoleKind.TREASURER)
    assert client.get(page(make_intake())).status_code == HTTPStatus.FORBIDDEN


def test_the_page_of_the_car_leads_here_and_says_what_the_codes_forbid(client: Client) -> None:
    sign_in(client)
    stay = make_intake()
    make_scan(stay, "P0217")
    answer = client.get(reverse("intake:vehicle_page", args=[stay.pk]))
    assert page(stay) in answer.content.decode()
    assert "P0217: engine over-temperature." in words(answer)


STEPS = ("clear_codes", "withdraw_scan")
