"""A car arrives on a phone: a VIN pasted with two characters swapped, and two marks touched."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from tests.journeys.axe import violations
from vehicles.models import Intake

if TYPE_CHECKING:
    from playwright.sync_api import Page

    from shared.models import Program
    from tests.journeys.conftest import Site

pytestmark = pytest.mark.e2e
TRUE, SWAPPED = "2T1BURHE0FC300119", "2T1BURHE0FC301019"


def touch(page: Page, x: int, y: int) -> None:
    """Touch the drawing of the car at a point in its own units of 1000 by 700."""
    drawing = page.locator("svg[data-car]")
    drawing.scroll_into_view_if_needed()
    frame = drawing.bounding_box()
    assert frame is not None
    at = {"x": x * frame["width"] / 1000, "y": y * frame["height"] / 700}
    drawing.click(position={"x": at["x"], "y": at["y"]})


def mark(page: Page, x: int, y: int, kind: str, part: str) -> None:
    touch(page, x, y)
    assert page.locator("#id_area option:checked").inner_text() == part
    page.get_by_label(kind, exact=True).check()
    page.get_by_role("button", name="Place the mark").click()
    page.get_by_text(f"Marked: {kind.lower()}, {part.lower()}.").wait_for()


def fits(page: Page) -> bool:
    return bool(page.evaluate("document.documentElement.scrollWidth <= innerWidth"))


def which_car(page: Page) -> None:
    page.goto("/cars/")
    page.get_by_role("link", name="A car arrives").click()
    page.get_by_label("VIN", exact=True).fill(f"the title says {SWAPPED}, I think")
    page.get_by_role("link", name=TRUE).wait_for()
    assert violations(page) == []
    page.get_by_role("link", name=TRUE).first.click()
    page.get_by_text("Its check digit is right.").wait_for()
    page.get_by_role("link", name="Go on with this VIN").click()


def what_is_told(page: Page) -> None:
    page.get_by_label("What is wrong").fill("It grinds when I brake.")
    page.get_by_label("How far in a week").fill("150")
    page.get_by_role("group", name="Does somebody sleep in it").get_by_label("Yes").check()
    page.get_by_label("Towed").check()
    page.locator("#id_odometer_mi").fill("88,000")
    assert page.locator(".lit:visible").count() == 0
    page.locator("input[value=oil]").check()
    assert page.locator(".lit:visible").all_inner_texts() == ["Do not drive it while this is lit."]
    page.get_by_label("Make", exact=True).fill("Toyota")
    page.get_by_label("Model", exact=True).fill("Corolla")
    page.get_by_label("Automatic").check()
    assert violations(page) == []
    assert fits(page)
    page.get_by_role("button", name="The car is here").click()


def test_a_car_arrives_on_a_phone(program: Program, site: Site) -> None:
    with site.window("rosalind", width=390, height=844) as page:
        which_car(page)
        what_is_told(page)
        page.get_by_text("Next: ask whose the car is").wait_for()
        page.get_by_text("This car is not to be driven").wait_for()
        page.get_by_text("Somebody sleeps in this car.").wait_for()
        found = violations(page)
        page.get_by_role("link", name="Walk-round").click()
        mark(page, 450, 590, "Dent", "Left front door")
        mark(page, 300, 330, "Rust", "Hood")
        assert fits(page)
        found += violations(page)
    stay = Intake.objects.get(vehicle__vin=TRUE)
    marks = [(one.kind, one.area) for one in stay.marks.all()]
    assert marks == [("dent", "left front door"), ("rust", "hood")]
    assert (stay.lamps, stay.sleeps_in, stay.vehicle.year) == (["oil"], True, 2015)
    assert (found, site.trouble) == ([], [])


def test_without_script_the_same_is_done_by_hand(program: Program, site: Site) -> None:
    stay = Intake.objects.filter(program=program, left_on=None).earliest("pk")
    with site.window("rosalind", width=390, height=844) as page:
        page.route("**/*.js", lambda route: route.abort())
        page.goto(f"/cars/new/?vin={SWAPPED}")
        page.get_by_role("link", name=TRUE).first.click()
        page.get_by_text("Its check digit is right.").wait_for()
        page.goto(f"/cars/{stay.pk}/walk-round/")
        page.get_by_label("Rust", exact=True).check()
        page.get_by_label("Where").select_option("Hood")
        page.get_by_role("button", name="Place the mark").click()
        page.get_by_text("Marked: rust, hood.").wait_for()
    assert [one.area for one in stay.marks.all()] == ["hood"]
