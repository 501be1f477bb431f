"""Expenses by nature and function in one table.

Source: ASU 2016-14, ASC 958-720-45 (seen second-hand): each expense stands under what it was for,
program, management and general, or fundraising, and under its account.

>>> matrix({("GEN", "7010", "management"): 500, ("GEN", "7010", "program"): 200})["7010"]
{'management': 500, 'program': 200}
>>> totals(matrix({("GEN", "7010", "management"): 500}))
{'management': 500}
"""

from __future__ import annotations

from collections import Counter, defaultdict
from typing import TYPE_CHECKING, Final

from program.ledger.chart import Function, Kind
from program.statements.rows import Sheet, line, moved, summed
from shared.money import usd

if TYPE_CHECKING:
    from collections.abc import Mapping

    from program.statements.statements import Books

Matrix = dict[str, dict[str, int]]  # cents by account and functional class, debit positive

NAMES: Final = {
    Function.PROGRAM.value: "Program",
    Function.MANAGEMENT.value: "Management and general",
    Function.FUNDRAISING.value: "Fundraising",
    Function.NONE.value: "Not classed",
}


def expenses(books: Books) -> Matrix:
    """Return the span's expenses by account and functional class."""
    return matrix(
        {
            cell: cents
            for cell, cents in books.functions.items()
            if books.chart[cell[1]].kind == Kind.EXPENSE
        }
    )


def matrix(functions: Mapping[tuple[str, str, str], int]) -> Matrix:
    """Return cents by account and class, over all funds, by code and without zeros."""
    cells: defaultdict[str, Counter[str]] = defaultdict(Counter)
    for (_fund, account, function), cents in functions.items():
        cells[account][function] += cents
    return {
        account: {function: row[function] for function in sorted(row) if row[function]}
        for account, row in sorted(cells.items())
        if any(row.values())
    }


def totals(rows: Matrix) -> dict[str, int]:
    """Return the sum of each functional class."""
    sums: Counter[str] = Counter()
    for row in rows.values():
        sums.update(row)
    return dict(sorted(sums.items()))


def classes(rows: Matrix) -> list[str]:
    """Return the classes to show: the three of the standard, and what is in none if anything is."""
    there = totals(rows)
    return [name for name in NAMES if name or there.get(name)]


def functional_sheet(books: Books) -> Sheet:
    """Return the expenses by account and functional class."""
    cells = expenses(books)
    heads = classes(cells)
    rows = [
        line(
            books.chart[account].name,
            [
                *(moved(books, row.get(name, 0), account=account, function=name) for name in heads),
                moved(books, sum(row.values()), account=account),
            ],
            code=account,
        )
        for account, row in cells.items()
    ]
    sums = totals(cells)
    together = [sums.get(name, 0) for name in heads]
    return Sheet(
        name="functional",
        title="Functional expenses",
        lead="What was spent, by account and by what it was for.",
        sum=f"{usd(sum(together))} spent, {usd(together[0])} of it on the program.",
        first="Account",
        columns=(*(NAMES[name] for name in heads), "Total"),
        rows=(*rows, summed("Together", [*together, sum(together)])),
        notes=(
            "An expense stands in the class of its account, unless its transfer names another.",
        ),
    )
