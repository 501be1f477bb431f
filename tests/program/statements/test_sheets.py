"""The trial balance and the funds as they are laid out."""

from __future__ import annotations

from program.statements.rows import Look
from program.statements.sheets import funds_sheet, trial_sheet
from tests.program.ledger.making import pairs
from tests.program.statements.booked import booked

HELD = [
    *pairs([("1010", "4010", 900), ("6010", "1010", 300), ("9010", "9020", 100)]),
    *pairs([("1010", "4030", 200), ("6030", "1010", 70), ("3210", "3220", 70)], "WIN"),
]


def test_a_balance_stands_on_its_side_and_both_sides_are_added_up() -> None:
    rows = {
        row.name: [one.cents for one in row.figures if one]
        for row in trial_sheet(booked(HELD)).rows
    }
    assert rows["1010 Checking account"] == [730_00, 0]
    assert rows["4010 Gifts of money from people"] == [0, 900_00]
    assert rows["Together"] == [1_270_00, 1_270_00]


def test_funds_stand_by_restriction_with_what_is_released_and_free() -> None:
    sheet = funds_sheet(booked(HELD))
    rows = {row.name: [one.cents for one in row.figures if one] for row in sheet.rows}
    assert [row.name for row in sheet.rows if row.look == Look.GROUP] == [
        "Without donor restriction",
        "With restriction",
    ]
    assert rows["GEN General fund"] == [0, 900_00, 300_00, 0, 600_00, 0, 100_00, 500_00]
    assert rows["WIN Winter collection"] == [0, 200_00, 70_00, 0, 130_00, 70_00, 0, 130_00]
    assert rows["Together"] == [0, 1_100_00, 370_00, 0, 730_00, 70_00, 100_00, 630_00]


def test_a_funds_figures_lead_to_its_transfers() -> None:
    books = booked(HELD)
    row = next(row for row in funds_sheet(books).rows if row.code == "WIN")
    asked = [(one.account, one.since) for one in row.figures if one and not one.plain]
    span = books.from_on
    assert asked == [
        ("", span),
        ("", span),
        ("3110", span),
        ("", None),
        ("3220", span),
        ("9020", None),
        ("", None),
    ]


def test_books_without_funds_have_no_lines() -> None:
    assert [row.name for row in funds_sheet(booked([], funds={})).rows] == ["Together"]
