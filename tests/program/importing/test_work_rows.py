from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

import pytest

from program.importing.rows import Row
from program.importing.work_rows import fitment
from tests.program.importing.samples import example, sheet, sheet_import, templates, with_cells
from vehicles.models import Finding, Need, Prerequisite, Reading, RepairItem

if TYPE_CHECKING:
    from pathlib import Path

pytestmark = pytest.mark.django_db


def test_a_reading_is_kept_as_judged_and_makes_its_finding(tmp_path: Path) -> None:
    sheet_import(tmp_path, templates())
    reading = Reading.objects.get()
    # Source: 49 CFR 570.9(a), 2/32 in of tread.
    assert (reading.typed, reading.unit, reading.deficiency) == ("1/32", "in", "dangerous")
    assert reading.sentence == "1/32 in of tread, the limit is 2/32 in."
    assert reading.finding.title == "Tread depth, LF: 1/32 in of tread"
    assert (reading.finding.found_by, reading.finding.us_reject) == ("R. Amadi, ASE A5", True)


def test_a_good_reading_makes_no_finding(tmp_path: Path) -> None:
    sheet_import(tmp_path, with_cells("readings", value="9/32"))
    assert (Reading.objects.get().deficiency, Finding.objects.count()) == ("none", 1)


def test_a_diagnosed_fault_is_a_finding_of_its_own(tmp_path: Path) -> None:
    sheet_import(tmp_path, templates())
    found = Finding.objects.get(reading__isnull=True)
    assert (found.title, found.severity, found.strands) == (
        "Radiator split at the upper tank",
        3,
        True,
    )
    assert (found.code_severity, found.cleared_on) == ("none", None)


def test_what_caused_what_is_linked_both_ways(tmp_path: Path) -> None:
    contents = templates(
        findings=sheet(
            "findings", [example("findings"), example("findings", ref="f2", caused_by="f1")]
        ),
        readings=sheet("readings", [example("readings", caused_by="f2")]),
    )
    sheet_import(tmp_path, contents)
    split, second = Finding.objects.filter(reading__isnull=True).order_by("pk")
    assert second.caused_by == split
    assert Reading.objects.get().finding.caused_by == second


def test_an_item_clears_findings_and_readings_and_knows_what_comes_first(tmp_path: Path) -> None:
    rows = [
        example("repair_items", clears="f1; r1"),
        example("repair_items", ref="i2", needs_first="i1"),
    ]
    sheet_import(tmp_path, templates(repair_items=sheet("repair_items", rows)))
    first, second = RepairItem.objects.order_by("pk")
    assert first.findings.count() == 2
    link = Prerequisite.objects.get()
    assert (link.item, link.first) == (second, first)


def test_what_was_done_clears_its_findings_and_fills_its_needs(tmp_path: Path) -> None:
    sheet_import(tmp_path, with_cells("repair_items", state="done", done="2026-11-12"))
    assert Finding.objects.get(reading__isnull=True).cleared_on == dt.date(2026, 11, 12)
    assert Need.objects.get().state == "filled"


def test_a_finding_with_work_left_is_not_cleared(tmp_path: Path) -> None:
    rows = [
        example("repair_items", state="done", done="2026-11-12"),
        example("repair_items", ref="i2"),
    ]
    sheet_import(tmp_path, templates(repair_items=sheet("repair_items", rows)))
    assert Finding.objects.get(reading__isnull=True).cleared_on is None


def test_a_need_carries_the_facts_of_car_and_household(tmp_path: Path) -> None:
    sheet_import(tmp_path, templates())
    need = Need.objects.get()
    assert need.car == {
        "year": 2010,
        "make": "Toyota",
        "model": "Corolla",
        "engine": "1.8 L",
        "transmission": "automatic",
        "tire_size": "205/55R16 91V",
    }
    assert (need.county, need.household_kinds) == ("Alder County", ["rural", "veteran"])
    prices = (need.price_low_cents, need.price_cents, need.price_high_cents)
    assert prices == (11_800, 14_000, 18_000)


def test_a_part_that_can_not_be_bought_has_no_price(tmp_path: Path) -> None:
    cells = dict.fromkeys(("price_low_usd", "price_usd", "price_high_usd", "opened", "system"), "")
    sheet_import(tmp_path, with_cells("parts", **cells))
    need = Need.objects.get()
    assert (need.price_cents, need.system) == (None, "cooling")
    assert need.opened_on == dt.date(2026, 11, 5)


def test_only_what_a_part_says_of_its_fitment_is_kept() -> None:
    values = {"bci_group": "35", "cca": 640, "make": "", "fits_at": "", "unit": ""}
    names = ("model", "engine", "transmission", "tire_size", "speed_symbol", "specification")
    row = Row(
        sheet="parts",
        number=2,
        ref="n1",
        values=values | dict.fromkeys((*names, "part_number"), ""),
    )
    assert fitment(row) == {"bci_group": "35", "cold_cranking_amps": 640}
