"""The cars that are here, the page of one stay, and its repair items."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
import time_machine
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from shared.accounts.roles import RoleKind
from tests.factories import (
    TODAY,
    make_finding,
    make_intake,
    make_item,
    make_need,
    make_program,
    make_vehicle,
)
from tests.vehicles.pages import HTMX, sign_in, words
from tests.vehicles.rows import full_stay
from vehicles.inspection.actions import record_reading
from vehicles.inspection.reading import Typed
from vehicles.models import Condition, RepairItem

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


# ---- the list of cars ----


def test_the_cars_here_are_listed_with_what_is_left_to_read(client: Client) -> None:
    sign_in(client)
    full_stay()
    make_intake(vehicle=make_vehicle(make="Ford", model="Escape"), left_on=TODAY)
    text = words(client.get(CARS))
    assert "One is not to be driven: a dangerous deficiency is open." in text
    assert "1 car here" in text
    assert "2012 Toyota Corolla" in text
    assert "Ford" not in text


def test_an_empty_lot_says_why(client: Client) -> None:
    sign_in(client)
    text = words(client.get(CARS))
    assert "No car is here A car appears here when its intake is recorded." in text


def test_the_list_is_sorted_filtered_and_exported(client: Client) -> None:
    sign_in(client)
    make_finding()
    make_intake(vehicle=make_vehicle(make="Ford", model="Escape"))
    assert "1 car here" in words(client.get(CARS, {"car": "escape"}))
    text = words(client.get(CARS, {"sort": "-car"}))
    assert text.index("Toyota") < text.index("Ford")
    sheet = client.get(CARS, {"worst": "dangerous", "export": "csv"}).content.decode()
    assert [line.split(",")[0] for line in sheet.splitlines()] == [
        "\ufeffCar",
        "2012 Toyota Corolla",
    ]


def test_htmx_gets_the_rows_alone(client: Client) -> None:
    sign_in(client)
    assert "<html" not in client.get(CARS, headers=HTMX).content.decode()


@pytest.mark.parametrize(
    "address",
    ["list", "page", "items"],
)
def test_a_page_takes_as_many_queries_for_three_rows_as_for_one(
    client: Client, address: str
) -> None:
    sign_in(client)
    stay = full_stay()
    place = {"list": CARS, "page": page(stay), "items": items(stay)}[address]
    counts = []
    for _ in range(2):
        client.get(place)
        with CaptureQueriesContext(connection) as queries:
            assert client.get(place).status_code == 200
        counts.append(len(queries))
        for _ in range(2):
            full_stay()
            item = make_item(intake=stay, findings=[make_finding(intake=stay)])
            make_need(item=item)
    assert counts[0] == counts[1]


# ---- the page of one stay ----


@time_machine.travel("2026-11-30 15:00Z", tick=False)
def test_a_stay_shows_what_came_and_what_was_found(client: Client) -> None:
    sign_in(client)
    stay = full_stay()
    text = words(client.get(page(stay)))
    assert "“It grinds when I brake.”" in text
    assert "148,190 miles" in text
    assert "Its check digit is right." in text
    assert "1 of 269 points are read, 2 repair items are open." in text
    assert "This car is not to be driven Front tire: tread 1/32 in" in text
    assert "49 CFR 570.9(a) (from memory, text not seen)" in text
    assert "Repair signed by Dana Haskell" in text
    assert "Road test no owner has consented: the car stays off the road" in text


def test_without_consent_it_is_said_that_nothing_may_be_repaired(client: Client) -> None:
    sign_in(client)
    vehicle = make_vehicle(vin="", engine="1.8", tire_size="x")
    stay = make_intake(odometer_mi=None, vehicle=vehicle, consents=())
    text = words(client.get(page(stay)))
    assert "Repair no owner has consented: nothing may be repaired" in text
    assert "No paper was seen: nobody is recorded as owner." in text
    assert "No VIN is recorded." in text
    assert "not read" in text
    assert "Nothing was recorded on this stay yet." in text


def test_what_was_done_stands_in_the_timeline(client: Client) -> None:
    user = sign_in(client)
    stay = make_intake()
    for place in ("LF", "RF"):
        typed = Typed(criterion="tire-tread", position=place, value="9")
        record_reading(intake=stay, typed=typed, by=user)
    assert f"A reading was recorded, 2 times. {user}" in words(client.get(page(stay)))


def test_an_ended_stay_says_so_and_is_not_moved(client: Client) -> None:
    sign_in(client)
    text = words(client.get(page(make_intake(left_on=TODAY))))
    assert "It left on Monday, November 30; nothing more can be recorded" in text
    assert "Record where it stands" not in text


def test_a_car_without_a_condition_is_shown_without_the_form(client: Client) -> None:
    sign_in(client)
    stay = make_intake()
    Condition.objects.all().delete()
    assert "Record where it stands" not in words(client.get(page(stay)))


# ---- who may ----


def test_only_the_shop_opens_cars_and_items(client: Client) -> None:
    stay = full_stay()
    places = [CARS, page(stay), items(stay)]
    assert [client.get(place).status_code for place in places] == [302, 302, 302]
    sign_in(client, RoleKind.SPONSOR)
    assert [client.get(place).status_code for place in places] == [403, 403, 403]
    assert client.post(items(stay, "add_item"), SENT).status_code == 403
    assert RepairItem.objects.count() == 2


@pytest.mark.parametrize("name", ["add_item", "require_first", "make_estimate"])
def test_what_changes_is_only_posted(client: Client, name: str) -> None:
    sign_in(client)
    assert client.get(items(make_intake(), name)).status_code == 405


def test_lists_are_only_looked_at(client: Client) -> None:
    sign_in(client)
    stay = make_intake()
    assert [client.post(place).status_code for place in (CARS, page(stay), items(stay))] == [
        405,
        405,
        405,
    ]


def test_a_car_of_another_program_or_one_withheld_is_not_found(client: Client) -> None:
    user = sign_in(client)
    other = make_intake(program=make_program(name="Weir Street Garage"))
    tied = make_intake()
    tied.vehicle.withheld_from.add(user)
    for stay in (other, tied):
        assert client.get(page(stay)).status_code == 404
        assert client.get(items(stay)).status_code == 404
        assert client.post(items(stay, "add_item"), SENT).status_code == 404
    assert "No car is here" in words(client.get(CARS))
    assert RepairItem.objects.count() == 0


def test_an_item_of_another_stay_is_not_found(client: Client) -> None:
    sign_in(client)
    stay, item = make_intake(), make_item()
    assert client.post(items(stay, "mark_done", item.pk)).status_code == 404
