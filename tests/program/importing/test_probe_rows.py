from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

import pytest

from tests.program.importing.samples import example, sheet, sheet_import, templates, with_cells
from vehicles.fluids.gathering import state_of
from vehicles.fluids.rows import load
from vehicles.models import CodeScan, FluidReading, FluidRule, TopUp, TroubleCode

if TYPE_CHECKING:
    from pathlib import Path

pytestmark = pytest.mark.django_db


def test_codes_are_kept_with_what_they_mean(tmp_path: Path) -> None:
    sheet_import(tmp_path, with_cells("trouble_codes", codes="P0217 confirmed; P0128 pending"))
    scan = CodeScan.objects.get()
    assert (scan.battery_volts, scan.lamp, scan.complete) == ("12.5", "steady", True)
    assert scan.at.date() == dt.date(2026, 11, 6)
    rows = TroubleCode.objects.values_list("code", "storage", "severity")
    assert list(rows) == [("P0217", "confirmed", "stop-driving"), ("P0128", "pending", "soon")]


def test_a_flashing_lamp_makes_every_code_one_step_worse(tmp_path: Path) -> None:
    sheet_import(tmp_path, with_cells("trouble_codes", codes="P0128", lamp="flashing"))
    assert TroubleCode.objects.get().severity == "fix-before-return"


def test_a_level_says_what_follows_by_what_the_maker_says(tmp_path: Path) -> None:
    sheet_import(tmp_path, templates())
    rule, row = FluidRule.objects.get(), FluidReading.objects.get()
    assert (rule.specification, rule.between, rule.stick) == ("0W-20 API SN", "1 qt", True)
    assert (row.level, row.missing_eighths, row.level_ground) == ("between", 4, True)
    # Half of what is missing of one quart; common practice, no source.
    assert row.said.startswith("Pour in 1/4 qt")
    poured = TopUp.objects.get()
    assert (poured.reading, poured.typed, poured.unit) == (row, "1/2 qt", "qt")


def test_without_what_the_maker_says_the_reading_asks_for_it(tmp_path: Path) -> None:
    row = example("fluid_readings", poured="", bottle="")
    sheets = templates(fluid_demands=None, fluid_readings=sheet("fluid_readings", [row]))
    sheet_import(tmp_path, sheets)
    assert FluidReading.objects.get().said.startswith("Ask the maker’s book")
    assert TopUp.objects.count() == 0


def test_a_second_reading_counts_what_was_poured_in_before(tmp_path: Path) -> None:
    rows = [
        example("fluid_readings", level="none", heat="cold", missing_eighths=""),
        example("fluid_readings", ref="fr2", level="full", poured="", bottle=""),
    ]
    sheet_import(tmp_path, templates(fluid_readings=sheet("fluid_readings", rows)))
    first, second = FluidReading.objects.order_by("at")
    assert (first.missing_eighths, second.level) == (None, "full")
    assert (first.said[:14], second.said[:19]) == ("Pour in 1/2 qt", "Engine oil is as it")
    state = state_of(second.intake, load()["engine-oil"])
    assert state.step is not None
    assert (state.step.action.value, state.may_run) == ("done", True)
