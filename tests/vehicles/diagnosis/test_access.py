"""Pages of a diagnosis whose text can't be read any more, after an upgrade."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from django.urls import reverse

from tests.vehicles.diagnosis.test_gathering_unreadable import spoiled
from tests.vehicles.pages import sign_in, words

if TYPE_CHECKING:
    from django.test import Client

pytestmark = pytest.mark.django_db
SAID = "was written for an earlier release and can’t be read any more"


@pytest.mark.parametrize("name", ["diagnosis_page", "overrule", "held", "check_page"])
def test_a_page_says_so_and_leads_on(client: Client, name: str) -> None:
    sign_in(client)
    row = spoiled()
    kwargs = {"pk": row.intake_id, "diagnosis": row.pk}
    if name == "check_page":
        kwargs |= {"check": "level"}  # type: ignore[dict-item]
    response = client.get(reverse(f"diagnosis:{name}", kwargs=kwargs))
    assert response.status_code == 200
    assert SAID in words(response)
    ending = reverse("diagnosis:end_diagnosis", args=[row.intake_id, row.pk])
    assert ending in response.content.decode()
    assert client.get(ending).status_code == 200


def test_what_is_sent_is_refused_with_the_same_sentence(client: Client) -> None:
    sign_in(client)
    row = spoiled()
    url = reverse("diagnosis:check_page", args=[row.intake_id, row.pk, "level"])
    response = client.post(url, {"outcome": "low"})
    assert response.status_code == 422
    assert SAID in words(response)
    assert not row.observations.exists()


def test_concluding_is_refused_with_the_same_sentence(client: Client) -> None:
    sign_in(client)
    row = spoiled()
    url = reverse("diagnosis:conclude", args=[row.intake_id, row.pk])
    response = client.post(url, {"fault": "hose"}, follow=True)
    assert SAID in words(response)
    assert not row.conclusions.exists()


def test_it_can_be_ended_and_a_list_still_shows_it(client: Client) -> None:
    sign_in(client)
    row = spoiled()
    url = reverse("diagnosis:end_diagnosis", args=[row.intake_id, row.pk])
    sent = {"how": "dropped", "because": "Text of an earlier release"}
    assert client.post(url, sent).status_code == 302
    listed = client.get(reverse("diagnosis:diagnosis_list", args=[row.intake_id]))
    assert "Runs hot" in words(listed)
