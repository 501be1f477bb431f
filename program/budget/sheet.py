"""The budget report as rows of a sheet, one line each, with its months."""

from __future__ import annotations

from typing import TYPE_CHECKING

from program.ledger.chart import load
from program.ledger.csv_text import amount, csv_text

if TYPE_CHECKING:
    from program.budget.queries import Shown
    from program.budget.variance import Row
    from program.ledger.csv_text import Cell

HEADINGS = (
    *("kind", "account", "name", "fund", "function", "has_line", "budget", "to_date", "actual"),
    *("difference", "set_aside", "left", "year_end", "year_end_difference"),
)


def budget_csv(shown: Shown) -> str:
    """Return every row of the report as CSV: its sums, then its months of budget and actual."""
    months = [f"{month:%Y-%m}" for month in shown.year.months]
    heads = [
        *HEADINGS,
        *(f"budget_{month}" for month in months),
        *(f"actual_{month}" for month in months),
    ]
    report = shown.report
    return csv_text(heads, [_cells(row) for row in (*report.income, *report.expense)])


def _cells(row: Row) -> list[Cell]:
    figures = (
        *(row.budget, row.to_date, row.actual, row.difference, row.committed),
        *(row.left, row.forecast, row.outcome, *row.planned, *row.happened),
    )
    return [
        "income" if row.income else "expense",
        row.account,
        load()[row.account].name,
        row.fund,
        row.function,
        "no" if row.line is None else "yes",
        *(amount(cents) for cents in figures),
    ]
