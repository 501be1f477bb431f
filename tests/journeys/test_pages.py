"""Each page of the site: somebody can open it, it fits a phone, and axe has nothing to say."""

from __future__ import annotations

from itertools import groupby
from operator import attrgetter
from typing import TYPE_CHECKING

import pytest
from django.urls import resolve

from tests.journeys import addresses, town
from tests.journeys.axe import violations
from tests.journeys.following import reached
from tests.journeys.lived_in import live_in

if TYPE_CHECKING:
    from pathlib import Path

    from playwright.sync_api import Page, Response

    from shared.models import Program
    from tests.journeys.conftest import Site

WIDE, NARROW, NARROWEST = 1280, 390, 320
#: By the first page of all, and by links in mail and on paper.
LED_TO_OTHERWISE = {"accounts:sign_in", "status:page", "portal:stop_mail"}
MOST_BYTES = 30_000  # of a household's page with all it needs


@pytest.mark.e2e
def test_axe_sees_what_is_wrong(site: Site) -> None:
    with site.window() as window:
        window.set_content('<html lang="en"><title>x</title><main><h1>x</h1><img src="data:,">')
        [found] = violations(window)
    assert ": image-alt: " in found


@pytest.mark.slow
@pytest.mark.django_db
def test_somebody_can_open_each_address(tmp_path: Path) -> None:
    town.load(tmp_path / "sheets")
    live_in()
    found = addresses.pages()
    assert {page.username for page in found} == set(addresses.PEOPLE)
    assert len(found) > 50
    there = {resolve(page.path).view_name for page in found if page not in addresses.OTHERS}
    linked = set().union(*(reached(who) for who in addresses.PEOPLE if who))
    assert there - linked == LED_TO_OTHERWISE


@pytest.mark.e2e
@pytest.mark.slow
# The layout goes by the width, the contrast by the scheme: two of the four pairs see both.
@pytest.mark.parametrize(("width", "scheme"), [(WIDE, "light"), (NARROW, "dark")])
def test_axe_finds_nothing_on_any_page(
    program: Program, site: Site, width: int, scheme: str
) -> None:
    live_in()
    found = []
    by_person = groupby(
        sorted(addresses.pages(), key=attrgetter("username")), attrgetter("username")
    )
    for username, pages in by_person:
        with site.window(username, width=width, scheme=scheme) as window:
            for page in pages:
                window.goto(page.path)
                found += violations(window)
                found += too_wide(window, page.path)
                if width == NARROW:
                    window.set_viewport_size({"width": NARROWEST, "height": 800})
                    found += too_wide(window, page.path)
                    window.set_viewport_size({"width": NARROW, "height": 800})
    # A browser says of each page that is not there or not allowed that it is an error.
    trouble = [said for said in site.trouble if "Failed to load resource" not in said]
    assert (found, trouble) == ([], [])


def too_wide(window: Page, path: str) -> list[str]:
    """Return the page when it has to be moved sideways to be read."""
    content, there = window.evaluate(
        "[document.documentElement.scrollWidth, document.documentElement.clientWidth]"
    )
    return [f"{path}: {content} px in a window of {there}"] if content > there else []


@pytest.mark.e2e
@pytest.mark.slow
def test_a_households_page_is_small_and_asks_nobody_else(program: Program, site: Site) -> None:
    live_in()
    [path] = [page.path for page in addresses.pages() if page.path.startswith("/car/")]
    answers: list[Response] = []
    with site.window(width=NARROW) as window:
        window.on("response", lambda answer: answers.append(answer))  # noqa: PLW0108
        window.goto(path, wait_until="networkidle")
        assert sum(len(answer.body()) for answer in answers) < MOST_BYTES
    assert [answer.url for answer in answers if not answer.url.startswith(site.url)] == []
