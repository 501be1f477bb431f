"""An owner signs on the screen, in a real browser: what was drawn is kept and shown again."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from vehicles.models import Consent, Intake

if TYPE_CHECKING:
    from playwright.sync_api import Page

    from shared.models import Program
    from tests.journeys.conftest import Site

pytestmark = pytest.mark.e2e


def draw(page: Page, *shares: tuple[float, float]) -> None:
    """Draw one stroke through points given as shares of the pad."""
    pad = page.get_by_role("img", name="Signature pad")
    pad.scroll_into_view_if_needed()
    frame = pad.bounding_box()
    assert frame is not None
    for number, (x, y) in enumerate(shares):
        page.mouse.move(frame["x"] + x * frame["width"], frame["y"] + y * frame["height"])
        if number == 0:
            page.mouse.down()
    page.mouse.up()


def test_an_owner_signs_on_a_phone_and_may_clear_the_pad(program: Program, site: Site) -> None:
    stay = Intake.objects.filter(program=program, left_on=None).earliest("pk")
    stay.consents.all().delete()
    with site.window("rosalind", width=390, height=844) as page:
        page.goto(f"/cars/{stay.pk}/custody/consent/?act=diagnose")
        page.get_by_label("Said on the phone").check()
        assert not page.get_by_role("img", name="Signature pad").is_visible()
        page.get_by_label("Signed on the screen").check()
        draw(page, (0.1, 0.1), (0.9, 0.9))
        page.get_by_role("button", name="Clear the pad").click()
        page.get_by_role("button", name="Record this consent").click()
        page.get_by_text("The pad is empty, or nearly so.").wait_for()
        draw(page, (0.25, 0.5), (0.5, 0.25), (0.75, 0.5))
        draw(page, (0.5, 0.75))
        page.get_by_role("button", name="Record this consent").click()
        page.get_by_role("img", name="Drawn signature").wait_for()
    consent = Consent.objects.get(intake=stay)
    long, dot = consent.strokes
    assert [round(x / 50) for x, _ in long] == [3, 6, 9]
    assert ([round(y / 50) for _, y in long], len(dot)) == ([2, 1, 2], 1)
