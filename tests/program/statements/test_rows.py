"""The one shape of every statement."""

from __future__ import annotations

from program.statements.rows import Figure, Look, capital, held, line, moved, over, plain, summed
from tests.program.statements.booked import booked


def test_a_row_is_named_by_its_code_and_label() -> None:
    assert line("Grants", [], code="4030").name == "4030 Grants"
    assert line("Program", []).name == "Program"


def test_a_heading_has_no_figures_and_a_sum_has_no_transfers() -> None:
    assert over("Revenue", 3).figures == (None, None, None)
    row = summed("Together", [5, None])
    assert (row.look, row.figures) == (Look.SUM, (Figure(cents=5, plain=True), None))


def test_a_balance_has_no_first_day_and_a_change_has() -> None:
    books = booked([])
    assert held(books, 5, account="1010") == Figure(cents=5, account="1010", until=books.until_on)
    assert moved(books, 5, case="26-041") == Figure(
        cents=5, case="26-041", since=books.from_on, until=books.until_on
    )


def test_a_balance_of_nothing_in_particular_has_no_transfers() -> None:
    assert held(booked([]), 5) == plain(5)


def test_a_funds_name_is_capital_only_at_its_start() -> None:
    assert capital("winter collection of St. Alban") == "Winter collection of St. Alban"
