"""Expenses by nature and function."""

from __future__ import annotations

from hypothesis import given

from program.ledger.chart import Kind
from program.statements.functional import classes, expenses, functional_sheet, matrix, totals
from tests.program.ledger.making import CHART, pairs
from tests.program.published import published
from tests.program.statements.booked import booked, books_drawn

PUBLISHED = [("6010", "1010", 23000), ("6030", "1010", 26000), ("7010", "1010", 4000)]


def test_a_published_exercises_functions_are_told_apart() -> None:
    # RF-01: textbook exercise, fiscal year to June 30, 2019 (text-seen): two programs, management
    # and general, fundraising.
    spent = published()["RF-01"].inputs["expenses"]
    books = booked(pairs([*PUBLISHED, ("8010", "1010", 2000)]))
    assert totals(expenses(books)) == {
        "fundraising": spent["fundraising"] * 100,
        "management": spent["mgmt_general"] * 100,
        "program": (spent["program_a"] + spent["program_b"]) * 100,
    }


def test_a_class_named_by_a_transfer_stands_beside_the_usual_one() -> None:
    cells = {("GEN", "7010", "management"): 500, ("WIN", "7010", "program"): 200}
    assert matrix(cells) == {"7010": {"management": 500, "program": 200}}


def test_what_is_in_no_class_is_shown_only_when_it_is_there() -> None:
    assert classes({"6010": {"program": 5}}) == ["program", "management", "fundraising"]
    assert classes({"6010": {"": 5}}) == ["program", "management", "fundraising", ""]


def test_accounts_that_come_to_nothing_are_left_out() -> None:
    assert matrix({("GEN", "7010", "program"): 5, ("WIN", "7010", "program"): -5}) == {}


def test_each_cell_leads_to_its_account_and_class() -> None:
    books = booked(pairs(PUBLISHED))
    sheet = functional_sheet(books)
    first = sheet.rows[0].figures[0]
    assert first is not None
    assert (first.account, first.function, first.since, first.until) == (
        "6010",
        "program",
        books.from_on,
        books.until_on,
    )
    assert [figure.cents for figure in sheet.rows[-1].figures if figure] == [
        49_000_00,
        4_000_00,
        0,
        53_000_00,
    ]


@given(books_drawn())
def test_the_table_adds_up_both_ways(held: list) -> None:  # type: ignore[type-arg]  # of transfers
    books = booked(held)
    rows = expenses(books)
    spent = sum(n for c, n in books.span.accounts().items() if CHART[c].kind == Kind.EXPENSE)
    assert sum(sum(row.values()) for row in rows.values()) == spent == sum(totals(rows).values())
