from __future__ import annotations

import pytest

from program.importing.check import check
from program.importing.known import Facts
from tests.program.importing.samples import example, sheet, templates, told


def faults(**rows: list[dict[str, str]]) -> list[tuple[str, int, str, str]]:
    contents = templates(**{name: sheet(name, found) for name, found in rows.items()})
    return told(check(contents, Facts()))


@pytest.mark.parametrize(
    ("name", "cells", "column", "sentence"),
    [
        (
            "trouble_codes",
            {"codes": "P0217, PO128"},
            "codes",
            "Line 1: “PO128” is not a code. Is it P0128?",
        ),
        ("trouble_codes", {"codes": "all good"}, "codes", "Line 1: “all good” holds no code."),
        (
            "trouble_codes",
            {"codes": "", "complete": "no"},
            "codes",
            "No code stands here, and not all modules were read.",
        ),
        ("trouble_codes", {"volts": "48"}, "volts", "48 V is not possible. Type 0 to 20 V."),
        ("fluid_demands", {"fluid": "oil"}, "fluid", "“oil” is not a fluid."),
        (
            "fluid_demands",
            {"between": "40 qt"},
            "between",
            "40 qt is not possible here. Type at most 30 qt.",
        ),
        (
            "fluid_readings",
            {"poured": "0"},
            "poured",
            "0 qt is not an amount of a fluid. Type more than 0.",
        ),
        ("fluid_readings", {"bottle": ""}, "bottle", "bottle is empty, though poured is filled."),
        (
            "fluid_readings",
            {"read": "2026-11-04"},
            "read",
            "2026-11-04 is before the car came in, 2026-11-05.",
        ),
    ],
)
def test_what_no_tool_or_stick_can_show_is_told(
    name: str, cells: dict[str, str], column: str, sentence: str
) -> None:
    assert faults(**{name: [example(name, **cells)]}) == [(name, 2, column, sentence)]


def test_no_code_in_any_module_is_a_reading_too() -> None:
    assert faults(trouble_codes=[example("trouble_codes", codes="", complete="yes")]) == []


def test_low_brake_fluid_is_a_finding_and_has_to_name_it() -> None:
    brake = example("fluid_readings", fluid="brake", level="low", poured="", bottle="")
    found = faults(fluid_readings=[brake])
    assert [(row, column) for _, row, column, _ in found] == [(2, "finding")]
    assert found[0][3].endswith(": that is a finding, and none is named.")
    assert faults(fluid_readings=[brake | {"finding": "f1"}]) == []


def test_oil_that_only_fills_up_needs_no_finding() -> None:
    assert faults(fluid_readings=[example("fluid_readings", level="low", missing_eighths="")]) == []


def test_a_bottle_that_is_not_the_makers_keeps_the_sheets_out() -> None:
    wrong = [example("fluid_readings", bottle="20W-50 API SN")]
    assert [(name, column) for name, _, column, _ in faults(fluid_readings=wrong)] == [
        ("fluid_readings", "bottle")
    ]
