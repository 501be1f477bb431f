"""A whole car on a phone with the network cut in the middle: each point once, none lost."""

from __future__ import annotations

from math import inf
from typing import TYPE_CHECKING

import pytest

from tests.factories import make_intake, make_program
from tests.journeys.axe import violations
from tests.journeys.sheets import LONG, PHONE, SheetPage, technician
from vehicles.inspection.gathering import sheet_of
from vehicles.models import Reading

if TYPE_CHECKING:
    from playwright.sync_api import Browser

    from tests.journeys.conftest import Site
    from vehicles.models import Intake

pytestmark = [pytest.mark.e2e, pytest.mark.slow]
CUT, BACK, LOADED = 40, 140, 200  # points until the network goes, comes, the page loads anew


@pytest.fixture
def stay(chromium: Browser, transactional_db: None) -> Intake:
    program = make_program()
    technician("Rosalind", "Amadi", program)
    return make_intake(program=program)


def test_a_whole_car_is_read_with_the_network_cut_in_the_middle(site: Site, stay: Intake) -> None:
    read: list[str] = []
    with site.window("rosalind", **PHONE) as page:
        sheet = SheetPage(page, stay).open()
        sheet.tap(next(iter(sheet.titles.values()))[1])
        read_until(CUT, sheet, read)
        sheet.saved(within=LONG)
        cut = len(read)
        page.context.set_offline(True)
        read_until(BACK, sheet, read)
        sheet.masthead(f"No connection. {len(read) - cut} readings wait here and are kept.")
        found = violations(page)
        page.context.set_offline(False)
        read_until(LOADED, sheet, read)
        sheet.saved(within=LONG)
        sheet.open("look_under")
        under = [path for one, path in sheet.titles.values() if one["group"] == "look_under"]
        sheet.tap(next(path for path in under if path not in read))
        read_until(inf, sheet, read)
        sheet.saved(within=LONG)
    assert (found, len(read)) == ([], len(set(read)))
    rows = Reading.objects.filter(intake=stay)
    assert sorted(f"{row.criterion}/{row.position}".strip("/") for row in rows) == sorted(read)
    assert sheet_of(stay).left == 0
    assert [one for one in site.trouble if "Failed to load resource" not in one] == []


def read_until(count: float, sheet: SheetPage, read: list[str]) -> None:
    """Answer what is open until so many points are read, or until none is left."""
    while sheet.asked and len(read) < count:
        paths = sheet.call_rest_good(read) or [sheet.answer()]
        assert not set(paths) & set(read), (
            f"{paths} were not taken: {sheet.page.locator('#said').text_content()}"
        )
        read.extend(paths)
