"""A sponsor pledges and stops mail in a real browser, which adds headers that a test client lacks.

A browser whose page has the referrer policy `no-referrer` names the origin `null` when it sends a
form, and Django refuses that form.
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest
from django.urls import reverse

from shared.links.queries import link_token
from sponsors.models import Gives, Pledge
from sponsors.register.actions import stop_link
from tests.factories import make_need, make_sponsor
from tests.sponsors.looking import token_of

if TYPE_CHECKING:
    from tests.journeys.conftest import Site

pytestmark = [pytest.mark.e2e, pytest.mark.slow, pytest.mark.django_db(transaction=True)]


def test_a_pledge_in_two_taps_and_a_stop_in_one(site: Site) -> None:
    sponsor = make_sponsor()
    Gives.objects.create(program=sponsor.program, sponsor=sponsor, system="cooling")
    make_need()
    needs = reverse("portal:need_list", args=[token_of(sponsor)])
    stop = reverse("portal:stop_mail", args=[link_token(stop_link(sponsor))])
    with site.window(width=390, height=800) as page:
        page.goto(needs)
        page.get_by_role("link", name="Pledge").click()
        page.get_by_role("button", name="Pledge this part").click()
        said = page.get_by_role("status").inner_text()
        page.goto(stop)
        page.get_by_role("button", name="Stop the mail").click()
        stopped = page.get_by_role("heading", level=1).inner_text()
    assert said == "Thank you. Pledged: 1 × Radiator, 2012 Toyota Corolla."
    assert stopped == "The mail is stopped"
    assert Pledge.objects.get().sponsor == sponsor
    sponsor.address.refresh_from_db()
    assert sponsor.address.opted_out_at is not None
