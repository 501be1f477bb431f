"""The address on a printed intake sheet leads staff to the case, and the shop to the car."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from shared.accounts.roles import RoleKind
from tests.factories import TODAY, make_case, make_intake, make_program, make_user

if TYPE_CHECKING:
    from django.test import Client

    from vehicles.models import Intake

pytestmark = pytest.mark.django_db


@pytest.fixture
def stay() -> Intake:
    return make_intake()


def leads(client: Client, stay: Intake, role: RoleKind) -> tuple[int, str]:
    client.force_login(make_user(role))
    response = client.get(f"/s/{stay.pk}/")
    return response.status_code, response.headers.get("Location", "")


@pytest.mark.parametrize("role", [RoleKind.COORDINATOR, RoleKind.TREASURER, RoleKind.CASEWORKER])
def test_the_office_comes_to_the_open_case(client: Client, stay: Intake, role: RoleKind) -> None:
    make_case(vehicle=stay.vehicle, number="26-001", closed_on=TODAY)
    make_case(vehicle=stay.vehicle, number="26-002")
    assert leads(client, stay, role) == (302, "/cases/26-002/")


@pytest.mark.parametrize("role", [RoleKind.TECHNICIAN, RoleKind.VOLUNTEER])
def test_the_shop_comes_to_the_car(client: Client, stay: Intake, role: RoleKind) -> None:
    make_case(vehicle=stay.vehicle)
    assert leads(client, stay, role) == (302, f"/cars/{stay.pk}/")


def test_a_stay_without_a_case_is_said_to_have_none(client: Client, stay: Intake) -> None:
    assert leads(client, stay, RoleKind.COORDINATOR) == (302, f"/cars/{stay.pk}/")
    page = client.get(f"/cars/{stay.pk}/").content.decode()
    assert "No case joins this car and a household yet." in page
    assert leads(client, stay, RoleKind.TREASURER)[0] == 404


def test_strangers_sign_in_first_and_sponsors_find_nothing(client: Client, stay: Intake) -> None:
    assert client.get(f"/s/{stay.pk}/").headers["Location"].startswith("/accounts/sign-in/")
    assert leads(client, stay, RoleKind.SPONSOR)[0] == 403


def test_a_withheld_or_foreign_stay_is_not_there(client: Client, stay: Intake) -> None:
    foreign = make_intake(program=make_program(name="Elsewhere"))
    user = make_user()
    stay.vehicle.withheld_from.add(user)
    client.force_login(user)
    assert [client.get(f"/s/{one.pk}/").status_code for one in (stay, foreign)] == [404, 404]
