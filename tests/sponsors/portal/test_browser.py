"""A sponsor pledges and stops mail in a real browser, which adds headers that a test client lacks.

A browser whose page has the referrer policy `no-referrer` names the origin `null` when it sends a
form, and Django refuses that form.
"""

from __future__ import annotations

import os
import shutil
from typing import TYPE_CHECKING

import pytest
from django.urls import reverse

from shared.links.queries import link_token
from sponsors.models import Gives, Pledge
from sponsors.register.actions import stop_link
from tests.factories.sponsors import make_sponsor
from tests.factories.vehicles import make_need
from tests.sponsors.looking import token_of

if TYPE_CHECKING:
    from pytest_django.live_server_helper import LiveServer

pytestmark = [pytest.mark.e2e, pytest.mark.slow, pytest.mark.django_db(transaction=True)]

CHROMIUM = shutil.which("chromium") or shutil.which("google-chrome")


def test_a_pledge_in_two_taps_and_a_stop_in_one(
    live_server: LiveServer, monkeypatch: pytest.MonkeyPatch
) -> None:
    playwright = pytest.importorskip("playwright.sync_api", reason="no browser driver here")
    if CHROMIUM is None:
        pytest.skip("no Chromium on this machine")
    # The driver runs an event loop in this thread; the database is asked only from outside it.
    monkeypatch.setitem(os.environ, "DJANGO_ALLOW_ASYNC_UNSAFE", "1")
    sponsor = make_sponsor()
    Gives.objects.create(program=sponsor.program, sponsor=sponsor, system="cooling")
    make_need()
    needs = reverse("portal:need_list", args=[token_of(sponsor)])
    stop = reverse("portal:stop_mail", args=[link_token(stop_link(sponsor))])
    with playwright.sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox"])
        page = browser.new_page(viewport={"width": 390, "height": 800})
        page.goto(live_server.url + needs)
        page.get_by_role("link", name="Pledge").click()
        page.get_by_role("button", name="Pledge this part").click()
        said = page.get_by_role("status").inner_text()
        page.goto(live_server.url + stop)
        page.get_by_role("button", name="Stop the mail").click()
        stopped = page.get_by_role("heading", level=1).inner_text()
        browser.close()
    assert said == "Thank you. Pledged: 1 × Radiator, 2012 Toyota Corolla."
    assert stopped == "The mail is stopped"
    assert Pledge.objects.get().sponsor == sponsor
    sponsor.address.refresh_from_db()
    assert sponsor.address.opted_out_at is not None
