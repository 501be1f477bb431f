from __future__ import annotations

import pytest

from program.importing.check import check
from program.importing.known import Facts
from program.importing.relations import circles
from program.importing.rows import Key, Row
from tests.program.importing.samples import example, sheet, templates, told, with_cells


def faults(name: str, *rows: dict[str, str], leave_out: tuple[Key, ...] = ()) -> list[object]:
    contents = templates(**{name: sheet(name, rows)})
    return list(told(check(contents, Facts(), leave_out=leave_out)))


def item(ref: str, first: str, title: str) -> dict[str, str]:
    return example("repair_items", ref=ref, needs_first=first, title=title)


def test_a_ref_that_leads_nowhere_is_told() -> None:
    assert faults("hours", example("hours", person="p9")) == [
        ("hours", 2, "person", "There is no row “p9” in people.")
    ]
    assert faults("repair_items", example("repair_items", clears="f1; f7")) == [
        (
            "repair_items",
            2,
            "clears",
            "There is no row “f7” in findings or readings or conclusions.",
        )
    ]


def test_a_repair_item_that_needs_itself_is_told_with_its_name() -> None:
    assert faults("repair_items", item("i1", "i1", "Replace the radiator")) == [
        ("repair_items", 2, "needs_first", "“Replace the radiator” needs itself.")
    ]


def test_items_that_need_one_another_are_told_with_the_whole_circle() -> None:
    rows = (item("i1", "i2", "Pump"), item("i2", "i3", "Belt"), item("i3", "i1", "Cover"))
    assert faults("repair_items", *rows) == [
        ("repair_items", 2, "needs_first", "“Pump” needs itself, by way of “Belt”, “Cover”.")
    ]


def test_each_circle_is_told_and_not_only_the_first() -> None:
    pairs = [("a", "b"), ("b", "a"), ("c", "d"), ("d", "c"), ("e", "e")]
    rows = [
        Row(
            sheet="repair_items",
            number=number,
            ref=ref,
            values={"title": ref.upper(), "needs_first": (first,)},
        )
        for number, (ref, first) in enumerate(pairs, start=2)
    ]
    assert [fault.sentence for fault in circles(rows)] == [
        "“E” needs itself.",
        "“A” needs itself, by way of “B”.",
        "“C” needs itself, by way of “D”.",
    ]


def test_findings_that_cause_one_another_are_told() -> None:
    rows = (
        example("findings", ref="f1", caused_by="f2"),
        example("findings", ref="f2", caused_by="f1"),
    )
    assert faults("findings", *rows) == [
        ("findings", 2, "caused_by", "“f1” needs itself, by way of “f2”.")
    ]


def two_cars(**item_cells: str) -> list[object]:
    contents = templates(
        vehicles=sheet(
            "vehicles",
            [example("vehicles"), example("vehicles", ref="v2", vin="", plate="")],
        ),
        cases=sheet(
            "cases",
            [example("cases"), example("cases", ref="c2", number="26-042", vehicle="v2")],
        ),
        repair_items=sheet(
            "repair_items",
            [example("repair_items"), example("repair_items", **{"ref": "i2"} | item_cells)],
        ),
    )
    return list(told(check(contents, Facts())))


def test_an_item_clears_only_what_was_found_on_its_own_car() -> None:
    assert two_cars(case="c2") == [
        ("repair_items", 3, "clears", "findings:f1 belongs to another car than c2.")
    ]
    assert two_cars(case="c2", clears="", needs_first="i1") == [
        ("repair_items", 3, "needs_first", "repair_items:i1 belongs to another car than c2.")
    ]
    assert two_cars(case="c1") == []


def test_nothing_is_read_on_a_car_that_has_not_come() -> None:
    assert faults("readings", example("readings", read="2026-11-04")) == [
        ("readings", 2, "read", "2026-11-04 is before the car came in, 2026-11-05.")
    ]
    found = told(check(with_cells("cases", arrived="", step="", complaint=""), Facts()))
    assert found[0] == ("consents", 2, "case", "The car of c1 has not arrived.")


@pytest.mark.parametrize(
    ("name", "cells", "column", "sentence"),
    [
        ("bays", {}, "name", "Row 2 has the same name already."),
        ("hours", {}, "person", "Row 2 has the same person and week already."),
        ("funds", {"name": "other"}, "code", "Row 2 has the same code already."),
        (
            "readings",
            {"value": "2/32"},
            "case",
            "Row 2 has the same case and criterion and position and final already.",
        ),
        ("opening_balances", {}, "fund", "Row 2 has the same fund and account already."),
    ],
)
def test_what_stands_once_is_not_said_twice(
    name: str, cells: dict[str, str], column: str, sentence: str
) -> None:
    twice = (example(name), example(name, ref="zz", **cells))
    assert (name, 3, column, sentence) in faults(name, *twice)


def test_a_vehicle_has_one_open_case_and_one_open_stay() -> None:
    twice = (example("cases"), example("cases", ref="c2", number="26-042"))
    assert faults("cases", *twice) == [
        ("cases", 3, "vehicle", "v1 has case 26-041 in which closed is empty too."),
        ("cases", 3, "vehicle", "v1 has case 26-041 in which left is empty too."),
    ]


def test_a_row_that_names_one_left_out_is_left_out_too_or_told() -> None:
    out = (Key("sponsors", "s1"),)
    assert faults("sponsors", example("sponsors"), leave_out=out) == [
        ("pledges", 2, "sponsor", "The row sponsors:s1 was left out, and this row names it.")
    ]
    both = (*out, Key("pledges", "d1"))
    assert faults("sponsors", example("sponsors"), leave_out=both) == []
