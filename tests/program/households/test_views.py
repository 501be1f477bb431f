from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from django.urls import reverse

from program.households.models import Tie
from shared.accounts.roles import RoleKind
from tests.factories import make_case, make_user

if TYPE_CHECKING:
    from django.test import Client

    from program.households.models import Household

pytestmark = pytest.mark.django_db

CONTACT = {
    "channel": "phone",
    "says": "call_back",
    "phone": "555-0177",
    "language": "es",
    "asked_on": "2026-11-20",
    "version": "1",
}


def home() -> Household:
    found = make_case(number="26-041").household
    assert found
    return found


@pytest.fixture
def coordinator(client: Client) -> Client:
    client.force_login(make_user())
    return client


def test_safe_contact_is_set_on_its_page(coordinator: Client) -> None:
    household = home()
    url = reverse("households:safe_contact", args=[household.pk])
    assert "A message can get someone hurt." in coordinator.get(url).content.decode()
    response = coordinator.post(url, CONTACT)
    assert response.headers["Location"] == "/cases/26-041/"
    household.address.refresh_from_db()
    assert (household.address.says, household.address.phone) == ("call_back", "555-0177")


def test_what_is_missing_is_said_and_what_was_typed_stays(coordinator: Client) -> None:
    url = reverse("households:safe_contact", args=[home().pk])
    response = coordinator.post(url, CONTACT | {"channel": "email", "asked_on": ""})
    page = response.content.decode()
    assert response.status_code == 422
    assert "Asked on: an answer is missing." in page
    assert 'value="555-0177"' in page


def test_a_stage_is_moved_and_a_wrong_one_refused(coordinator: Client) -> None:
    household = home()
    url = reverse("households:move_stage", args=[household.pk])
    assert coordinator.post(url, {"to": "followed_up", "version": 1}).status_code == 422
    response = coordinator.post(url, {"to": "deciding", "version": 1})
    assert response.headers["Location"] == "/cases/26-041/"
    household.refresh_from_db()
    assert household.stage == "deciding"


def test_who_declares_a_tie_of_their_own_sees_the_household_no_more(client: Client) -> None:
    user, household = make_user(RoleKind.CASEWORKER), home()
    client.force_login(user)
    url = reverse("households:declare_tie", args=[household.pk])
    assert client.post(url, {"user": user.pk}).headers["Location"] == "/cases/"
    assert client.get(url).status_code == 404
    assert Tie.objects.get().user == user


def test_a_technician_changes_no_household(client: Client) -> None:
    client.force_login(make_user(RoleKind.TECHNICIAN))
    household = home()
    for name in ("safe_contact", "move_stage", "declare_tie"):
        assert client.get(reverse(f"households:{name}", args=[household.pk])).status_code == 403
