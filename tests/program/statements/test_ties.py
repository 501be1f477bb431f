"""That the statements tie, that each check can fail, and what a failure says."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest
from hypothesis import given

from program.ledger.chart import Account, Kind, Role, chart
from program.ledger.ledger import Balances
from program.statements.outlays import outlays
from program.statements.statements import TrialLine, trial_balance
from program.statements.ties import ties
from tests.program.ledger.making import CHART, make_transfer, pairs
from tests.program.ledger.textbook import MONTH, journal, names_chart
from tests.program.published import published
from tests.program.statements.booked import booked, books_drawn, failing, found

if TYPE_CHECKING:
    from program.ledger.ledger import Transfer

YEAR_OF_A_SHOP = [
    *pairs([("1010", "4010", 9000), ("6010", "1010", 1200), ("7010", "1010", 300)]),
    *pairs([("1210", "4110", 800), ("6020", "1210", 500), ("9010", "9020", 250)]),
    *pairs([("1010", "4030", 2000), ("6030", "1010", 700), ("3210", "3220", 700)], "WIN"),
]


def names(*failed: object) -> list[str]:
    return [str(tie.what) for tie in failed]  # type: ignore[attr-defined]  # ties


def test_a_years_books_tie_in_every_check() -> None:
    checks = ties(found(booked(YEAR_OF_A_SHOP)))
    assert [tie.holds for tie in checks] == [True] * 11
    assert names(*checks)[:2] == [
        "Debits equal credits in the trial balance.",
        "Moves between funds come to zero.",
    ]


@given(books_drawn())
def test_any_books_that_posting_allows_tie(held: list[Transfer]) -> None:
    assert failing(booked(held)) == []


def test_a_trial_balance_out_on_one_side_is_told_with_both_sums() -> None:
    # OpenStax Vol. 1 sec. 3.6 (text-seen): dividends of 100 on the credit side put it out by 200.
    expected = published()["TB-11"].expected
    held = journal("TB-01")
    books = booked(held, names_chart(held), days=MONTH)
    wrong = [
        TrialLine(account=line.account, debit=line.credit, credit=line.debit)
        if line.account == "Dividends"
        else line
        for line in trial_balance(books)
    ]
    (tie,) = failing(books, trial=wrong)
    assert tie.out == -expected["difference"] * 100
    assert str(tie.sentence) == "Out by $200.00: $33,900.00 and $34,100.00."


def test_money_from_nowhere_breaks_more_than_one_check() -> None:
    books = booked(YEAR_OF_A_SHOP)
    cells = dict(books.now.cells) | {("GEN", "1020"): 1_00}
    broken = replace(books, now=Balances(cells=cells))
    assert names(*failing(broken)) == [
        "Debits equal credits in the trial balance.",
        "Net assets without restriction: activities and position.",
        "Net assets: position and all funds together.",
    ]


def test_an_expense_missing_from_the_table_by_function_is_told() -> None:
    books = booked(YEAR_OF_A_SHOP)
    fewer = {cell: n for cell, n in books.functions.items() if cell[1] != "7010"}
    (tie,) = failing(replace(books, functions=fewer))
    assert str(tie.sentence) == "Out by $300.00: $2,700.00 and $2,400.00."


def test_a_release_of_one_side_is_told() -> None:
    held = [*YEAR_OF_A_SHOP, *pairs([("3210", "1010", 40)], "WIN")]
    assert names(*failing(booked(held))) == ["What left restriction arrived without it."]


def test_restricted_money_spent_and_not_released_names_its_fund() -> None:
    held = pairs([("1010", "4010", 500), ("6010", "1010", 120), ("3210", "3220", 100)], "WIN")
    (tie,) = failing(booked(held))
    assert (str(tie.what), tie.left, tie.where) == (
        "Restricted money spent and not released.",
        20_00,
        "winter collection",
    )


def test_a_gift_in_kind_outside_every_category_is_told() -> None:
    new = Account(code="4140", name="Gifts of rent", kind=Kind.INCOME, role=Role.IN_KIND)
    held = [*YEAR_OF_A_SHOP, make_transfer(debit="6070", credit="4140", cents=900_00)]
    books = booked(held, chart([*CHART.values(), new]))
    (tie,) = failing(books)
    assert (tie.left, tie.right) == (1_700_00, 800_00)


def test_a_move_that_reached_no_other_fund_is_told() -> None:
    held = [*YEAR_OF_A_SHOP, *pairs([("3110", "1010", 60)])]
    assert names(*failing(booked(held))) == ["Moves between funds come to zero."]


def test_a_commitment_the_ledger_lacks_is_told() -> None:
    (tie,) = failing(booked(YEAR_OF_A_SHOP), standing=300_00)
    assert str(tie.sentence) == "Out by $50.00: $250.00 and $300.00."


def test_cost_of_cases_that_leaves_out_an_expense_is_told() -> None:
    books = booked(YEAR_OF_A_SHOP)
    (tie,) = failing(books, outlays=outlays({(7, "6010"): 1_200_00}, {7: "26-041"}, {}))
    assert (tie.left, tie.right) == (2_700_00, 1_200_00)


@pytest.mark.parametrize("part", ["outlays", "standing"])
def test_what_was_not_read_is_not_checked(part: str) -> None:
    assert len(ties(found(booked(YEAR_OF_A_SHOP), **{part: None}))) == 10
