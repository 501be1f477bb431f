from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from django.contrib.auth.models import AnonymousUser
from django.core.exceptions import PermissionDenied
from django.http import Http404, HttpRequest, HttpResponse
from django.utils import timezone, translation

from shared.accounts.roles import RoleKind
from sponsors.portal.access import Visit, sponsor_page
from tests.factories.shared import make_address, make_user
from tests.factories.sponsors import make_contact, make_sponsor
from tests.sponsors.looking import token_of

if TYPE_CHECKING:
    from django.test import RequestFactory

    from shared.accounts.models import User

pytestmark = pytest.mark.django_db


@sponsor_page
def shown(request: HttpRequest, visit: Visit) -> HttpResponse:
    """Show who is served, in which language and by which clock."""
    zone = timezone.get_current_timezone_name()
    return HttpResponse(f"{visit.sponsor.name}|{translation.get_language()}|{zone}|{visit.by}")


def asked(rf: RequestFactory, user: User | AnonymousUser) -> HttpRequest:
    request = rf.get("/give/")
    request.user = user
    return request


def test_a_private_link_opens_the_page_in_the_sponsor_s_language_and_zone(
    rf: RequestFactory,
) -> None:
    sponsor = make_sponsor(name="Larkspur", address=make_address(language="es"))
    answer = shown(asked(rf, AnonymousUser()), token=token_of(sponsor))
    assert answer.content.decode() == "Larkspur|es|America/New_York|None"
    assert answer["Cache-Control"] == "no-store"


def test_a_contact_sees_the_page_of_their_own_sponsor(rf: RequestFactory) -> None:
    contact = make_contact(sponsor=make_sponsor(name="Larkspur"))
    make_sponsor()
    answer = shown(asked(rf, contact.user))
    assert answer.content.decode() == f"Larkspur|en|America/New_York|{contact.user}"


def test_a_stranger_without_a_link_is_asked_to_sign_in(rf: RequestFactory) -> None:
    assert shown(asked(rf, AnonymousUser())).status_code == 302


@pytest.mark.parametrize("role", sorted(set(RoleKind) - {RoleKind.SPONSOR}))
def test_who_is_no_sponsor_is_refused(rf: RequestFactory, role: RoleKind) -> None:
    with pytest.raises(PermissionDenied):
        shown(asked(rf, make_user(role)))


def test_a_sponsor_s_user_without_a_sponsor_finds_nothing(rf: RequestFactory) -> None:
    with pytest.raises(Http404):
        shown(asked(rf, make_user(RoleKind.SPONSOR)))


def test_a_token_that_opens_nothing_is_not_found(rf: RequestFactory) -> None:
    with pytest.raises(Http404):
        shown(asked(rf, make_contact().user), token="nonsense")
