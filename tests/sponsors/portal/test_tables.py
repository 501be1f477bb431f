from __future__ import annotations

import pytest

from sponsors.pledges.states import PledgeState
from sponsors.portal.access import Visit
from sponsors.portal.queries import own_pledges, wishes
from sponsors.portal.tables import GivenTable, WishTable
from tests.factories.sponsors import make_pledge, make_sponsor
from tests.factories.vehicles import make_need

pytestmark = pytest.mark.django_db


def test_a_need_links_to_its_pledge_within_the_same_visit() -> None:
    need, sponsor = make_need(), make_sponsor()
    rows = wishes(sponsor.program)
    [private] = WishTable(rows, visit=Visit(sponsor=sponsor, token="abc")).rows
    [signed_in] = WishTable(rows, visit=Visit(sponsor=sponsor)).rows
    assert f'href="/give/abc/needs/{need.pk}/"' in private.get_cell("pledge")
    assert f'href="/give/needs/{need.pk}/"' in signed_in.get_cell("pledge")
    assert (private.get_cell("fits"), private.get_cell("units")) == ("2012 Toyota Corolla", "1")


def test_a_pledge_shows_its_state_in_words_and_can_be_taken_back_while_it_stands() -> None:
    pledge = make_pledge()
    [row] = GivenTable(own_pledges(pledge.sponsor), visit=Visit(sponsor=pledge.sponsor)).rows
    assert "promised" in row.get_cell("mark")
    assert f"/give/pledges/{pledge.pk}/take-back/" in row.get_cell("may_be_taken_back")


def test_a_pledge_that_arrived_can_not_be_taken_back() -> None:
    pledge = make_pledge(state=PledgeState.ARRIVED)
    [row] = GivenTable(own_pledges(pledge.sponsor), visit=Visit(sponsor=pledge.sponsor)).rows
    assert row.get_cell("may_be_taken_back") == "–"
