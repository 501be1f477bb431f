"""The page of a stay's wheel torques."""

from __future__ import annotations

from http import HTTPStatus
from typing import TYPE_CHECKING, Any
from uuid import uuid4

import pytest
from django.urls import reverse

from shared.accounts.roles import RoleKind
from tests.factories import make_intake
from tests.vehicles.pages import sign_in, words
from tests.vehicles.shop.rows import DAY, today
from tests.vehicles.wheels.rows import make_torque, make_wrench
from vehicles.models import Intake, WheelTorque

if TYPE_CHECKING:
    from django.test import Client

    from vehicles.models import Equipment

pytestmark = pytest.mark.django_db


def page(stay: Intake) -> str:
    return reverse("wheels:torque_page", args=[stay.pk])


def typed(wrench: Equipment, **fields: Any) -> dict[str, Any]:
    wheels = ["LF", "RF", "LR", "RR"]
    return {"wrench": wrench.pk, "foot_pounds": "80", "wheels": wheels, "is_again": "no"} | fields


def test_a_torque_is_recorded_once_and_the_second_time_is_told(client: Client) -> None:
    sign_in(client)
    stay = make_intake()
    assert "No wheel torque that counts is on record." in words(client.get(page(stay)))
    sent = typed(make_wrench(), odometer_mi="148200", client_key=str(uuid4()))
    for _ in range(2):
        text = words(client.post(page(stay), sent, follow=True))
    assert WheelTorque.objects.count() == 1
    assert "Every wheel is torqued with a wrench in date." in text
    assert "Tighten the wheel nuts again at 148,250 to 148,300 miles." in text


def test_a_torque_with_an_overdue_wrench_says_at_once_that_it_does_not_count(
    client: Client,
) -> None:
    sign_in(client)
    wrench = make_wrench(name="Old wrench", due_on=today() - DAY)
    text = words(client.post(page(make_intake()), typed(wrench), follow=True))
    assert "Recorded. Old wrench was due for inspection on" in text
    assert "No wheel torque that counts is on record." in text


def test_what_is_refused_stands_in_the_form(client: Client) -> None:
    sign_in(client)
    answer = client.post(page(make_intake()), typed(make_wrench(), odometer_mi="12"))
    assert answer.status_code == HTTPStatus.UNPROCESSABLE_ENTITY
    assert "It showed 148,190 miles when it came; 12 is a slip." in words(answer)
    assert WheelTorque.objects.count() == 0


def test_a_torque_is_taken_back_with_a_reason(client: Client) -> None:
    sign_in(client)
    row = make_torque()
    void = reverse("wheels:void_torque", args=[row.intake_id, row.pk])
    answer = client.post(void, {"because": " "})
    assert answer.status_code == HTTPStatus.UNPROCESSABLE_ENTITY
    text = words(client.post(void, {"because": "Wrong figure"}, follow=True))
    assert "Taken back: Wrong figure" in text
    assert "No wheel torque that counts is on record." in text


def test_a_car_that_is_withheld_or_a_torque_of_another_stay_is_not_found(client: Client) -> None:
    user = sign_in(client, RoleKind.LEAD_TECHNICIAN)
    row, other = make_torque(), make_intake()
    wrong = reverse("wheels:void_torque", args=[other.pk, row.pk])
    assert client.get(wrong).status_code == HTTPStatus.NOT_FOUND
    row.intake.vehicle.withheld_from.add(user)
    assert client.get(page(row.intake)).status_code == HTTPStatus.NOT_FOUND
