"""The number pad of the sheet in a real browser, on a phone and on a wide screen."""

from __future__ import annotations

from typing import TYPE_CHECKING

import pytest

from tests.factories import make_intake, make_program
from tests.journeys.axe import violations
from tests.journeys.sheets import PHONE, SheetPage, technician
from vehicles.models import NotRead, Reading

if TYPE_CHECKING:
    from playwright.sync_api import Browser, Locator

    from tests.journeys.conftest import Site
    from vehicles.models import Intake

pytestmark = [pytest.mark.e2e, pytest.mark.slow]
KEY, TOUCH = 53.5, 44  # pixels; a key is 3.35 rem of 16 pixels


@pytest.fixture
def stay(chromium: Browser, transactional_db: None) -> Intake:
    program = make_program()
    technician("Rosalind", "Amadi", program)
    return make_intake(program=program)


def heights(keys: Locator) -> list[float]:
    boxes = [key.bounding_box() for key in keys.all()]
    return [box["height"] for box in boxes if box]


@pytest.mark.parametrize("scheme", ["light", "dark"])
@pytest.mark.parametrize("width", [390, 1280])
def test_the_pad_stands_where_the_thumb_is_and_has_big_keys(
    site: Site, stay: Intake, width: int, scheme: str
) -> None:
    with site.window("rosalind", width=width, height=844, scheme=scheme) as page:
        sheet = SheetPage(page, stay).open()
        sheet.tap("tire-tread/LF")
        pad, field = page.locator("#pad").bounding_box(), sheet.field.bounding_box()
        assert pad
        assert field
        assert (field["y"] + field["height"] < pad["y"]) == (width == PHONE["width"])
        assert (field["x"] + field["width"] < pad["x"]) == (width != PHONE["width"])
        assert min(heights(page.locator("#pad .key:visible"))) >= KEY
        assert min(heights(page.locator(".crit a.read:visible"))) >= TOUCH
        assert page.evaluate("document.documentElement.scrollWidth") <= width
        found = violations(page)
        sheet.tap("tire-damage/LF")
        found += violations(page)
    assert (found, site.trouble) == ([], [])


def test_a_number_no_car_can_have_is_refused_at_once_and_stays_typed(
    site: Site, stay: Intake
) -> None:
    with site.window("rosalind", **PHONE) as page:
        sheet = SheetPage(page, stay).open()
        sheet.tap("tire-tread/LF")
        sheet.type("40")
        page.locator(".err", has_text="front left of 40/32 in is not possible.").wait_for()
        assert sheet.field.input_value() == "40"
        assert (sheet.field.bounding_box() or {"y": -1})["y"] > 0  # in sight, above the pad
        assert sheet.field.get_attribute("aria-invalid") == "true"
        found = violations(page)
        sheet.key("delete")
        sheet.key("Next")
        sheet.saved()
    assert (found, Reading.objects.get().typed) == ([], "4")


def test_a_number_that_the_server_refuses_stays_with_the_sentence(site: Site, stay: Intake) -> None:
    with site.window("rosalind", **PHONE) as page:
        sheet = SheetPage(page, stay).open()
        sheet.tap("tire-tread/LF")
        sheet.field.fill("4 kPa")  # letters are read by the server alone
        sheet.field.press("Enter")
        refusal = page.locator(".stop", has_text="not kilopascals")
        refusal.wait_for()
        page.reload()
        refusal.wait_for()
        refusal.get_by_role("button", name="Type it again").click()
        assert sheet.field.input_value() == "4 kPa"
        sheet.field.fill("4")
        sheet.field.press("Enter")
        sheet.saved()
        assert refusal.count() == 0
    assert Reading.objects.get().typed == "4"


def test_the_unit_is_switched_for_this_point_and_those_after_it(site: Site, stay: Intake) -> None:
    with site.window("rosalind", **PHONE) as page:
        sheet = SheetPage(page, stay).open()
        sheet.tap("tire-tread/LF")
        assert page.locator("#range").text_content() == "0 to 24/32 in"
        page.locator("#pad [data-unit]").click()
        assert page.locator("#range").text_content() == "0 to 19.05 mm"
        sheet.type("6.5")
        assert page.locator("#range").text_content() == "0 to 19.05 mm"
        sheet.saved()
    assert Reading.objects.values_list("typed", "unit").get() == ("6.5", "mm")


def test_a_point_that_cannot_be_read_stays_unread_with_the_reason(site: Site, stay: Intake) -> None:
    with site.window("rosalind", **PHONE) as page:
        sheet = SheetPage(page, stay).open()
        sheet.tap("tire-tread/LF")
        page.locator("#pad [data-cant]:visible").click()
        page.get_by_role("button", name="Not safe to do now").click()
        sheet.saved()
        page.get_by_text("Not read, front left.").wait_for()
        assert sheet.asked == "Tread depth, front right"
    assert (NotRead.objects.get().because, Reading.objects.count()) == ("Not safe to do now", 0)


def test_a_tire_near_its_limit_is_asked_for_three_numbers_after_the_others(
    site: Site, stay: Intake
) -> None:
    with site.window("rosalind", **PHONE) as page:
        sheet = SheetPage(page, stay).open()
        sheet.tap("tire-tread/LF")
        for number in ("4", "6", "6"):
            sheet.type(number)
            sheet.saved()
        sheet.type("6")
        assert sheet.asked == "Tread across the tire, front inner left"
        for number in ("4", "6", "7"):
            sheet.type(number)
        assert sheet.asked == "Tire wear pattern, front left"
        sheet.saved()
        page.get_by_text("3/32 in between front left outer and front left inner").wait_for()
        page.get_by_text("Worn more at the inner edge").wait_for()
    assert stay.findings.get(reading__criterion="tire-wear-across").system == "tires"


def test_good_is_one_tap_and_the_next_tap_on_the_point_changes_it(site: Site, stay: Intake) -> None:
    with site.window("rosalind", **PHONE) as page:
        sheet = SheetPage(page, stay).open()
        sheet.tap("tire-damage/LF")
        sheet.key("Good")
        assert sheet.asked == "Tire damage, front right"
        sheet.saved()
        page.locator("#pad [data-good]").dblclick()  # the second tap would be one too many
        sheet.saved()
        assert sheet.asked == "Tire damage, rear left"
        sheet.tap("tire-damage/LF")
        page.locator(".yn button", has_text="major").first.click()
        sheet.saved()
    standing = Reading.objects.current().order_by("position").values_list("position", "deficiency")
    assert list(standing) == [("LF", "major"), ("RF", "none")]


def test_one_tap_calls_good_what_is_left_of_one_criterion_and_goes_on(
    site: Site, stay: Intake
) -> None:
    with site.window("rosalind", **PHONE) as page:
        sheet = SheetPage(page, stay).open()
        sheet.tap("tire-damage/RF")
        page.locator(".yn button", has_text="major").first.click()
        sheet.saved()
        page.context.set_offline(True)
        sheet.tap("tire-damage/LF")
        assert page.locator("#pad [data-rest]").text_content() == "Other 3 good"
        found = violations(page)
        page.locator("#pad [data-rest]").click()
        sheet.masthead("No connection. 3 readings wait here and are kept.")
        assert sheet.criteria["tire-match"]["title"] == sheet.asked
        assert page.evaluate("document.activeElement.textContent") == "Good"
        assert not page.locator("#pad [data-rest]").is_visible()
        page.context.set_offline(False)
        sheet.saved()
        assert (page.locator("label[for=read]").text_content() or "").startswith("4 of ")
        sheet.tap("tire-tread/LF")
        assert not page.locator("#pad [data-rest]").is_visible()
    standing = Reading.objects.current().order_by("pk").values_list("position", "deficiency")
    places = [("RF", "major"), ("LF", "none"), ("LR", "none"), ("RR", "none")]
    assert (found, list(standing)) == ([], places)


def test_a_finding_that_ends_the_look_says_so_at_once(site: Site, stay: Intake) -> None:
    with site.window("rosalind", **PHONE) as page:
        SheetPage(page, stay).open()
        page.locator("[aria-labelledby=begin-look] button").click()
        sheet = SheetPage(page, stay).open("look_under")
        sheet.tap("structure")
        page.locator(".yn button", has_text="dangerous").first.click()
        page.get_by_role("heading", name="The look ends here").wait_for()
        assert page.evaluate("document.activeElement.id") == "stop"
        assert sheet.asked == ""
        assert violations(page) == []
        page.locator("#stop").get_by_role("link", name="End this sheet").click()
        page.get_by_text("The look ends with this, and nobody is asked for the rest.").wait_for()


def test_the_keyboard_alone_reads_a_row_of_points(site: Site, stay: Intake) -> None:
    with site.window("rosalind") as page:
        sheet = SheetPage(page, stay).open()
        page.locator("#c-tire-tread a.read").focus()
        for key in ["Enter", "9", "Enter", "8", "Enter", "7", "Enter", "6", "Enter"]:
            page.keyboard.press(key)
        sheet.saved()
        assert page.evaluate("document.activeElement.textContent") == "Good"
        page.keyboard.press("Escape")
        assert sheet.asked == ""
    assert list(Reading.objects.order_by("pk").values_list("typed", flat=True)) == list("9876")


def test_the_limit_on_the_part_is_asked_once_for_both_sides(site: Site, stay: Intake) -> None:
    with site.window("rosalind", **PHONE) as page:
        sheet = SheetPage(page, stay).open("look_under")
        marked = [code for code, one in sheet.criteria.items() if one.get("marked")]
        code = next(code for code in marked if len(sheet.criteria[code]["places"]) > 1)
        first, second = [f"{code}/{place}" for place in sheet.criteria[code]["places"]][:2]
        sheet.tap(first)
        number = str(int(sheet.criteria[code]["units"][0]["most"] / 2) or 0.1)
        sheet.type(number)
        sheet.type(number)  # the field of the limit has the focus now
        assert sheet.titles[sheet.asked][1] == second
        sheet.type(number)
        sheet.key("Next")
        sheet.saved()
    assert Reading.objects.count() == 2


def test_without_script_each_point_is_a_page_with_a_form(site: Site, stay: Intake) -> None:
    with site.window("rosalind", **PHONE, java_script_enabled=False) as page:
        sheet = SheetPage(page, stay).open()
        assert not page.locator("#pad").is_visible()
        page.locator("#c-tire-tread a.read").click()
        assert page.locator("[name=value]").get_attribute("inputmode") == "decimal"
        page.locator("[name=value]").fill("9")
        page.get_by_role("button", name="Record, then the next point").click()
        assert sheet.page.url.endswith(f"/tire-tread/RF/?after={Reading.objects.get().pk}")
