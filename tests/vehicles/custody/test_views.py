"""Moving a car from the page of its stay."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from django.urls import reverse

from shared.accounts.roles import RoleKind
from tests.factories import TODAY, make_intake, make_program
from tests.vehicles.pages import sign_in, words
from vehicles.models import Condition

if TYPE_CHECKING:
    from django.test import Client

    from vehicles.models import Intake

pytestmark = pytest.mark.django_db
SENT = {"step": "repair", "mobility": "drives", "place": "Bay 2", "version": "1"}


def address(stay: Intake) -> str:
    return reverse("custody:move_vehicle", args=[stay.pk])


def step_of(stay: Intake) -> str:
    return Condition.objects.get(vehicle=stay.vehicle).step


def test_a_technician_moves_a_car(client: Client) -> None:
    sign_in(client)
    stay = make_intake()
    response = client.post(address(stay), SENT, follow=True)
    assert step_of(stay) == "repair"
    assert "Recorded: the car is “In repair”." in words(response)


def test_a_car_is_not_handed_back_here(client: Client) -> None:
    sign_in(client)
    stay = make_intake()
    response = client.post(address(stay), SENT | {"step": "handed_back"}, follow=True)
    assert step_of(stay) == "assessment"
    assert "The car can’t go there from “In assessment”." in words(response)


def test_a_stale_form_changes_nothing(client: Client) -> None:
    sign_in(client)
    stay = make_intake()
    Condition.objects.filter(vehicle=stay.vehicle).update(version=2)
    response = client.post(address(stay), SENT, follow=True)
    assert step_of(stay) == "assessment"
    assert "Somebody else moved this car meanwhile" in words(response)


def test_only_a_post_moves_a_car(client: Client) -> None:
    sign_in(client)
    assert client.get(address(make_intake())).status_code == 405


def test_others_do_not_move_cars(client: Client) -> None:
    stay = make_intake()
    assert client.post(address(stay), SENT).status_code == 302
    sign_in(client, RoleKind.SPONSOR)
    assert client.post(address(stay), SENT).status_code == 403
    assert step_of(stay) == "assessment"


def test_a_car_of_another_program_or_an_ended_stay_is_not_found(client: Client) -> None:
    user = sign_in(client)
    make_program(name="Marsh Lane Garage")
    ended = make_intake(left_on=TODAY)
    other = make_intake(program=make_program(name="Weir Street Garage"))
    assert user.program != other.program
    assert client.post(address(ended), SENT).status_code == 404
    assert client.post(address(other), SENT).status_code == 404
