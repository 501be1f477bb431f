from __future__ import annotations

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
)
from vehicles.models import Finding, LocalLimit, Reading

if TYPE_CHECKING:
    from pathlib import Path

pytestmark = pytest.mark.django_db


def limit(**cells: str) -> dict[str, str]:
    """Return the row of a limit of 3/32 in of tread, stricter than 49 CFR 570.9(a)."""
    own = {"criterion": "tire-tread", "reason": "5.2.3 e.2", "value": "3/32 in"}
    return example("local_limits", **own | {"since": "2026-11-06"} | cells)


def read(**cells: str) -> dict[str, str]:
    return example("readings", **{"value": "2/32", "read": "2026-11-06"} | cells)


def faults(**rows: list[dict[str, str]]) -> list[tuple[str, int, str, str]]:
    changed = {name: sheet(name, found) for name, found in rows.items()}
    return told(check(templates(**changed), Facts()))


def test_a_local_limit_judges_from_its_day_on_and_both_limits_are_kept(tmp_path: Path) -> None:
    rows = [read(read="2026-11-05"), read(ref="r2", position="RF")]
    contents = templates(
        local_limits=sheet("local_limits", [limit()]), readings=sheet("readings", rows)
    )
    sheet_import(tmp_path, contents)
    before, since = Reading.objects.order_by("pk")
    # Source: 49 CFR 570.9(a), 2/32 in of tread is not below 2/32 in.
    assert (before.deficiency, before.shipped_limit) == ("none", "")
    assert (since.deficiency, since.sentence) == (
        "dangerous",
        "2/32 in of tread, the limit is 3/32 in.",
    )
    assert (since.shipped_limit, since.limit_because) == (
        "2/32 in",
        "Policy of the program; larger chips spread in frost.",
    )


def test_a_limit_that_has_ended_judges_no_more(tmp_path: Path) -> None:
    ended = limit(since="2026-01-05", ended="2026-11-06")
    contents = templates(
        local_limits=sheet("local_limits", [ended]), readings=sheet("readings", [read()])
    )
    sheet_import(tmp_path, contents)
    assert Reading.objects.get().deficiency == "none"


def test_a_limit_of_an_earlier_import_judges_later_sheets(tmp_path: Path) -> None:
    contents = templates(readings=None, not_read=None, parts=None, repair_items=None)
    sheet_import(tmp_path, contents | {"local_limits": sheet("local_limits", [limit()])})
    assert LocalLimit.objects.get().typed == "3/32 in"
    sheet_import(tmp_path, templates(local_limits=None) | {"readings": sheet("readings", [read()])})
    assert Reading.objects.get().deficiency == "dangerous"


@pytest.mark.parametrize(
    ("cells", "sentence"),
    [
        ({"reason": "5.2.3 z"}, "“Tread depth” has no limit for “5.2.3 z”."),
        ({"value": "2/32 in"}, "2/32 in already is the limit of “Tread depth”."),
        (
            {"value": "1/32 in"},
            (
                "1/32 in is looser than the shipped 2/32 in. "
                "Name the section of the law that allows it."
            ),
        ),
        ({"criterion": "horn"}, "“Horn” is not measured; it has no limit."),
    ],
)
def test_a_limit_that_the_page_would_refuse_is_told(cells: dict[str, str], sentence: str) -> None:
    assert faults(local_limits=[limit(**cells)]) == [("local_limits", 2, "value", sentence)]


def test_a_final_reading_stands_beside_the_one_of_the_full_sheet(tmp_path: Path) -> None:
    rows = [read(), read(ref="r2", value="9/32", final="yes")]
    sheet_import(tmp_path, templates(readings=sheet("readings", rows)))
    finals = Reading.objects.order_by("pk").values_list("final", flat=True)
    assert list(finals) == [False, True]


def test_what_the_final_sheet_does_not_ask_is_not_read_there() -> None:
    row = read(criterion="tire-age", value="4", unit="", final="yes")
    assert faults(readings=[row]) == [
        ("readings", 2, "final", "Tire age is not on the final sheet.")
    ]


def test_a_point_that_was_read_is_not_called_unread() -> None:
    row = example("not_read", criterion="tire-tread", position="LF")
    assert faults(not_read=[row]) == [
        ("not_read", 2, "criterion", "The row readings:r1 has read this point.")
    ]
    assert faults(not_read=[row | {"final": "yes"}]) == []


def test_a_final_reading_that_is_wrong_makes_its_own_finding(tmp_path: Path) -> None:
    rows = [read(), read(ref="r2", value="1/32", final="yes")]
    sheet_import(tmp_path, templates(readings=sheet("readings", rows)))
    found = Finding.objects.get(reading__final=True)
    assert found.deficiency == "dangerous"
