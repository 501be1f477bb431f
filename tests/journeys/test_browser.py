"""Four people walk the main line in a real browser."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING

import pytest

from program.models import Case, Plan
from program.planning.queries import outcome_of
from program.status.actions import give_page
from shared.dates import long_date
from shared.links.queries import link_url
from tests.journeys import town
from tests.journeys.axe import violations
from tests.journeys.sheets import SheetPage
from vehicles.models import Intake

if TYPE_CHECKING:
    from pathlib import Path

    from playwright.sync_api import Page

    from shared.models import Program
    from tests.journeys.conftest import Site

pytestmark = pytest.mark.e2e
PHONE = 390
QUESTION = "May I fetch it after 17:00?"
SHOWN = "26-041"


def test_four_people_walk_the_main_line(program: Program, site: Site, tmp_path: Path) -> None:
    zipped = tmp_path / "sheets.zip"
    zipped.write_bytes(town.packed(tmp_path / "sheets"))
    found: list[str] = []
    with site.window("imke") as page:
        coordinator_sends_the_sheets(page, zipped, found)
        coordinator_approves_the_week(page, found)
    with site.window("rosalind", width=PHONE, height=844) as page:
        technician_reads_a_tire(page, found)
    with site.window("benno") as page:
        sponsor_pledges(page, found)
    with site.window(width=PHONE, height=844) as page:
        household_sees_the_day_and_asks(page, found)
    with site.window("imke") as page:
        page.goto("/")
        page.get_by_text(QUESTION).wait_for()
        found += violations(page)
    assert (found, site.trouble) == ([], [])


def coordinator_sends_the_sheets(page: Page, zipped: Path, found: list[str]) -> None:
    page.goto("/import/")
    found += violations(page)
    page.locator("input[type=file]").set_input_files(zipped)
    page.locator("main form button[type=submit]").first.click()
    page.wait_for_url(re.compile(r"/import/\d+/"))
    town.work()
    page.reload()
    page.get_by_text(re.compile("nothing", re.IGNORECASE)).first.wait_for()
    found += violations(page)


def coordinator_approves_the_week(page: Page, found: list[str]) -> None:
    page.goto("/week/")
    page.get_by_role("heading", name="Eight cars go home").wait_for()
    found += violations(page)
    page.get_by_role("button", name="Approve this plan").click()
    page.get_by_text(re.compile("is approved")).wait_for()
    town.work()
    found += violations(page)


def technician_reads_a_tire(page: Page, found: list[str]) -> None:
    page.goto("/cars/")
    page.get_by_role("link", name=re.compile("2007 Toyota RAV4")).first.click()
    page.get_by_role("link", name=re.compile("sheet", re.IGNORECASE)).first.click()
    page.wait_for_url(re.compile("/sheet/"))
    found += violations(page)
    stay = Intake.objects.open().get(vehicle__model="RAV4")
    sheet = SheetPage(page, stay).open()
    sheet.tap("tire-tread/LF")
    sheet.field.fill("1/32")
    sheet.field.press("Enter")
    verdict = page.get_by_text("1/32 in of tread, the limit is 2/32 in.")
    verdict.first.wait_for()
    page.get_by_text("Do not drive: it is an immediate danger").first.wait_for()
    found += violations(page)


def sponsor_pledges(page: Page, found: list[str]) -> None:
    page.goto("/give/")
    found += violations(page)
    page.locator("a[href*='/needs/']").first.click()
    found += violations(page)
    page.get_by_role("button", name="Pledge this part").click()
    page.get_by_text(re.compile("Thank you. Pledged:")).wait_for()
    town.work()
    found += violations(page)


def household_sees_the_day_and_asks(page: Page, found: list[str]) -> None:
    homes = outcome_of(Plan.objects.get(state="approved")).homes
    day = next(long_date(home.by_on) for home in homes if home.case_id == SHOWN)
    page.goto(link_url(give_page(case=Case.objects.get(number=SHOWN), by=None)))
    page.get_by_text(f"You can count on having it back by {day}.").wait_for()
    found += violations(page)
    page.get_by_label("Your question").fill(QUESTION)
    page.get_by_role("button", name="Send").click()
    page.get_by_text(re.compile("You asked on")).wait_for()
    found += violations(page)
