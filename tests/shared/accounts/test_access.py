from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from django.contrib.auth.models import AnonymousUser
from django.core.exceptions import PermissionDenied
from django.http import HttpRequest, HttpResponse
from django.test import RequestFactory
from django.utils import timezone, translation

from shared.accounts.access import ForTheReader, StaffRequest, client_address, public, requires
from shared.accounts.roles import RoleKind
from tests.factories import make_user

if TYPE_CHECKING:
    from pytest_django import Settings

    from shared.accounts.models import User


@requires(RoleKind.COORDINATOR, RoleKind.BOARD)
def books(request: StaffRequest) -> HttpResponse:
    return HttpResponse(f"{translation.get_language()} {timezone.get_current_timezone_name()}")


@requires(RoleKind.SPONSOR)
def gifts(request: StaffRequest) -> HttpResponse:
    return HttpResponse(translation.get_language())


@public
def door(request: HttpRequest) -> HttpResponse:
    return HttpResponse(translation.get_language())


def request_of(user: User | AnonymousUser) -> HttpRequest:
    request = RequestFactory().get("/books/?page=2")
    request.user = user
    return request


def test_a_view_tells_who_may_open_it() -> None:
    assert books.access == {RoleKind.COORDINATOR, RoleKind.BOARD}  # type: ignore[attr-defined]
    assert door.access == frozenset()  # type: ignore[attr-defined]


def test_a_stranger_is_sent_to_sign_in_and_back() -> None:
    response = books(request_of(AnonymousUser()))
    assert (response.status_code, response["Location"]) == (
        302,
        "/accounts/sign-in/?next=/books/%3Fpage%3D2",
    )


@pytest.mark.django_db
def test_a_user_without_the_role_is_refused() -> None:
    with pytest.raises(PermissionDenied):
        books(request_of(make_user(RoleKind.SPONSOR)))


@pytest.mark.django_db
def test_a_closed_account_is_a_stranger() -> None:
    assert books(request_of(make_user(is_active=False))).status_code == 302


@pytest.mark.django_db
def test_one_of_the_roles_is_enough() -> None:
    assert books(request_of(make_user(RoleKind.BOARD))).status_code == 200


def through_middleware(view: object, user: User) -> bytes:
    request = request_of(user)

    def handler(request: HttpRequest) -> HttpResponse:
        middleware.process_view(request, view)  # type: ignore[arg-type]
        return view(request)  # type: ignore[operator, no-any-return]

    middleware = ForTheReader(handler)
    with translation.override("es"):
        return middleware(request).content


@pytest.mark.django_db
def test_staff_read_english_by_the_clock_of_their_program() -> None:
    user = make_user(language="es")
    assert through_middleware(books, user) == b"en America/New_York"
    assert timezone.get_current_timezone_name() == "America/Chicago"


@pytest.mark.django_db
@pytest.mark.parametrize("language", ["en", "es"])
def test_a_sponsor_reads_the_language_of_the_account(language: str) -> None:
    user = make_user(RoleKind.SPONSOR, language=language)
    assert through_middleware(gifts, user) == language.encode()


@pytest.mark.django_db
def test_an_open_page_keeps_the_language_of_the_browser() -> None:
    assert through_middleware(door, make_user()) == b"es"


@pytest.mark.parametrize(
    ("peer", "forwarded", "address"),
    [
        ("203.0.113.9", "", "203.0.113.9"),
        ("203.0.113.9", "198.51.100.1", "203.0.113.9"),  # not our proxy: forged
        ("127.0.0.1", "198.51.100.1", "198.51.100.1"),
        ("127.0.0.1", "192.0.2.66, 198.51.100.1", "198.51.100.1"),  # the first entry is forged
        ("127.0.0.1", "", "127.0.0.1"),
    ],
)
def test_only_our_proxy_is_believed(
    peer: str, forwarded: str, address: str, settings: Settings
) -> None:
    settings.TRUSTED_PROXIES = ["127.0.0.1"]
    request = RequestFactory().get("/", REMOTE_ADDR=peer, HTTP_X_FORWARDED_FOR=forwarded)
    assert client_address(request) == address
