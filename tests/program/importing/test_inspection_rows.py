from __future__ import annotations

import datetime as dt
from typing import TYPE_CHECKING

import pytest

from program.importing.check import check
from program.importing.known import Facts
from tests.program.importing.samples import (
    example,
    sheet,
    sheet_import,
    templates,
    told,
    with_cells,
)
from vehicles.models import Inspection, NotRead, RepairItem

if TYPE_CHECKING:
    from pathlib import Path

pytestmark = pytest.mark.django_db


def faults(**rows: list[dict[str, str]]) -> list[tuple[str, int, str, str]]:
    changed = {name: sheet(name, found) for name, found in rows.items()}
    return told(check(templates(**changed), Facts()))


def test_why_a_point_was_not_read_is_kept_and_names_a_place_there_is(tmp_path: Path) -> None:
    sheet_import(tmp_path, templates())
    row = NotRead.objects.get()
    assert (row.criterion, row.position, row.final) == ("wheel-nuts", "LF", False)
    assert (row.because, str(row.by)) == (
        "The key of the wheel lock is missing.",
        "Rosalind Amadi",
    )
    assert faults(not_read=[example("not_read", position="top")]) == [
        ("not_read", 2, "position", "“top” is no place of Wheel nuts.")
    ]


def test_an_inspection_is_ended_by_whoever_had_it_in_hand(tmp_path: Path) -> None:
    contents = templates()
    people = [example("people"), example("people", ref="p2", name="Sten Voss")]
    contents["people"] = sheet("people", people)
    contents["inspections"] = sheet("inspections", [example("inspections", in_hand="p2")])
    sheet_import(tmp_path, contents)
    row = Inspection.objects.get()
    assert (str(row.begun_by), str(row.hands), str(row.ended_by)) == (
        "Rosalind Amadi",
        "Sten Voss",
        "Sten Voss",
    )
    assert (row.depth, row.unread, row.begun_at.date()) == ("full", 31, dt.date(2026, 11, 6))


def test_an_inspection_that_left_nothing_unread_says_none(tmp_path: Path) -> None:
    sheet_import(tmp_path, with_cells("inspections", unread="0"))
    assert Inspection.objects.get().unread == 0


def test_one_sheet_of_a_stay_is_open_at_a_time() -> None:
    still = {"ended": "", "unread": ""}
    rows = [
        example("inspections", depth="look", **still),
        example("inspections", ref="in2", **still),
    ]
    assert faults(inspections=rows) == [
        ("inspections", 3, "ended", "The sheet of row 2 is open for this stay too.")
    ]
    assert faults(inspections=[example("inspections"), rows[1]]) == []


@pytest.mark.parametrize(
    ("cells", "column", "sentence"),
    [
        (
            {"depth": "final"},
            "odometer_mi",
            "odometer_mi is empty, though depth is final.",
        ),
        ({"odometer_mi": "148220"}, "odometer_mi", "Only the final sheet notes the odometer."),
        ({"unread": ""}, "unread", "unread is empty, though ended is filled."),
        ({"ended": "2026-11-05"}, "ended", "ended is 2026-11-05, before begun, 2026-11-06."),
    ],
)
def test_what_an_inspection_needs_is_told(
    cells: dict[str, str], column: str, sentence: str
) -> None:
    assert faults(inspections=[example("inspections", **cells)]) == [
        ("inspections", 2, column, sentence)
    ]


def test_an_item_names_an_operation_of_the_catalogue(tmp_path: Path) -> None:
    sheet_import(tmp_path, templates())
    assert RepairItem.objects.get().operation == "radiator"
    assert faults(repair_items=[example("repair_items", operation="radiatr")]) == [
        (
            "repair_items",
            2,
            "operation",
            "“radiatr” is not a repair operation. Likely meant: radiator.",
        )
    ]
