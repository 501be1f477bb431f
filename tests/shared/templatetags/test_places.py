"""The navigation shows what exists and may be opened, and says where the reader is."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from django.http import HttpResponse
from django.template import Context, Template
from django.urls import include, path, resolve

from shared.accounts.roles import RoleKind
from shared.templatetags.places import roles_in_words
from tests.factories.shared import make_user
from tests.shared.pages import tidy

if TYPE_CHECKING:
    from django.test import RequestFactory

    from shared.accounts.models import User

pytestmark = [pytest.mark.django_db, pytest.mark.urls(__name__)]


def room(name: str, *pages: str) -> object:
    views = [path(f"{page}/", lambda _: HttpResponse(), name=page) for page in pages]
    return path(f"{name}/", include((views, name)))


urlpatterns = [
    room("desk", "first_page"),
    room("planning", "week"),
    room("intake", "vehicle_list", "vehicle_detail"),
    path(
        "portal/",
        include(
            (
                [path("<str:token>/needs/", lambda *_, **__: HttpResponse(), name="need_list")],
                "portal",
            )
        ),
    ),
]


def nav(rf: RequestFactory, user: User | None, at: str, tag: str = "{% places %}") -> str:
    request = rf.get(at)
    request.resolver_match = resolve(at)
    if user is not None:
        request.user = user
    return tidy(Template("{% load places %}" + tag).render(Context({"request": request})))


def test_a_technician_sees_the_desk_and_the_cars(rf: RequestFactory) -> None:
    html = nav(rf, make_user(RoleKind.TECHNICIAN), "/desk/first_page/")
    assert '<a href="/desk/first_page/" aria-current="page">Desk</a>' in html
    assert '<a href="/intake/vehicle_list/">Cars</a>' in html
    assert html.count("<a ") == 2


def test_a_place_without_a_page_is_not_shown(rf: RequestFactory) -> None:
    html = nav(rf, make_user(RoleKind.COORDINATOR), "/desk/first_page/")
    assert [label for label in ("Desk", "Week", "Cars", "Money") if f">{label}<" in html] == [
        "Desk",
        "Week",
        "Cars",
    ]


def test_a_page_inside_a_place_marks_it(rf: RequestFactory) -> None:
    html = nav(rf, make_user(RoleKind.TECHNICIAN), "/intake/vehicle_detail/")
    assert '<a href="/intake/vehicle_list/" aria-current="true">Cars</a>' in html


def test_a_stranger_sees_no_places(rf: RequestFactory) -> None:
    assert nav(rf, None, "/desk/first_page/") == ""


def test_a_private_link_carries_its_token_through_the_portal(rf: RequestFactory) -> None:
    html = nav(rf, None, "/portal/abc/needs/", "{% places 'portal' 'abc' %}")
    assert '<a href="/portal/abc/needs/" aria-current="page">Open needs</a>' in html


def test_a_page_without_a_request_has_no_places() -> None:
    assert Template("{% load places %}{% places %}").render(Context()).strip() == ""


def test_roles_are_said_in_words() -> None:
    assert roles_in_words(make_user(RoleKind.LEAD_TECHNICIAN)) == "lead technician"
