from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from django.test import Client
from django.urls import reverse

from tests.factories import make_user

if TYPE_CHECKING:
    from pytest_django import Settings

    from shared.accounts.models import User

pytestmark = pytest.mark.django_db

SIGN_IN = "/accounts/sign-in/"
PASSWORD = "the ledger hangs by the door"


@pytest.fixture
def imke(settings: Settings) -> User:
    # Argon2 takes its time on purpose; what is tried here is the page.
    settings.PASSWORD_HASHERS = ["django.contrib.auth.hashers.MD5PasswordHasher"]
    user = make_user(username="imke")
    user.set_password(PASSWORD)
    user.save()
    return user


def test_the_page_asks_for_name_and_password(client: Client) -> None:
    page = client.get(SIGN_IN)
    assert page.status_code == 200
    assert page.content.count(b"<h1>") == 1
    password = page.context["form"]["password"].as_widget()
    assert ('autocomplete="current-password"' in password, 'class="in"' in password) == (True, True)


def test_who_signs_in_reaches_the_page_that_was_asked_for(client: Client, imke: User) -> None:
    response = client.post(
        SIGN_IN, {"username": "imke", "password": PASSWORD, "next": "/mail/?state=held"}
    )
    assert (response.status_code, response["Location"]) == (302, "/mail/?state=held")
    assert client.session["_auth_user_id"] == str(imke.pk)


@pytest.mark.parametrize("elsewhere", ["https://elsewhere.example/", "//elsewhere.example/"])
def test_nobody_is_led_to_another_site(client: Client, imke: User, elsewhere: str) -> None:
    page = client.get(SIGN_IN, {"next": elsewhere})
    assert b"elsewhere" not in page.content


def test_a_wrong_password_is_refused_in_a_sentence(client: Client, imke: User) -> None:
    page = client.post(SIGN_IN, {"username": "imke", "password": "wrong"})
    assert page.status_code == 422
    assert "No account has this name and this password." in page.content.decode()
    assert "_auth_user_id" not in client.session


def test_the_fifth_failure_closes_the_door_for_this_address_alone(
    client: Client, imke: User
) -> None:
    wrong = {"username": "imke", "password": "wrong"}
    answers = [client.post(SIGN_IN, wrong).status_code for _ in range(5)]
    assert answers == [422, 422, 422, 422, 429]
    locked = client.post(SIGN_IN, {"username": "imke", "password": PASSWORD})
    assert locked.status_code == 429
    assert "Five sign-ins failed. Wait 15 minutes" in " ".join(locked.content.decode().split())
    other = client.post(
        SIGN_IN,
        {"username": "imke", "password": PASSWORD, "next": "/mail/"},
        REMOTE_ADDR="203.0.113.9",
    )
    assert other["Location"] == "/mail/"


def test_a_form_from_elsewhere_is_refused(imke: User) -> None:
    strict = Client(enforce_csrf_checks=True)
    answer = strict.post(SIGN_IN, {"username": "imke", "password": PASSWORD})
    assert answer.status_code == 403


def test_who_is_signed_in_is_sent_on(client: Client, imke: User) -> None:
    client.force_login(imke)
    assert client.get(SIGN_IN, {"next": "/jobs/"})["Location"] == "/jobs/"


def test_signing_out_is_a_post(client: Client, imke: User) -> None:
    client.force_login(imke)
    assert client.get(reverse("accounts:sign_out")).status_code == 405
    answer = client.post(reverse("accounts:sign_out"))
    assert (answer["Location"], "_auth_user_id" in client.session) == (SIGN_IN, False)
