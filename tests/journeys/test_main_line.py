"""The main line without a browser, and the way of one tread reading through the house.

The limit of 2/32 in is 49 CFR 570.9(a); the class is Directive 2014/45/EU, Annex I, 5.2.3 (e), as
`fixtures/catalogue/reasons.csv` carries it.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from django.apps import apps
from django.core.files.uploadedfile import SimpleUploadedFile
from django.db.models import CharField
from django.urls import reverse

from program.importing.states import ImportState
from program.models import Case, Commitment, ImportRun, Plan
from program.planning.queries import outcome_of
from program.status.actions import give_page
from shared.dates import long_date
from shared.links.queries import link_url
from shared.models import Message, User
from shared.outbox.contact import MessageKind
from sponsors.models import Reservation
from tests.journeys import town
from tests.vehicles.pages import BACKEND, words
from vehicles.models import Finding, Intake, Need, Reading, RepairItem

if TYPE_CHECKING:
    from pathlib import Path

    from django.test import Client

    from shared.models import Program

pytestmark = pytest.mark.django_db
READ_ON_PAPER, READ_ON_THE_PHONE = "26-041", "26-044"


@pytest.fixture
def program(tmp_path: Path) -> Program:
    return town.load(tmp_path / "sheets")


def as_user(client: Client, username: str) -> Client:
    client.force_login(User.objects.get(username=username), BACKEND)
    return client


def status_page(client: Client, number: str) -> str:
    """Return the address of a household's page, without the site."""
    link = link_url(give_page(case=Case.objects.get(number=number), by=None))
    client.logout()
    return "/" + link.split("/", 3)[3]


def stay_of(number: str) -> Intake:
    return Intake.objects.get(vehicle=Case.objects.get(number=number).vehicle, left_on=None)


def approve(client: Client) -> Plan:
    plan = Plan.objects.get()
    as_user(client, "imke").post(reverse("planning:plan_approve", args=[plan.number]))
    town.work()
    plan.refresh_from_db()
    assert plan.state == "approved"
    return plan


def test_one_tread_reading_leads_from_the_sheet_to_the_plan_to_the_status_page(
    client: Client, program: Program
) -> None:
    reading = Reading.objects.get(
        intake=stay_of(READ_ON_PAPER), criterion="tire-tread", position="LF"
    )
    assert (reading.typed, reading.deficiency) == ("1/32", "dangerous")
    item = RepairItem.objects.get(findings__reading=reading)
    assert (item.title, item.tier) == ("Four tires", 0)
    outcome = outcome_of(Plan.objects.get())
    planned = outcome.plan.case(READ_ON_PAPER)
    assert planned is not None
    assert str(item.pk) in planned.item_ids
    page = status_page(client, READ_ON_PAPER)
    before = words(client.get(page))
    assert "Your car is not safe to drive now." in before
    assert "having it back by" not in before
    approve(client)
    client.logout()
    home = next(row for row in outcome.homes if row.case_id == READ_ON_PAPER)
    assert f"You can count on having it back by {long_date(home.by_on)}." in words(client.get(page))


def test_everybody_does_their_part_of_the_week(
    client: Client, program: Program, tmp_path: Path
) -> None:
    the_same_sheets_change_nothing(client, tmp_path / "sheets")
    an_approved_plan_sets_money_aside_and_writes_to_the_households(client)
    a_reading_is_judged_at_once(client)
    a_pledge_fills_the_need_that_stands_first(client)
    a_question_reaches_the_desk(client)
    every_text_fits_its_column()


def the_same_sheets_change_nothing(client: Client, folder: Path) -> None:
    sheets = SimpleUploadedFile("sheets.zip", town.packed(folder))
    sent = as_user(client, "imke").post(reverse("importing:run_list"), {"sheets": sheets})
    town.work()
    run = ImportRun.objects.latest("pk")
    assert (run.name, run.state) == ("sheets.zip", ImportState.DONE)
    assert sum(count["new"] for count in run.counts.values()) == 0
    assert sum(count["known"] for count in run.counts.values()) == 2_244
    assert "othing" in words(client.get(sent.headers["Location"]))


def an_approved_plan_sets_money_aside_and_writes_to_the_households(client: Client) -> None:
    week = words(as_user(client, "imke").get(reverse("planning:week")))
    assert "Eight cars go home" in week
    plan = approve(client)
    asked = sum(case.cash_cents for case in outcome_of(plan).plan.cases)
    assert sum(row.cents for row in Commitment.objects.all()) == asked > 0
    mail = Message.objects.filter(kind=MessageKind.STATUS)
    for home in outcome_of(plan).homes:
        case = Case.objects.get(number=home.case_id)
        said = mail.get(key__startswith=f"status:{case.pk}:")
        assert said.subject in {"News about your car", "Noticias de su auto"}
        assert long_date(home.by_on) in said.text or said.address.language == "es"


def a_reading_is_judged_at_once(client: Client) -> None:
    stay = stay_of(READ_ON_THE_PHONE)
    seen = Reading.objects.current().get(intake=stay, criterion="tire-tread", position="LF")
    assert seen.deficiency != "dangerous"
    address = reverse("inspection:reading_page", args=[stay.pk, "tire-tread", "LF"])
    typed = {"value": "1", "unit": "32nds", "seen_id": seen.pk}
    said = words(as_user(client, "rosalind").post(address, typed, follow=True))
    judged = "Tread depth, front left. 1/32 in of tread, the limit is 2/32 in. Do not drive: "
    assert judged in said
    finding = Finding.objects.open().get(intake=stay, reading__position="LF")
    assert finding.deficiency == "dangerous"


def a_pledge_fills_the_need_that_stands_first(client: Client) -> None:
    wish = as_user(client, "benno").get(reverse("portal:need_list")).context["first"]
    address = reverse("portal:pledge_add", args=[wish.need.id])
    until = client.get(address).context["form"].initial["expires_on"]
    said = client.post(address, {"quantity": "1", "expires_on": until.isoformat()}, follow=True)
    assert f"Thank you. Pledged: 1 × {wish.need.title}" in words(said)
    town.work()
    need = Need.objects.get(pk=wish.need.id)
    assert Reservation.objects.filter(need=need).exists()


def a_question_reaches_the_desk(client: Client) -> None:
    page = status_page(client, READ_ON_PAPER)
    client.post(page, {"text": "May I fetch it after 17:00?"})
    assert "We will answer it." in words(client.get(page))
    desk = words(as_user(client, "imke").get(reverse("desk:first_page")))
    assert "May I fetch it after 17:00?" in desk


def every_text_fits_its_column() -> None:
    """PostgreSQL refuses what is longer than its column; SQLite keeps it and says nothing."""
    for model in apps.get_models():
        for field in model._meta.concrete_fields:
            if isinstance(field, CharField) and field.max_length:
                texts = model._default_manager.values_list(field.name, flat=True)
                longest = max((len(str(text)) for text in texts if text), default=0)
                assert longest <= field.max_length, (model, field.name, longest)
