"""The page of all pieces opens to staff and shows each of them."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import pytest
from django.urls import reverse

from shared.accounts.roles import RoleKind
from tests.factories.shared import make_user

if TYPE_CHECKING:
    from django.test import Client

pytestmark = pytest.mark.django_db


def test_staff_see_every_piece(client: Client) -> None:
    client.force_login(make_user(RoleKind.TECHNICIAN), "django.contrib.auth.backends.ModelBackend")
    html = client.get(reverse("looks:piece_list")).content.decode()
    for piece in (
        "slips",
        "steps",
        "log",
        "stop",
        "note",
        "empty",
        "why",
        "gate",
        "pic wide",
        "t ph",
    ):
        assert f'class="{piece}' in html
    assert re.search(r"\sstyle=|<style|\son\w+=", html) is None


def test_strangers_sign_in_first_and_sponsors_have_no_business_here(client: Client) -> None:
    address = reverse("looks:piece_list")
    assert client.get(address).status_code == 302
    client.force_login(make_user(RoleKind.SPONSOR), "django.contrib.auth.backends.ModelBackend")
    assert client.get(address).status_code == 403


def test_an_empty_form_is_refused_with_what_is_missing(client: Client) -> None:
    client.force_login(make_user(), "django.contrib.auth.backends.ModelBackend")
    response = client.post(reverse("looks:piece_list"), {})
    assert response.status_code == 422
    assert "Six things to put right" in response.content.decode()
