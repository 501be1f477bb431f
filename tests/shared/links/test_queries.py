from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

import pytest
from django.utils import timezone

from shared.links.purposes import LinkPurpose
from shared.links.queries import PAGES, find, link_token, link_url
from tests.factories import make_link

if TYPE_CHECKING:
    from pytest_django import DjangoAssertNumQueries, Settings

pytestmark = pytest.mark.django_db


def test_a_token_opens_its_link() -> None:
    link = make_link(LinkPurpose.STATUS)
    assert find(link_token(link), LinkPurpose.STATUS) == link


def test_a_token_opens_nothing_of_another_purpose() -> None:
    link = make_link(LinkPurpose.UNSUBSCRIBE)
    assert find(link_token(link), LinkPurpose.PORTAL) is None


def test_a_link_opens_until_its_last_moment() -> None:
    now = timezone.now()
    late = make_link(LinkPurpose.STATUS, expires_at=now)
    early = make_link(LinkPurpose.STATUS, expires_at=now + dt.timedelta(minutes=1))
    found = [find(link_token(link), LinkPurpose.STATUS) for link in (late, early)]
    assert found == [None, early]


def test_a_forged_token_reaches_no_database(
    django_assert_num_queries: DjangoAssertNumQueries,
) -> None:
    token = link_token(make_link(LinkPurpose.STATUS))
    forged = ("B" if token.startswith("A") else "A") + token[1:]
    with django_assert_num_queries(0):
        assert find(forged, LinkPurpose.STATUS) is None


def test_a_printed_paper_outlives_a_change_of_the_key(settings: Settings) -> None:
    link = make_link(LinkPurpose.STATUS)
    printed = link_token(link)
    settings.SECRET_KEY_FALLBACKS = [settings.SECRET_KEY]
    settings.SECRET_KEY = "the key of the second year, long enough for anybody's taste"
    assert find(printed, LinkPurpose.STATUS) == link
    assert link_token(link) != printed


@pytest.mark.parametrize("purpose", LinkPurpose)
def test_each_purpose_has_a_page(purpose: LinkPurpose, settings: Settings) -> None:
    settings.SITE_URL = "https://garage.example"
    link = make_link(purpose)
    assert link_url(link).startswith("https://garage.example/")
    assert link_token(link) in link_url(link)
    assert sorted(PAGES) == sorted(LinkPurpose)
