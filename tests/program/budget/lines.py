"""Lines, months and books of a budget for tests; every default is valid."""

from __future__ import annotations

import datetime as dt
from typing import Any

from program.budget.fiscal import Year, year_as_of
from program.budget.models import BudgetLine
from program.budget.variance import Line, Months, Report, Row, report, rows_of, spread
from program.ledger.chart import load
from program.models import Commitment, Fund
from tests.factories import make_case, make_entry, make_item, make_program

TODAY = dt.date(2026, 11, 30)
YEAR = year_as_of(2026, first_month=1, today=TODAY)
Books = dict[
    tuple[int, str, str, str], int
]  # month, fund, account, function -> cents, debit positive


def line(cents: int, account: str = "6010", *, id: int = 1, **fields: Any) -> Line:  # noqa: A002  # the name of the field
    """Return a line that spreads `cents` evenly."""
    return Line(id=id, account=account, months=spread(cents), **fields)


def happened(books: Books, year: Year = YEAR) -> dict[tuple[dt.date, str, str, str], int]:
    """Return books with the first day of each month instead of its number, from 1."""
    return {(year.months[n - 1], *cell): cents for (n, *cell), cents in books.items()}  # type: ignore[misc]  # three texts


def rows(
    lines: list[Line],
    books: Books,
    committed: dict[tuple[str, str, str], int] | None = None,
    year: Year = YEAR,
) -> list[Row]:
    """Return the rows of a report."""
    return rows_of(lines, happened(books, year), committed or {}, load(), year)


def reported(lines: list[Line], books: Books, **fields: Any) -> Report:
    """Return a report."""
    return report(rows(lines, books, **fields))


def make_line(cents: int = 120_00, months: Months = (), **fields: Any) -> BudgetLine:
    """Return a line of 2026 for parts of any fund."""
    months = months or spread(cents)
    defaults: dict[str, Any] = {"program": make_program(), "year": 2026, "account": "6010"}
    return BudgetLine.objects.create(**defaults | fields, months=list(months), cents=sum(months))


def make_commitment(fund: Fund, cents: int, **fields: Any) -> Commitment:
    """Return money set aside for a repair."""
    item = make_item(**fields)
    return Commitment.objects.create(
        program=make_program(),
        cause="plan:1",
        case=make_case(),
        item_id=item.pk,
        fund=fund,
        cents=cents,
        entry=make_entry(),
    )
