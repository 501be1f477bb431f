"""What the printed intake sheet says of a stay, and what it leaves out."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from django.db import connection
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from tests.factories import make_content, make_intake, make_key_tag, make_user
from tests.vehicles.pages import sign_in
from vehicles.custody.gathering import sheet_of_stay
from vehicles.models import Intake, WalkRoundMark

if TYPE_CHECKING:
    from django.test import Client

pytestmark = pytest.mark.django_db
URL = "https://desk.example.org/s/1/"


def test_the_sheet_gathers_what_was_told_seen_and_signed() -> None:
    stay = make_intake(lamps=["oil"], fuel_eighths=3, arrived_by="towed", sleeps_in=True)
    make_key_tag(stay)
    make_content(stay)
    sheet = sheet_of_stay(stay, URL)
    assert sheet.lead == "Came Monday, November 23, 2026, towed."
    assert sheet.stops[0].startswith("Do not drive. Warning lamp lit: Oil pressure.")
    told, custody = dict(sheet.told), dict(sheet.custody)
    assert (told["Odometer"], told["Fuel"]) == ("148,190 miles", "3 of 8")
    assert (told["Warning lamps lit"], told["Somebody sleeps in it"]) == (
        "Oil pressure (red)",
        "yes",
    )
    assert custody["Diagnose"] == "signed by Dana Haskell"
    assert custody["Keys"].startswith("2 under tag")
    assert custody["In the car"] != ""


def test_what_is_not_recorded_is_blank_to_write_in() -> None:
    sheet = sheet_of_stay(make_intake(consents=(), odometer_mi=None), URL)
    told, custody = dict(sheet.told), dict(sheet.custody)
    assert (told["Odometer"], told["Fuel"]) == ("not read", "not read")
    assert (custody["Keys"], custody["In the car"], custody["Given back"]) == ("", "", "")
    assert custody["Diagnose"].startswith("no owner has consented")


def test_the_page_is_a_pdf_that_no_cache_keeps(client: Client) -> None:
    sign_in(client)
    stay = make_intake()
    response = client.get(reverse("intake:intake_sheet", args=[stay.pk]))
    assert response["Content-Type"] == "application/pdf"
    assert (response["Cache-Control"], response.content[:5]) == ("no-store", b"%PDF-")


def test_the_empty_form_has_another_number_each_time(client: Client) -> None:
    sign_in(client)
    names = {client.get("/cars/paper/")["Content-Disposition"] for _ in range(2)}
    assert len(names) == 2


def test_marks_add_no_query_to_the_sheet() -> None:
    stay = make_intake()
    counts = []
    for number in range(3):
        WalkRoundMark.objects.create(
            program=stay.program,
            intake=stay,
            client_key=f"00000000-0000-4000-8000-{number:012}",
            kind="dent",
            x=450,
            y=590,
            area="left front door",
            by=make_user(),
        )
        with CaptureQueriesContext(connection) as queries:
            sheet_of_stay(Intake.objects.get(pk=stay.pk), URL)
        counts.append(len(queries))
    assert len(set(counts)) == 1
