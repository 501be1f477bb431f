"""The statement of activities as it is laid out."""

from __future__ import annotations

from datetime import date

from hypothesis import given

from program.statements.changes import activities_sheet
from program.statements.statements import activities
from tests.program.ledger.making import make_transfer, pairs
from tests.program.statements.booked import booked, books_drawn

HELD = [
    *pairs([("1010", "3010", 1000), ("1010", "4010", 900), ("7010", "1010", 300)]),
    *pairs([("1210", "4110", 80), ("6020", "1210", 50)]),
    *pairs([("1010", "4030", 200), ("6030", "1010", 70), ("3210", "3220", 70)], "WIN"),
]
LAST = {"from_on": date(2025, 1, 1), "until_on": date(2025, 12, 31)}


def rows(*held: object) -> dict[str, list[int | None]]:
    every = [*HELD, *held]
    sheet = activities_sheet(booked(every), booked(every, days=LAST))  # type: ignore[arg-type]  # transfers
    return {
        row.name: [figure and figure.cents for figure in row.figures]  # type: ignore[misc]  # or None
        for row in sheet.rows
    }


def test_gifts_in_kind_stand_on_lines_of_their_own() -> None:
    # ASU 2020-07 (text-seen).
    names = list(rows())
    assert names.index("Revenue together") < names.index("Gifts in kind")
    assert rows()["4110 Gifts of parts"] == [80_00, 0, 80_00, 0]


def test_a_release_moves_between_the_columns_and_comes_to_nothing() -> None:
    assert rows()["Released from restriction"] == [70_00, -70_00, 0, 0]


def test_expenses_stand_by_function_and_only_without_restriction() -> None:
    assert rows()["Program"] == [120_00, None, 120_00, 0]
    assert rows()["Management and general"] == [300_00, None, 300_00, 0]
    assert rows()["Expenses together"] == [420_00, None, 420_00, 0]


def test_the_last_lines_lead_from_the_start_to_the_end() -> None:
    assert list(rows().items())[-3:] == [
        ("Change in net assets", [630_00, 130_00, 760_00, 0]),
        ("Net assets at the start", [1_000_00, 0, 1_000_00, 0]),
        ("Net assets at the end", [1_630_00, 130_00, 1_760_00, 0]),
    ]


def test_an_account_that_moved_only_a_year_before_has_its_line() -> None:
    found = rows(make_transfer(credit="5020", cents=12_00, on=date(2025, 3, 1)))
    assert found["5020 Scrap and cores"] == [0, 0, 0, 12_00]
    assert found["Net assets at the end"] == [1_642_00, 130_00, 1_772_00, 12_00]


def test_a_part_of_an_account_that_no_list_shows_has_no_link() -> None:
    both = [*HELD, *pairs([("1010", "4030", 10)])]
    sheet = activities_sheet(booked(both), booked([]))
    (grants,) = [row for row in sheet.rows if row.code == "4030"]
    assert [figure.plain for figure in grants.figures if figure] == [True, True, False, True]


@given(books_drawn())
def test_the_lines_add_up_to_the_change(held: list) -> None:  # type: ignore[type-arg]  # of transfers
    books = booked(held)
    sheet = activities_sheet(books, booked([]))
    sums = {row.name: row.figures[2].cents for row in sheet.rows if row.figures[2]}
    came = sum(sums.get(name, 0) for name in ("Revenue together", "Gifts in kind together"))
    moved = sums.get("Moved between funds", 0) + sums.get("Released from restriction", 0)
    assert came + moved - sums["Expenses together"] == activities(books).change.total
