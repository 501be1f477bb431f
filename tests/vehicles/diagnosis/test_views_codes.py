"""Trouble codes on the pages of a diagnosis."""

from __future__ import annotations

from http import HTTPStatus
from typing import TYPE_CHECKING

import pytest
from django.urls import reverse

from tests.factories import make_intake, make_scan
from tests.vehicles.diagnosis.rows import make_diagnosis, see
from tests.vehicles.diagnosis.test_storing import CODED
from tests.vehicles.pages import sign_in, words
from vehicles.diagnosis.actions import end_diagnosis
from vehicles.diagnosis.kinds import Ended
from vehicles.models import CodeScan

if TYPE_CHECKING:
    from django.test import Client

    from vehicles.models import Diagnosis, Intake

pytestmark = pytest.mark.django_db


def page(row: Diagnosis, name: str = "diagnosis_page") -> str:
    return reverse(f"diagnosis:{name}", args=[row.intake_id, row.pk])


def coded(stay: Intake, codes: str) -> Diagnosis:
    make_scan(stay, codes)
    return make_diagnosis(stay, text=CODED)


def test_what_the_codes_say_is_offered_and_taken_over(client: Client) -> None:
    sign_in(client)
    row = coded(make_intake(), "P0217")
    text = words(client.get(page(row)))
    assert "P0217: “Gets hot” at “Twenty minutes on the road”." in text
    sent = {"scan": CodeScan.objects.get(intake=row.intake).pk, "checks": ["road"]}
    for _ in range(2):
        answer = client.post(page(row, "take_codes"), sent, follow=True)
        assert answer.redirect_chain == [(page(row), HTTPStatus.FOUND)]
    assert "Recorded already: “Gets hot”" in words(answer)
    assert "Trouble codes, taken over by" in words(answer)
    assert row.observations.count() == 1


def test_what_is_refused_stands_in_the_form(client: Client) -> None:
    sign_in(client)
    row = coded(make_intake(), "P0217")
    answer = client.post(
        page(row, "take_codes"), {"scan": CodeScan.objects.get(intake=row.intake).pk}
    )
    assert answer.status_code == HTTPStatus.UNPROCESSABLE_ENTITY
    assert "Tick what is taken over." in words(answer)


def test_a_check_that_a_technician_recorded_is_said_and_not_offered(client: Client) -> None:
    sign_in(client)
    row = coded(make_intake(), "P0128")
    see(row, "level", "normal")
    text = words(client.get(page(row)))
    assert "P0128: “Low” at “Coolant level, cold”. Recorded already: “At its mark”" in text
    assert "Take these over" not in text


def test_without_codes_the_page_leads_to_where_they_are_read(client: Client) -> None:
    sign_in(client)
    row = make_diagnosis()
    answer = client.get(page(row))
    assert "No codes were read on this stay." in words(answer)
    assert reverse("codes:code_list", args=[row.intake_id]) in answer.content.decode()
    assert client.post(page(row, "take_codes"), {}).status_code == HTTPStatus.FOUND


def test_codes_that_say_nothing_of_this_complaint_say_so(client: Client) -> None:
    sign_in(client)
    text = words(client.get(page(coded(make_intake(), "C0035"))))
    assert "No code speaks to a check of this complaint." in text


def test_a_diagnosis_that_has_ended_takes_nothing_over(client: Client) -> None:
    sign_in(client)
    row = coded(make_intake(), "P0217")
    end_diagnosis(diagnosis=row, how=Ended.DROPPED, because="Sold", by=row.begun_by)
    assert "Take these over" not in words(client.get(page(row)))


def test_complaints_that_stored_codes_speak_to_come_with_the_reason(client: Client) -> None:
    sign_in(client)
    stay = make_intake(complaint="It grinds when I brake.")
    url = reverse("diagnosis:diagnosis_list", args=[stay.pk])
    before = words(client.get(url))
    make_scan(stay, "P0420")
    after = words(client.get(url))
    title = "Check-engine lamp: catalyst and oxygen sensors"
    assert before.index(title) > before.index("All complaints")
    assert f"{title} P0420 speaks to it." in after
    assert after.index(title) < after.index("All complaints")
