"""Issuing reports on their page: once, as they stood, for those who may see the car."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest
from django.urls import reverse

from shared.accounts.roles import RoleKind
from shared.models import Document, Event
from tests.factories import make_finding, make_intake, make_program
from tests.vehicles.inspection.reports import text_of
from tests.vehicles.pages import sign_in, words
from vehicles.inspection.values import Issue
from vehicles.inspection.writing import next_number

if TYPE_CHECKING:
    from django.test import Client

    from vehicles.models import Intake

pytestmark = pytest.mark.django_db


def page(stay: Intake) -> str:
    return reverse("inspection:report", args=[stay.pk])


def send(client: Client, stay: Intake, paper: str, number: str = "") -> Any:
    number = number or next_number(stay)
    return client.post(page(stay), {"paper": paper, "number": number})


def test_the_page_offers_both_papers_and_says_that_none_was_issued(client: Client) -> None:
    sign_in(client)
    said = words(client.get(page(make_intake())))
    for text in ("In English", "In Spanish", "For the file", "No report was issued yet."):
        assert text in said
    assert "Local inspection law and a licensed technician decide." in said


@pytest.mark.parametrize(
    ("paper", "first"),
    [
        ("en", "This car has not been inspected yet."),
        ("es", "Este auto todavía no se ha revisado."),
        ("file", "Not read: "),
    ],
)
def test_a_paper_is_issued_kept_and_opened(client: Client, paper: str, first: str) -> None:
    user = sign_in(client)
    stay = make_intake()
    response = send(client, stay, paper)
    document = Document.objects.get()
    assert (document.number, document.by) == (f"R-{stay.pk}-1", user)
    assert (document.holder_kind, document.holder_id) == ("intake", stay.pk)
    opened = client.get(response["Location"])
    assert (opened["Content-Type"], opened["Cache-Control"]) == ("application/pdf", "no-store")
    assert first in text_of(opened.content)
    assert Issue(paper).label in words(client.get(page(stay)))
    assert Event.objects.filter(what="An inspection report was issued.", by=user).count() == 1


def test_an_issued_paper_stays_as_it_was(client: Client) -> None:
    sign_in(client)
    stay = make_intake()
    address = send(client, stay, "en")["Location"]
    before = client.get(address).content
    make_finding(intake=stay)
    assert client.get(address).content == before
    later = client.get(send(client, stay, "en")["Location"]).content
    assert "Do not drive this car." in text_of(later)


def test_sent_twice_a_paper_is_issued_once(client: Client) -> None:
    sign_in(client)
    stay = make_intake()
    number = next_number(stay)
    first, again = send(client, stay, "es", number), send(client, stay, "es", number)
    assert first["Location"] == again["Location"]
    assert Document.objects.count() == 1


def test_a_number_that_somebody_else_took_is_refused_in_words(client: Client) -> None:
    sign_in(client)
    stay = make_intake()
    number = next_number(stay)
    send(client, stay, "file", number)
    response = send(client, stay, "en", number)
    assert response.status_code == 422
    assert "Another report of this stay was issued meanwhile." in words(response)
    assert Document.objects.count() == 1
    assert send(client, stay, "en", "R-\0").status_code == 422


@pytest.mark.parametrize("paper", ["", "fr", "EN", "file\x00"])
def test_a_paper_that_there_is_not_is_refused(client: Client, paper: str) -> None:
    sign_in(client)
    response = send(client, make_intake(), paper)
    assert response.status_code == 422
    assert "Choose one of the papers below." in words(response)


def test_an_ended_stay_still_gives_its_paper(client: Client) -> None:
    sign_in(client)
    stay = make_intake()
    stay.left_on = stay.program.today()
    stay.save()
    assert send(client, stay, "en").status_code == 302


def test_a_car_of_another_program_or_one_withheld_is_not_found(client: Client) -> None:
    user = sign_in(client)
    tied, foreign = make_intake(), make_intake(program=make_program(name="Elsewhere"))
    send(client, tied, "en")
    number = Document.objects.get().number
    tied.vehicle.withheld_from.add(user)
    for stay in (tied, foreign):
        assert client.get(page(stay)).status_code == 404
        assert client.post(page(stay), {"paper": "en", "number": number}).status_code == 404
    file = reverse("inspection:report_file", args=[tied.pk, number])
    assert client.get(file).status_code == 404


def test_a_report_is_opened_only_below_its_own_stay(client: Client) -> None:
    sign_in(client)
    stay, other = make_intake(), make_intake()
    send(client, stay, "en")
    number = Document.objects.get().number
    file = reverse("inspection:report_file", args=[other.pk, number])
    assert client.get(file).status_code == 404


def test_the_office_issues_too_without_links_into_the_shop(client: Client) -> None:
    sign_in(client, RoleKind.TREASURER)
    stay = make_intake()
    assert send(client, stay, "file").status_code == 302
    html = client.get(page(stay)).content.decode()
    assert reverse("inspection:sheet", args=[stay.pk]) not in html


def test_a_caseworker_does_not(client: Client) -> None:
    sign_in(client, RoleKind.CASEWORKER)
    assert client.get(page(make_intake())).status_code == 403
