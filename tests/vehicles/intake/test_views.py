"""The page of a stay says the one next thing, what forbids driving, and who sleeps in the car."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from shared.accounts.roles import RoleKind
from tests.factories import TODAY, make_intake, make_key_tag, make_standing
from tests.vehicles.intake.shots import kept
from tests.vehicles.pages import sign_in, words

if TYPE_CHECKING:
    from django.test import Client

    from shared.models import User
    from vehicles.models import Intake

pytestmark = pytest.mark.django_db


@pytest.fixture
def technician(client: Client) -> User:
    return sign_in(client)


def page(client: Client, stay: Intake) -> str:
    return words(client.get(reverse("intake:vehicle_page", args=[stay.pk])))


def test_the_first_line_says_what_comes_next(client: Client, technician: User) -> None:
    stay = make_intake(consents=())
    assert "Next: ask whose the car is and what stands against it." in page(client, stay)
    make_standing(stay)
    assert "Next: an owner says yes." in page(client, stay)


def test_once_signed_and_tagged_the_walk_round_comes(client: Client, technician: User) -> None:
    stay = make_intake()
    make_standing(stay)
    assert "Next: tag the keys" in page(client, stay)
    make_key_tag(stay)
    assert "Next: walk round the car and mark what is seen." in page(client, stay)
    kept(stay, technician)  # a photo of the walk-round
    assert "Next: the 20-minute look." in page(client, stay)


def test_a_red_lamp_forbids_driving(client: Client, technician: User) -> None:
    text = page(client, make_intake(lamps=["oil", "engine"]))
    assert "This car is not to be driven Warning lamp lit: Oil pressure" in text
    assert "Oil pressure (red), Check engine, steady (amber)" in text
    assert "not to be driven" not in page(client, make_intake(lamps=["engine"]))


def test_somebody_who_sleeps_in_it_is_seen_to(client: Client, technician: User) -> None:
    assert "Somebody sleeps in this car." in page(client, make_intake(sleeps_in=True))
    assert "Somebody sleeps" not in page(client, make_intake(sleeps_in=None))


def test_a_stay_that_ended_has_nothing_next(client: Client, technician: User) -> None:
    text = page(client, make_intake(left_on=TODAY, sleeps_in=True))
    assert "It arrives again" in text
    assert "Next:" not in text
    assert "Put right what was told" not in text


def test_photos_add_no_query_to_the_page(client: Client, technician: User) -> None:
    stay, counts = make_intake(), []
    for tone in (60, 90, 120):
        kept(stay, technician, tone)
        with CaptureQueriesContext(connection) as queries:
            page(client, stay)
        counts.append(len(queries))
    assert len(set(counts)) == 1


def test_the_list_of_cars_leads_to_a_car_that_arrives(client: Client, technician: User) -> None:
    assert 'href="/cars/new/"' in client.get("/cars/").content.decode()


def test_only_the_shop_prints_an_empty_form(client: Client) -> None:
    sign_in(client, RoleKind.BOARD)
    assert client.get("/cars/paper/").status_code == 403
