from __future__ import annotations

import pytest

from program.importing.check import check
from program.importing.known import Facts, Known
from program.importing.reading import read_sheet
from program.importing.rows import Key
from program.importing.sheets import SHEETS
from tests.program.importing.samples import example, many, sheet, templates, told, with_cells

#: The bad input that the program is asked to answer with a sentence, each in one cell.
BAD_INPUT = [
    (
        "readings",
        {"value": "12 psi", "unit": ""},
        "value",
        "Tread depth is read in 32nds of an inch or millimeters, not psi.",
    ),
    (
        "readings",
        {"value": "99", "unit": "32nds"},
        "value",
        "Tread depth of 99/32 in is not possible. Type 0 to ",
    ),
    ("readings", {"value": "a lot", "unit": ""}, "value", "“a lot” is not a number."),
    ("readings", {"position": "middle"}, "position", "“middle” is no place of Tread depth."),
    ("readings", {"criterion": "tread"}, "criterion", "“tread” is not a criterion of the"),
    ("pledges", {"quantity": "0"}, "quantity", "0 is not possible; it lies between 1 and 99."),
    (
        "ledger_entries",
        {"debit": "6010", "credit": "1010", "amount_usd": "9,000.00"},
        "amount_usd",
        "The general fund would be $6,600.00 below zero on 2026-11-14.",
    ),
    ("repair_items", {"needs_first": "i1"}, "needs_first", "“Replace the radiator” needs itself."),
]


@pytest.mark.parametrize(("name", "cells", "column", "sentence"), BAD_INPUT)
def test_bad_input_is_answered_with_a_sentence(
    name: str, cells: dict[str, str], column: str, sentence: str
) -> None:
    (fault,) = check(with_cells(name, **cells), Facts()).faults
    assert (fault.sheet, fault.row, fault.column) == (name, 2, column)
    assert fault.sentence.startswith(sentence)
    assert fault.value == cells[column]
    assert fault.remedy


def test_a_reading_is_judged_in_the_unit_that_was_typed() -> None:
    found = check(with_cells("readings", value="1.5 mm", unit=""), Facts())
    # Source: 49 CFR 570.9(a), 2/32 in of tread; 1.5 mm is 1.89/32 in.
    assert found.judgments["r1"].deficiency.value == "dangerous"
    assert str(found.judgments["r1"].sentence).startswith("1.5 mm of tread")


def test_every_problem_of_every_sheet_is_listed_in_the_order_of_the_sheets() -> None:
    contents = templates(
        hours=sheet("hours", [example("hours", hours="200", week="2026-12-01")]),
        bays=b"name\nBay 1\n",
        pledges=sheet("pledges", [example("pledges", quantity="0", sponsor="s2")]),
    )
    assert [fault[:3] for fault in told(check(contents, Facts()))] == [
        ("hours", 2, "hours"),
        ("hours", 2, "week"),
        ("bays", 1, "ref"),
        ("equipment", 2, "bay"),
        ("pledges", 2, "quantity"),
        ("pledges", 2, "sponsor"),
    ]


def test_a_ref_stands_once_in_its_sheet() -> None:
    rows = [example("bays"), example("bays", name="Bay 2")]
    assert told(check(templates(bays=sheet("bays", rows)), Facts())) == [
        ("bays", 3, "ref", "Row 2 has the same ref already.")
    ]


def known(contents: dict[str, bytes]) -> dict[Key, Known]:
    return {
        row.key: Known(number, row.fingerprint())
        for number, name in enumerate(contents, start=1)
        for row in read_sheet(SHEETS[name], contents[name])[0]
    }


def test_known_rows_are_counted_and_not_written_again() -> None:
    contents = {"bays": sheet("bays", [example("bays"), example("bays", ref="b2", name="Two")])}
    there = known({"bays": sheet("bays", [example("bays")])})
    found = check(contents, Facts(program={}, known=there))
    assert found.counts == {"bays": {"new": 1, "known": 1, "left_out": 0}}
    assert [row.ref for row in found.new["bays"]] == ["b2"]


def test_a_known_row_with_other_values_is_a_problem() -> None:
    there = known({"bays": sheet("bays", [example("bays", name="Bay 9")])})
    found = check({"bays": sheet("bays", [example("bays")])}, Facts(program={}, known=there))
    assert told(found) == [
        ("bays", 2, "ref", "The row bays:b1 was imported before with other values.")
    ]


def test_a_new_row_may_name_a_row_of_an_earlier_import() -> None:
    there = {Key("people", "p1"): Known(7, "")}
    contents = {"hours": sheet("hours", [example("hours")])}
    assert told(check(contents, Facts(program={}, known=there))) == []


def test_a_name_that_is_taken_on_a_page_is_told() -> None:
    facts = Facts(program={}, taken={"bays": frozenset({"Bay 1"})})
    assert told(check({"bays": sheet("bays", [example("bays")])}, facts)) == [
        ("bays", 2, "name", "“Bay 1” is on record already, from no row of this ref.")
    ]


def test_rows_left_out_are_counted_and_not_checked() -> None:
    contents = {"bays": sheet("bays", [example("bays", has_lift="perhaps")])}
    found = check(contents, Facts(program={}), leave_out=[Key("bays", "b1")])
    assert told(found) == []
    assert found.counts == {"bays": {"new": 0, "known": 0, "left_out": 1}}


def test_a_row_to_leave_out_that_is_not_there_is_told() -> None:
    found = check(templates(), Facts(), leave_out=[Key("bays", "b7")])
    assert told(found) == [("bays", 0, "", "There is no row bays:b7 to leave out.")]


def test_an_empty_database_takes_its_program_from_the_sheet() -> None:
    assert told(check(templates(program=None), Facts())) == [
        ("program", 0, "", "There is no program yet, and no sheet that names it.")
    ]


def test_a_program_that_is_there_is_not_made_twice() -> None:
    contents = {"program": sheet("program", [example("program")])}
    same = check(contents, Facts(program={"name": "Osier Street Garage"}))
    assert told(same) == []
    assert same.new == {"program": ()}
    assert same.adopted is not None
    other = check(contents, Facts(program={"name": "Mill Lane Wheels"}))
    assert told(other) == [("program", 2, "name", "The program’s name is “Mill Lane Wheels” here.")]


def test_a_second_program_is_refused() -> None:
    rows = [example("program"), example("program", ref="g2")]
    assert told(check(templates(program=sheet("program", rows)), Facts())) == [
        ("program", 3, "ref", "A second program can’t be in one installation.")
    ]


def test_an_item_clears_no_reading_that_shows_nothing_wrong() -> None:
    contents = templates(
        readings=sheet("readings", [example("readings", value="9/32")]),
        repair_items=sheet("repair_items", [example("repair_items", clears="f1; r1")]),
    )
    assert told(check(contents, Facts())) == [
        (
            "repair_items",
            2,
            "clears",
            "The reading r1 shows nothing wrong, so there is nothing to clear.",
        )
    ]


def test_progress_is_told_and_ends_at_the_last_row() -> None:
    heard: list[tuple[str, int, int]] = []
    check(many(50), Facts(), progress=lambda *words: heard.append(words))
    assert [done for _, done, _ in heard] == [500, 1000, 1284]
    assert heard[-1] == ("budget_lines", 1284, 1284)
