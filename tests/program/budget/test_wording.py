from __future__ import annotations

from program.budget.variance import report
from program.budget.wording import lead, side, tie
from tests.program.budget.lines import Books, line, reported

BOOKS: Books = {(1, "GEN", "4010", ""): -300_00, (1, "GEN", "6010", "program"): 100_00}


def test_a_report_opens_with_how_the_year_stands_and_where_it_leads() -> None:
    found = reported([line(120_00)], BOOKS)
    assert lead(found, is_over=False) == (
        "So far $200.00 more in than out. Forecast for the year: $180.00 more in than out."
        " The budget: $120.00 more out than in."
    )
    assert lead(found, is_over=True) == (
        "The year ended with $200.00 more in than out. The budget: $120.00 more out than in."
    )


def test_a_year_without_a_line_has_no_budget_to_compare_with() -> None:
    found = reported([], BOOKS)
    assert lead(found, is_over=True) == (
        "The year ended with $200.00 more in than out. No line of a budget yet."
    )


def test_a_year_without_anything_says_so() -> None:
    assert lead(report([]), is_over=False) == "No line of a budget, and nothing booked."
    assert side(0) == "as much in as out"


def test_a_report_that_does_not_tie_says_by_how_much() -> None:
    assert tie(100, 100) == (
        "It ties: all rows together are the activities of the year in the ledger, $1.00, to the"
        " cent."
    )
    assert tie(100, 99) == (
        "It doesn’t tie: the rows make $0.99, the activities of the year $1.00."
    )
