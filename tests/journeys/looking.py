"""What a technician does on the pages of a diagnosis, in a real browser."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

from tests.journeys import town
from tests.journeys.axe import violations
from vehicles.models import Diagnosis, Observation

if TYPE_CHECKING:
    from pathlib import Path

    from playwright.sync_api import Page

    from tests.journeys.conftest import Site
    from vehicles.models import Intake


def begin(page: Page, stay: Intake, words: str, title: str) -> None:
    """Look a complaint up by the household's words, and begin with it."""
    page.goto(f"/cars/{stay.pk}/")
    page.get_by_role("link", name="Diagnosis", exact=True).click()
    page.get_by_label("What the household says").fill(words)
    page.get_by_role("button", name="Find").click()
    page.get_by_role("button", name=re.compile(rf"^Begin\s*: {title}$")).click()
    page.get_by_role("heading", name=title, level=1).wait_for()


def sign(page: Page, title: str) -> None:
    """Sign for a fault that is offered."""
    with page.expect_navigation():
        page.get_by_role("button", name=re.compile(rf"^Sign for it\s*: {title}")).click()


def show(page: Page) -> None:
    """Say that the complaint was seen."""
    page.get_by_label("Yes, I saw, heard or felt it").check()
    page.get_by_label("How, and under what conditions").fill("Idling, hood open")
    page.get_by_role("button", name="Record", exact=True).click()
    page.get_by_role("heading", name="First: does it show?").wait_for(state="detached")


def answer(page: Page, outcome: str) -> None:
    """Record what the check that is asked for showed, and wait for the page after it."""
    page.get_by_label(outcome, exact=True).check()
    with page.expect_navigation():
        page.get_by_role("button", name="Record and go on").click()


def look(page: Page, row: Diagnosis, check: str, outcome: str) -> None:
    """Open one check, whichever is advised, and record what it showed."""
    page.goto(f"/cars/{row.intake_id}/diagnosis/{row.pk}/checks/{check}/")
    answer(page, outcome)


def looked_at(page: Page) -> list[str]:
    """Return what axe has against a page, which is no wider than the window."""
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    return violations(page)


def trouble(site: Site) -> list[str]:
    """Return what went wrong but for pages that refuse, of which a browser says it is an error."""
    return [said for said in site.trouble if "Failed to load resource" not in said]


def ask_the_household(page: Page) -> None:
    """Answer the questions that come first, and take one answer back and give another."""
    page.get_by_role("heading", name="When it gets hot").wait_for()
    answer(page, "Standing, cools when driven")
    answer(page, "Nothing added")
    page.get_by_role("button", name="Undo Coolant added, puddles seen").click()
    page.get_by_role("heading", name="Coolant added, puddles seen").wait_for()
    answer(page, "Added, no puddle")


def could_not_look(page: Page, row: Diagnosis) -> None:
    """Leave the reason out, and then give it."""
    look(page, row, "fan-direct", "Could not look")
    page.get_by_text("Say why it could not be done.").first.wait_for()
    page.get_by_label("If you could not look: why").select_option("Tool not here")
    with page.expect_navigation():
        page.get_by_role("button", name="Record and go on").click()
    page.get_by_text("Not done: Tool not here").wait_for()


def is_barred(page: Page, row: Diagnosis) -> None:
    """Try to watch the fan of an engine whose coolant nobody has looked at."""
    look(page, row, "fan-runs", "It stands still")
    page.get_by_role("heading", name="Not now").wait_for()
    page.get_by_text("Without coolant the engine is not run").first.wait_for()
    assert not Observation.objects.filter(check_code="fan-runs").exists()


def photograph(page: Page, row: Diagnosis, shot: Path) -> None:
    """Attach a photo to a check."""
    page.goto(f"/cars/{row.intake_id}/diagnosis/{row.pk}/checks/coolant-level/")
    page.locator("input[type=file]").set_input_files(shot)
    page.get_by_text(re.compile("1 of 1 sent")).wait_for()
    town.work()
    page.get_by_text("1 photo is kept.").wait_for()


def take_codes_over(page: Page) -> None:
    """Paste what the scan tool said, and take over what it says of this complaint."""
    page.get_by_role("link", name="Read the codes").click()
    page.get_by_role("textbox", name=re.compile("^Codes")).fill("P0217 confirmed\nP0301 pending")
    page.get_by_label("Off while the engine runs").check()
    page.get_by_role("button", name="Record the codes").click()
    page.get_by_text("P0217").first.wait_for()
    page.get_by_role("link", name="Diagnosis", exact=True).click()
    page.get_by_role("link", name="Overheats").click()
    page.get_by_role("button", name="Take these over").click()
    page.get_by_text("Trouble codes, taken over by").first.wait_for()


def repair(page: Page, operation: str) -> None:
    """Put one of the proposed repairs on the list."""
    page.get_by_role("link", name="To the repair items").click()
    for box in page.locator("input[name=take]").all():
        box.set_checked(box.get_attribute("value") == operation)
    page.get_by_role("button", name="Put the ticked repairs on the list").click()
    page.get_by_text("On the list now: 1 more.").wait_for()
