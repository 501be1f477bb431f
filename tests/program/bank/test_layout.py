"""Which column holds what, guessed from headings and what stands below them."""

from __future__ import annotations

import pytest

from program.bank.layout import Hold, Layout, check, guess
from program.bank.statement_file import read_table
from program.bank.values import DayOrder


def guessed(text: str) -> list[str]:
    table = read_table(text.encode())
    layout = guess(table)
    return [str(layout.columns[name]) for name in table.headings]


@pytest.mark.parametrize(
    ("text", "holds"),
    [
        (
            "Date,Description,Check number,Amount,Balance\n10/02/2026,RENT,1188,-7.00,1.00\n",
            ["day", "words", "reference", "amount", "balance"],
        ),
        (
            "Posting date;Details;Debit;Credit\n02.10.2026;RENT;7.00;\n03.10.2026;A;;1.00\n",
            ["day", "words", "out", "in"],
        ),
        (
            "Day,Type,Amount,Payee,Memo\n2026-10-02,Debit,7.00,RENT,October\n",
            ["day", "side", "amount", "words", "words"],
        ),
        ("When,What,How much\n2026-10-02,RENT,-7.00\n", ["day", "words", "nothing"]),
    ],
)
def test_a_layout_is_guessed(text: str, holds: list[str]) -> None:
    assert guessed(text) == holds


def test_a_second_date_is_not_taken_for_the_day() -> None:
    text = "Date,Posted,Amount\n2026-10-02,2026-10-03,-7.00\n"
    assert guessed(text) == ["day", "nothing", "amount"]


def test_a_heading_alone_does_not_make_an_amount() -> None:
    assert guessed("Date,Amount\n2026-10-02,seven\n") == ["day", "words"]
    assert guessed("Date,Amount\n2026-10-02,seven\n2026-10-03,8.00\n") == ["day", "words"]


def test_a_cell_that_cannot_be_read_leaves_its_column_what_the_heading_says() -> None:
    text = "Date,Amount,Kind\n10/13/2026,1.00,debit\n10/14,2x,debit\n10/14/2026,3.00,credit\n"
    layout = guess(read_table(text.encode()))
    assert [str(layout.columns[name]) for name in ("Date", "Amount")] == ["day", "amount"]
    assert layout.days == DayOrder.MONTH_FIRST


def test_the_order_of_days_is_the_one_that_fits_every_row() -> None:
    table = read_table(b"Date,Amount\n13.10.2026,1\n02.10.2026,2\n")
    assert guess(table).days == DayOrder.DAY_FIRST


@pytest.mark.parametrize(
    ("holds", "sentences"),
    [
        ([Hold.DAY, Hold.AMOUNT], []),
        ([Hold.DAY, Hold.IN, Hold.OUT, Hold.WORDS, Hold.WORDS], []),
        (
            [Hold.WORDS],
            [
                "Say which column holds the day.",
                "Say which column holds the amount, or which hold money in and money out.",
            ],
        ),
        (
            [Hold.DAY, Hold.AMOUNT, Hold.IN],
            ["Choose one amount, or money in and money out, not both."],
        ),
        ([Hold.DAY, Hold.DAY, Hold.AMOUNT], ["Two columns are said to hold the day."]),
    ],
)
def test_what_a_layout_lacks_is_said(holds: list[Hold], sentences: list[str]) -> None:
    layout = Layout(columns={str(place): hold for place, hold in enumerate(holds)})
    assert [str(problem.sentence) for problem in check(layout)] == sentences


def test_a_column_without_a_telling_heading_may_say_in_or_out() -> None:
    assert guessed("Day,Amount,What\n2026-10-02,7.00,Debit\n2026-10-03,1.00,Credit\n") == [
        "day",
        "amount",
        "side",
    ]


def test_days_that_fit_no_order_are_taken_year_first() -> None:
    assert guess(read_table(b"Date,Amount\n2 October,7.00\n")).days == DayOrder.YEAR_FIRST
