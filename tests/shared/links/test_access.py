from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from django.core.cache import cache
from django.http import Http404, HttpRequest, HttpResponse
from django.test import RequestFactory
from django.utils import timezone

from shared.links.access import MOST_MISSES, link_or_404, private_link
from shared.links.purposes import LinkPurpose
from shared.links.queries import link_token
from tests.factories import make_link

if TYPE_CHECKING:
    from collections.abc import Iterator

    from shared.links.models import AccessLink

pytestmark = pytest.mark.django_db


@pytest.fixture(autouse=True)
def _no_misses_yet() -> Iterator[None]:
    cache.clear()
    yield
    cache.clear()


@private_link(LinkPurpose.STATUS)
def page(request: HttpRequest, link: AccessLink) -> HttpResponse:
    return HttpResponse(f"{link.pk} by {timezone.get_current_timezone_name()}")


def request_from(address: str = "203.0.113.9") -> HttpRequest:
    return RequestFactory().get("/", REMOTE_ADDR=address)


def miss(address: str = "203.0.113.9") -> None:
    with pytest.raises(Http404):
        page(request_from(address), token="no token of ours")


def test_a_view_gets_its_link_and_the_clock_of_the_program() -> None:
    link = make_link(LinkPurpose.STATUS)
    answer = page(request_from(), token=link_token(link))
    assert answer.content == f"{link.pk} by America/New_York".encode()


def test_a_private_page_is_neither_kept_nor_told() -> None:
    answer = page(request_from(), token=link_token(make_link(LinkPurpose.STATUS)))
    names = ("Referrer-Policy", "X-Robots-Tag", "Cache-Control")
    assert [answer[name] for name in names] == ["same-origin", "noindex", "no-store"]


def test_a_private_page_is_marked_as_open_to_the_holder() -> None:
    assert page.access == frozenset()  # type: ignore[attr-defined]


def test_opening_a_page_changes_nothing_but_the_hour_of_use() -> None:
    link = make_link(LinkPurpose.STATUS)
    before: dict[str, object] = dict(type(link).objects.filter(pk=link.pk).values().get())
    link_or_404(request_from(), link_token(link), LinkPurpose.STATUS)
    after: dict[str, object] = dict(type(link).objects.filter(pk=link.pk).values().get())
    assert {name for name in after if after[name] != before[name]} == {"last_used_at"}


def test_after_twenty_misses_an_address_opens_nothing() -> None:
    token = link_token(make_link(LinkPurpose.STATUS))
    for _ in range(MOST_MISSES - 1):
        miss()
    assert page(request_from(), token=token).status_code == 200
    miss()
    with pytest.raises(Http404):
        page(request_from(), token=token)


def test_misses_of_one_address_close_no_other() -> None:
    token = link_token(make_link(LinkPurpose.STATUS))
    for _ in range(MOST_MISSES):
        miss("198.51.100.1")
    assert page(request_from("203.0.113.9"), token=token).status_code == 200
