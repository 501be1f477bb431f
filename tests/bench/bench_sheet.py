"""How long the sheet takes and how long a reading, with 50,000 vehicles in the database.

Run by hand from the top folder: `python -m pytest tests/bench/bench_sheet.py -s -m bench -q`.
It prints figures, and asserts only that a reading is recorded and that the number of queries is
the same with one vehicle and with 50,000.
"""

from __future__ import annotations

import statistics
from time import perf_counter
from typing import TYPE_CHECKING

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from tests.factories import TODAY, make_intake, make_program, make_vin
from tests.vehicles.pages import sign_in
from vehicles.inspection.catalogue import load
from vehicles.models import Intake, Reading, Vehicle

if TYPE_CHECKING:
    from django.test import Client

pytestmark = [pytest.mark.bench, pytest.mark.django_db]
VEHICLES = 50_000
READ_EACH = 10  # readings of each of the vehicles here before
TREADS = ("LF", "RF", "LR", "RR")


def fill(count: int) -> None:
    """Write vehicles with one ended stay each and half a million readings between them."""
    program = make_program()
    cars = Vehicle.objects.bulk_create(
        [
            Vehicle(program=program, vin=make_vin(), year=2010, make="Ford", model="Focus")
            for _ in range(count)
        ],
        batch_size=2_000,
    )
    stays = Intake.objects.bulk_create(
        [
            Intake(
                program=program, vehicle=car, arrived_on=TODAY, left_on=TODAY, complaint="It pulls."
            )
            for car in cars
        ],
        batch_size=2_000,
    )
    codes = [one.code for one in load().criteria.values() if not one.positions][:READ_EACH]
    for at in range(0, count, 2_500):
        Reading.objects.bulk_create(
            [
                Reading(
                    program=program,
                    intake=stay,
                    criterion=code,
                    typed="good",
                    system="brakes",
                    deficiency="none",
                    sentence="Good.",
                    catalogue_version="bench",
                    read_on=TODAY,
                    read_by="R. Amadi",
                )
                for stay in stays[at : at + 2_500]
                for code in codes
            ],
            batch_size=2_000,
        )


def post(client: Client, stay: Intake, position: str, *, script: bool) -> float:
    place = reverse("inspection:reading_page", args=[stay.pk, "tire-tread", position])
    accept = "application/json" if script else "text/html"
    start = perf_counter()
    answer = client.post(place, {"value": "5", "unit": "32nds"}, headers={"accept": accept})
    took = perf_counter() - start
    assert answer.status_code == (200 if script else 302)
    return took


def queries(client: Client, stay: Intake) -> tuple[int, int]:
    """Return how many queries the sheet takes, and one reading."""
    with CaptureQueriesContext(
        connection,
    ) as page:
        client.get(reverse("inspection:sheet", args=[stay.pk]))
    with CaptureQueriesContext(connection) as reading:
        post(client, stay, "LF", script=True)
    return len(page), len(reading)


def test_a_reading_and_the_sheet_beside_50_000_vehicles(client: Client) -> None:
    sign_in(client)
    alone = queries(client, make_intake())
    start = perf_counter()
    fill(VEHICLES)
    filled = perf_counter() - start
    crowded = queries(client, make_intake())
    for script in (True, False):
        took = [
            post(client, stay, position, script=script)
            for stay in [make_intake() for _ in range(12)]
            for position in TREADS
        ]
        print(  # noqa: T201  # the figures are what a bench is for
            f"\nreading by {'script' if script else 'page'}: "
            f"median {statistics.median(took) * 1000:.0f} ms, "
            f"worst {max(took) * 1000:.0f} ms of {len(took)}"
        )
    stay = make_intake()
    pages = []
    for _ in range(10):
        start = perf_counter()
        size = len(client.get(reverse("inspection:sheet", args=[stay.pk])).content)
        pages.append(perf_counter() - start)
    print(  # noqa: T201  # the figures are what a bench is for
        f"sheet: median {statistics.median(pages) * 1000:.0f} ms, {size / 1000:.0f} kB, "
        f"{crowded[0]} queries; a reading {crowded[1]}; filled in {filled:.0f} s"
    )
    assert alone == crowded
    assert Vehicle.objects.count() > VEHICLES
