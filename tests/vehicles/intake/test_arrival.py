"""A car arrives: its VIN is looked at as it is typed, then what is told of it is recorded."""

from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING, Any
from uuid import uuid4

import pytest
import time_machine
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from shared.accounts.roles import RoleKind
from tests.factories import TODAY, make_intake, make_program, make_vehicle
from tests.vehicles.intake.answers import VIN, sent
from tests.vehicles.pages import HTMX, sign_in, words
from vehicles.models import Condition, Intake, Vehicle

if TYPE_CHECKING:
    from collections.abc import Iterator

    from django.test import Client

    from shared.models import User

pytestmark = pytest.mark.django_db
NEW = "/cars/new/"
ARRIVAL = "/cars/new/arrival/"
KNOWN = "1M8GDM9AXKP042788"
SWAPPED = "1M8GDM9AXKP042878"


@pytest.fixture(autouse=True)
def clock() -> Iterator[None]:
    with time_machine.travel(dt.datetime.combine(TODAY, dt.time(18, 0), dt.UTC), tick=False):
        yield


@pytest.fixture
def technician(client: Client) -> User:
    return sign_in(client)


def look(client: Client, vin: str, **headers: Any) -> Any:
    return client.get(NEW, {"vin": vin}, **headers)


def receive(client: Client, vehicle: Vehicle | None = None, **answers: Any) -> Any:
    where = reverse("intake:receive_car", args=[vehicle.pk] if vehicle else [])
    version = {"version": vehicle.version, "vin": vehicle.vin} if vehicle else {}
    return client.post(where, sent(**version | answers))


def leads(client: Client, page: str) -> str:
    return client.get(page).headers["Location"]


# ---- which car it is ----


def test_a_true_vin_says_what_it_means_and_how_to_go_on(client: Client, technician: User) -> None:
    response = look(client, f"VIN {KNOWN}.")
    assert "Its check digit is right." in words(response)
    assert f'href="{ARRIVAL}?vin={KNOWN}"' in response.content.decode()


def test_as_it_is_typed_only_the_part_below_is_answered(client: Client, technician: User) -> None:
    response = look(client, SWAPPED, headers=HTMX)
    html = response.content.decode()
    assert html.strip().startswith('<div class="stack" id="told"')
    assert "Did you mean" in html
    assert html.index(f"?vin={KNOWN}") < html.index("Others that are possible")


def test_a_car_that_is_here_is_shown_with_its_link(client: Client, technician: User) -> None:
    stay = make_intake(vehicle=make_vehicle(vin=KNOWN))
    response = look(client, KNOWN)
    text = words(response)
    assert "2012 Toyota Corolla is here already, since Monday, November 23." in text
    assert f'href="/cars/{stay.pk}/"' in response.content.decode()
    assert f'href="/s/{stay.pk}/"' in response.content.decode()
    assert "Go on with this" not in text


def test_a_known_car_is_taken_over(client: Client, technician: User) -> None:
    vehicle = make_vehicle(vin=KNOWN, step="expected")
    assert f'href="{ARRIVAL}{vehicle.pk}/"' in look(client, KNOWN).content.decode()


def test_a_withheld_car_is_not_named(client: Client, technician: User) -> None:
    vehicle = make_vehicle(vin=KNOWN, make="Nissan")
    vehicle.withheld_from.add(technician)
    text = words(look(client, KNOWN))
    assert "You can’t receive this car. Ask the coordinator to." in text
    assert "Nissan" not in text
    assert client.get(f"{ARRIVAL}{vehicle.pk}/").status_code == 404


def test_another_programs_car_is_unknown(client: Client, technician: User) -> None:
    make_vehicle(vin=KNOWN, program=make_program(name="Elsewhere"), make="Nissan")
    assert "Nissan" not in words(look(client, KNOWN))


def test_expected_cars_stand_below(client: Client, technician: User) -> None:
    make_vehicle(step="expected", make="Kia", model="Forte", year=2011)
    make_intake(vehicle=make_vehicle(step="expected", make="Ford", model="Fiesta"))
    text = words(client.get(NEW))
    assert "2011 Kia Forte It has arrived" in text
    assert "Fiesta" not in text


def test_the_page_takes_the_same_queries_for_one_and_three(
    client: Client, technician: User
) -> None:
    counts = []
    for _ in range(2):
        make_vehicle(step="expected")
        with CaptureQueriesContext(connection) as queries:
            client.get(NEW, {"vin": KNOWN})
        counts.append(len(queries))
        make_vehicle(step="expected")
    assert counts[0] == counts[1]


@pytest.mark.parametrize("role", [RoleKind.TREASURER, RoleKind.SPONSOR])
def test_others_than_the_shop_receive_no_car(client: Client, role: RoleKind) -> None:
    sign_in(client, role)
    assert [client.get(path).status_code for path in (NEW, ARRIVAL)] == [403, 403]


# ---- it is recorded ----


def test_a_new_car_is_here_on_the_lot(client: Client, technician: User) -> None:
    response = receive(client)
    stay = Intake.objects.get()
    assert response.url == f"/cars/{stay.pk}/"
    condition = Condition.objects.get(vehicle=stay.vehicle)
    assert (condition.step, condition.mobility) == ("on_lot", "dead")
    assert (stay.vehicle.vin, stay.vehicle.plate_state) == (VIN, "OH")
    assert (stay.odometer_mi, stay.fuel_eighths, stay.lamps) == (88_000, 3, ["oil", "engine"])
    assert (stay.sleeps_in, stay.vehicle.power_brakes) == (False, True)


def test_sending_it_twice_makes_one_stay(client: Client, technician: User) -> None:
    key = str(uuid4())
    answers = [receive(client, client_key=key).url for _ in range(2)]
    assert answers[0] == answers[1]
    assert (Intake.objects.count(), Vehicle.objects.count()) == (1, 1)


def test_an_expected_car_arrives_with_what_is_known_of_it(client: Client, technician: User) -> None:
    vehicle = make_vehicle(step="expected", tire_size="195/65R15")
    page = client.get(f"{ARRIVAL}{vehicle.pk}/")
    assert 'value="195/65R15"' in page.content.decode()
    receive(client, vehicle, vin_note="invented", arrived_by="driven")
    vehicle.refresh_from_db()
    assert (vehicle.condition.step, vehicle.intakes.count()) == ("on_lot", 1)


def test_a_known_car_is_shown_with_its_stays_before(client: Client, technician: User) -> None:
    stay = make_intake(odometer_mi=87_900, left_on=TODAY)
    text = words(client.get(f"{ARRIVAL}{stay.vehicle_id}/"))
    assert "Here from Monday, November 23: “It grinds when I brake.”, 87,900 miles" in text


@pytest.mark.parametrize(
    ("before", "again", "step"),
    [
        ("handed_back", "", "on_lot"),
        ("handed_back", "on", "assessment"),
        ("returned_unrepaired", "", "on_lot"),
        ("abandoned", "", "on_lot"),
        ("repair", "", "repair"),
    ],
)
def test_a_car_that_was_here_comes_from_where_it_went(
    client: Client, technician: User, before: str, again: str, step: str
) -> None:
    stay = make_intake(odometer_mi=87_900, left_on=TODAY)
    Condition.objects.filter(vehicle=stay.vehicle).update(step=before)
    receive(client, stay.vehicle, vin_note="invented", comeback=again)
    new = stay.vehicle.intakes.get(left_on=None)
    assert Condition.objects.get(vehicle=stay.vehicle).step == step
    assert (new.previous == stay) is bool(again)


def test_a_scrapped_car_does_not_arrive(client: Client, technician: User) -> None:
    vehicle = make_vehicle(step="scrapped")
    response = receive(client, vehicle, vin_note="invented")
    assert response.status_code == 422
    assert "A car can’t go from “Scrapped” to “On the lot”." in words(response)
    assert Intake.objects.count() == 0


def test_an_old_reading_is_asked_about_with_what_was_typed_kept(
    client: Client, technician: User
) -> None:
    stay = make_intake(odometer_mi=148_190, left_on=TODAY)
    response = receive(client, stay.vehicle, vin_note="invented")
    assert response.status_code == 422
    assert (
        "The odometer showed 148,190 on Monday, November 23, 2026; 88,000 is less."
        " Read it again, or say why." in words(response)
    )
    assert 'value="88,000"' in response.content.decode()


@pytest.mark.parametrize(
    ("answers", "sentence"),
    [
        ({"odometer_mi": "-5"}, "“-5” is not possible. Type a whole number from 0 to 999,999."),
        (
            {"odometer_mi": "1000000000"},
            "“1000000000” is not possible. Type a whole number from 0 to 999,999.",
        ),
        ({"odometer_mi": ""}, "The odometer is not read: say why."),
        ({"complaint": " "}, "What is wrong: an answer is missing."),
        ({"transmission": ""}, "Transmission: an answer is missing."),
        ({"arrived_on": "2026-12-01"}, "Tuesday, December 1, 2026, has not come yet."),
        ({"arrived_on": "2025-12-01"}, "Monday, December 1, 2025, is more than 90 days back."),
        ({"plate_state": "O1"}, "Type the two letters of the state, such as OH."),
        ({"year": "1949"}, "A model year lies between 1950 and 2040."),
        ({"vin": f"{VIN}1"}, "A VIN has 17 characters; this has 18."),
        ({"vin": ""}, "A car without a VIN needs a reason."),
        ({"lamps": ["disco"]}, "choose one of the answers offered."),
        ({"miles_per_week": "6000"}, "Type a whole number from 0 to 5,000."),
        ({"complaint": "x" * 2001}, "Type at most 2000 characters"),
    ],
)
def test_what_can_not_be_is_refused_in_a_sentence(
    client: Client, technician: User, answers: dict[str, Any], sentence: str
) -> None:
    response = receive(client, **answers)
    assert response.status_code == 422
    assert sentence in words(response)
    assert (Intake.objects.count(), Vehicle.objects.count()) == (0, 0)


def test_a_car_changed_meanwhile_is_looked_at_again(client: Client, technician: User) -> None:
    vehicle = make_vehicle(step="expected")
    response = receive(client, vehicle, vin_note="invented", version="7")
    assert response.status_code == 422
    assert "Somebody else changed this meanwhile." in words(response)


def test_a_vin_of_a_known_car_leads_to_that_car(client: Client, technician: User) -> None:
    vehicle = make_vehicle(vin=KNOWN, step="expected")
    assert leads(client, f"{ARRIVAL}?vin={KNOWN}") == f"{ARRIVAL}{vehicle.pk}/"
    stay = make_intake(vehicle=vehicle)
    assert leads(client, f"{ARRIVAL}{vehicle.pk}/") == f"/cars/{stay.pk}/"
    assert leads(client, f"{ARRIVAL}?vin={SWAPPED}") == f"{NEW}?vin={SWAPPED}"


def test_what_a_table_says_is_a_suggestion(client: Client, technician: User) -> None:
    pytest.importorskip("ultravin")
    html = client.get(ARRIVAL, {"vin": "1HGCM82633A004352"}).content.decode()
    assert 'value="Honda"' in html
    assert "Suggested from the VIN: compare it with the car." in html


def test_what_a_person_typed_is_never_filled_over(client: Client, technician: User) -> None:
    vehicle = make_vehicle(vin="1HGCM82633A004352", make="Acura", model="TSX", step="expected")
    html = client.get(f"{ARRIVAL}{vehicle.pk}/").content.decode()
    assert 'value="Acura"' in html
    assert 'value="Honda"' not in html
