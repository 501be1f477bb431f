"""Case reports on their page: issued once, served as they stood, for those who may see the car."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest
from django.urls import reverse

from shared.accounts.roles import RoleKind
from shared.models import Document
from tests.factories import make_intake, make_program
from tests.vehicles.diagnosis.rows import make_diagnosis, see
from tests.vehicles.inspection.reports import text_of
from tests.vehicles.pages import sign_in, words
from vehicles.diagnosis.actions import begin_diagnosis
from vehicles.diagnosis.writing import next_number
from vehicles.models import KeptModel

if TYPE_CHECKING:
    from django.test import Client

    from vehicles.models import Diagnosis

pytestmark = pytest.mark.django_db


def page(row: Diagnosis) -> str:
    return reverse("diagnosis:case_report", args=[row.intake_id, row.pk])


def send(client: Client, row: Diagnosis, number: str = "") -> Any:
    return client.post(page(row), {"number": number or next_number(row)})


def test_the_page_of_a_diagnosis_leads_to_its_report(client: Client) -> None:
    sign_in(client)
    row = make_diagnosis()
    html = client.get(reverse("diagnosis:diagnosis_page", args=[row.intake_id, row.pk]))
    assert f'href="{page(row)}"' in html.content.decode()
    said = words(client.get(page(row)))
    assert "No case report was issued yet." in said
    assert "A licensed technician and local law decide." in said


def test_a_report_is_issued_kept_and_opened(client: Client) -> None:
    user = sign_in(client)
    row = make_diagnosis()
    see(row, "level", "low", note="a quart down")
    response = send(client, row)
    document = Document.objects.get()
    assert (document.number, document.by) == (f"D-{row.pk}-1", user)
    opened = client.get(response["Location"])
    assert (opened["Content-Type"], opened["Cache-Control"]) == ("application/pdf", "no-store")
    assert "1. Coolant level, cold Low. Note: A quart down." in text_of(opened.content)
    assert f"D-{row.pk}-1. Case report" in words(client.get(page(row)))


def test_an_issued_report_is_served_again_unchanged(client: Client) -> None:
    sign_in(client)
    row = make_diagnosis()
    address = send(client, row)["Location"]
    before = client.get(address).content
    see(row, "level", "low")
    assert client.get(address).content == before
    later = client.get(send(client, row)["Location"]).content
    assert "1. Coolant level, cold" in text_of(later)
    assert "1. Coolant level, cold" not in text_of(before)


def test_sent_twice_a_report_is_issued_once(client: Client) -> None:
    sign_in(client)
    row = make_diagnosis()
    number = next_number(row)
    assert send(client, row, number)["Location"] == send(client, row, number)["Location"]
    assert Document.objects.count() == 1


@pytest.mark.parametrize("number", ["", "D-0-7", "x\x00"])
def test_a_number_that_was_not_offered_is_refused_in_words(client: Client, number: str) -> None:
    sign_in(client)
    response = client.post(page(make_diagnosis()), {"number": number})
    assert response.status_code == 422
    assert "Another report of this diagnosis was issued meanwhile." in words(response)


def test_a_fault_model_that_cannot_be_read_gives_a_sentence_and_no_report(client: Client) -> None:
    sign_in(client)
    row = make_diagnosis()
    KeptModel.objects.filter(pk=row.model_id).update(text="nothing")
    assert send(client, row).status_code == 422
    assert Document.objects.count() == 0


def test_an_ended_stay_still_gives_its_report(client: Client) -> None:
    sign_in(client)
    row = make_diagnosis()
    row.intake.left_on = row.program.today()
    row.intake.save()
    assert send(client, row).status_code == 302


def test_a_car_of_another_program_or_one_withheld_is_not_found(client: Client) -> None:
    user = sign_in(client)
    tied = make_diagnosis()
    foreign = make_diagnosis(make_intake(program=make_program(name="Elsewhere")))
    file = send(client, tied)["Location"]
    tied.intake.vehicle.withheld_from.add(user)
    for row in (tied, foreign):
        assert client.get(page(row)).status_code == 404
        assert send(client, row).status_code == 404
    assert client.get(file).status_code == 404


def test_a_report_is_opened_only_below_its_own_diagnosis(client: Client) -> None:
    sign_in(client)
    row = make_diagnosis()
    other = begin_diagnosis(intake=make_intake(), complaint="hot", by=row.begun_by)
    number = send(client, row)["Location"].rstrip("/").rpartition("/")[2]
    args = [other.intake_id, other.pk, number]
    assert client.get(reverse("diagnosis:case_file", args=args)).status_code == 404


@pytest.mark.parametrize("role", [RoleKind.TREASURER, RoleKind.CASEWORKER])
def test_who_does_not_work_at_the_car_issues_none(client: Client, role: RoleKind) -> None:
    sign_in(client, role)
    assert client.get(page(make_diagnosis())).status_code == 403
