"""An empty stick is filled in the right steps, in a real browser on a phone."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from tests.factories import make_intake, make_program
from tests.journeys.axe import violations
from tests.journeys.sheets import PHONE, technician
from tests.vehicles.fluids.rows import let_settle
from vehicles.models import Finding, FluidReading, TopUp

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Page

    from tests.journeys.conftest import Site
    from vehicles.models import Intake

pytestmark = [pytest.mark.e2e, pytest.mark.slow]


@pytest.fixture
def stay(chromium: Browser, transactional_db: None) -> Intake:
    program = make_program()
    technician("Rosalind", "Amadi", program)
    return make_intake(program=program)


def pick(page: Page, question: str, answer: str) -> None:
    group = page.get_by_role("group", name=question, exact=True)
    group.get_by_label(answer, exact=True).check()


def say_maker(page: Page) -> None:
    page.get_by_label("Specification").fill("5W-30 API SN")
    pick(page, "The engine, while it is read", "Engine off")
    pick(page, "How warm it is, while it is read", "Hot")
    page.get_by_label("Where that stands").select_option("Owner’s book")
    page.get_by_role("button", name="Record what the maker says").click()


def read(page: Page, level: str, heat: str = "Hot") -> None:
    pick(page, "What it shows", level)
    pick(page, "What it looks like", "Looks clean")
    pick(page, "The engine was", "Off")
    pick(page, "It was", heat)
    pick(page, "On level ground", "Yes")
    page.get_by_role("button", name="Record the reading").click()


def pour(page: Page, bottle: str, amount: str) -> None:
    page.get_by_label("What the bottle says").fill(bottle)
    pick(page, "The bottle was", "Sealed")
    page.get_by_label("Amount that went in").fill(amount)
    page.get_by_role("button", name="Record what went in").click()


def seen(page: Page, sentence: str) -> list[str]:
    """Wait for a sentence, and return what axe has against the page."""
    page.get_by_text(sentence).first.wait_for()
    assert page.evaluate("document.documentElement.scrollWidth") <= PHONE["width"]
    return violations(page)


def fill_up(page: Page, stay: Intake) -> list[str]:
    """Go from an empty stick to the full mark, and return what axe finds on the way."""
    page.goto(f"/cars/{stay.pk}/")
    page.get_by_role("link", name="Fluids").click()
    found = seen(page, "First look up what the maker says of it.")
    page.get_by_role("link", name="Engine oil").click()
    say_maker(page)
    found += seen(page, "Read it: on level ground, engine off, hot.")
    read(page, "Nothing to be seen", "Cold")
    found += seen(page, "The engine is not started")
    pour(page, "10W-40 API SN", "1/2")
    found += seen(page, "The maker wants 5W-30; the bottle is 10W-40.")
    pour(page, "5W-30 API SP", "1")
    found += seen(page, "1 qt is more than the 1/2 qt of this step.")
    pour(page, "5W-30 API SP", "1/2")
    found += seen(page, "Let it settle. Read it again at")
    let_settle(stay)
    read(page, "Between the marks", "Cold")
    found += seen(page, "It was read cold, so it does not count.")
    assert page.get_by_role("heading", name="The engine is not started").count() == 0
    read(page, "Between the marks")
    found += seen(page, "1/4 qt (236 mL)")
    pour(page, "5W-30 API SP", "1/4")
    page.get_by_text("Let it settle.").first.wait_for()
    let_settle(stay)
    read(page, "At the full mark")
    return found + seen(page, "Engine oil is as it should be.")


def test_an_empty_stick_is_filled_in_the_right_steps(site: Site, stay: Intake) -> None:
    with site.window("rosalind", **PHONE) as page:
        found = fill_up(page, stay)
    # A browser says of each page that refuses something that it is an error.
    trouble = [said for said in site.trouble if "Failed to load resource" not in said]
    assert (found, trouble) == ([], [])
    levels = FluidReading.objects.order_by("pk").values_list("level", flat=True)
    assert list(levels) == ["none", "between", "between", "full"]
    assert list(TopUp.objects.order_by("pk").values_list("typed", flat=True)) == ["1/2", "1/4"]
    assert Finding.objects.get().strands is True
