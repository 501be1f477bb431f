from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

import pytest
from django.utils import timezone

from shared.audit.models import Event
from shared.links.actions import make_link, note_use, renew, revoke
from shared.links.purposes import LinkPurpose
from shared.links.queries import find, link_token
from tests.factories import make_program, make_user

if TYPE_CHECKING:
    from shared.links.models import AccessLink

pytestmark = pytest.mark.django_db


def made(purpose: LinkPurpose = LinkPurpose.STATUS) -> AccessLink:
    return make_link(make_program(), purpose)


def test_two_links_differ() -> None:
    assert link_token(made()) != link_token(made())


def test_a_link_that_was_taken_back_opens_nothing() -> None:
    link = made()
    old = link_token(link)
    revoke(link, by=make_user(), reason="The paper was lost.")
    assert [find(token, LinkPurpose.STATUS) for token in (old, link_token(link))] == [None, None]
    line = Event.objects.about("accesslink", link.pk).get()
    assert (line.what, line.reason) == ("Took the private link back.", "The paper was lost.")


def test_a_renewed_link_opens_by_its_new_token_only() -> None:
    link = made()
    old = link_token(link)
    renew(revoke(link))
    assert find(old, LinkPurpose.STATUS) is None
    assert find(link_token(link), LinkPurpose.STATUS) == link


def test_use_is_noted_once_an_hour() -> None:
    link, noon = made(), timezone.now()
    moments = [noon + dt.timedelta(minutes=minutes) for minutes in (0, 1, 59, 60)]
    noted = []
    for moment in moments:
        note_use(link, moment)
        link.refresh_from_db()
        noted.append(link.last_used_at)
    assert noted == [moments[0], moments[0], moments[0], moments[3]]
