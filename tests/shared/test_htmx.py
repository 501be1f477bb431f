"""One address answers with a page, or for htmx with its part."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from django.http import HttpRequest, HttpResponse
from django_htmx.middleware import HtmxMiddleware

from shared import htmx
from shared.looks import samples

if TYPE_CHECKING:
    from django.test import RequestFactory

TEMPLATE = "looks/piece_list.html"
HTMX = {"HX-Request": "true"}


def asked(rf: RequestFactory, headers: dict[str, str]) -> HttpRequest:
    """Return a request as it reaches a view."""
    request = rf.get("/looks/", headers=headers)
    HtmxMiddleware(lambda _: HttpResponse())(request)
    return request


@pytest.mark.parametrize(
    ("headers", "wanted"),
    [
        ({}, False),
        (HTMX, True),
        (HTMX | {"HX-Boosted": "true"}, False),
        (HTMX | {"HX-History-Restore-Request": "true"}, False),
    ],
)
def test_only_htmx_itself_gets_a_part(
    rf: RequestFactory, headers: dict[str, str], *, wanted: bool
) -> None:
    assert htmx.wants_part(asked(rf, headers)) == wanted


def test_a_request_that_no_middleware_saw_wants_the_page(rf: RequestFactory) -> None:
    assert not htmx.wants_part(rf.get("/looks/"))


def test_the_part_is_the_element_it_fills_and_caches_keep_both_apart(rf: RequestFactory) -> None:
    request = asked(rf, HTMX)
    response = htmx.answer(request, TEMPLATE, samples.table(request), part="rows")
    assert response.content.decode().strip().startswith('<div id="rows"')
    assert response.headers["Vary"] == "HX-Request"


def test_a_refusal_is_422(rf: RequestFactory) -> None:
    request = asked(rf, HTMX)
    assert htmx.refused(request, TEMPLATE, samples.table(request), part="rows").status_code == 422


def test_after_a_change_the_browser_or_htmx_goes_on(rf: RequestFactory) -> None:
    plain = htmx.go(asked(rf, {}), "/desk/")
    by_htmx = htmx.go(asked(rf, HTMX), "/desk/")
    assert (plain.status_code, plain.headers["Location"]) == (302, "/desk/")
    assert (by_htmx.status_code, by_htmx.headers["HX-Redirect"]) == (200, "/desk/")
