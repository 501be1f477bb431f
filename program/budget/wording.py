"""What a budget report says in sentences.

>>> tie(12_500, 12_500)
'It ties: all rows together are the activities of the year in the ledger, $125.00, to the cent.'
>>> side(-100)
'$1.00 more out than in'
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from shared.money import usd

if TYPE_CHECKING:
    from program.budget.variance import Report

HOW: Final = (
    "A plus is better for the program: more came in, or less went out. Difference is against the"
    " budget of the months that have begun. Year end is what happened so far and what the months to"
    " come have in the budget and have not used; of costs what is set aside, where that is more."
)


def lead(report: Report, *, is_over: bool) -> str:
    """Return how the year stands and where it leads; of a year that is over, how it ended."""
    if not (report.income or report.expense):
        return "No line of a budget, and nothing booked."
    net = report.net
    planned = any(row.line is not None for row in (*report.income, *report.expense))
    budget = f"The budget: {side(net.budget)}." if planned else "No line of a budget yet."
    if is_over:
        return f"The year ended with {side(net.actual)}. {budget}"
    return f"So far {side(net.actual)}. Forecast for the year: {side(net.forecast)}. {budget}"


def tie(change: int, net: int) -> str:
    """Return that all rows are the activities of the year, or by how much they are not."""
    if change == net:
        return (
            "It ties: all rows together are the activities of the year in the ledger,"
            f" {usd(change)}, to the cent."
        )
    return f"It doesn’t tie: the rows make {usd(net)}, the activities of the year {usd(change)}."


def side(net: int) -> str:
    """Return income less costs in words."""
    if not net:
        return "as much in as out"
    return f"{usd(abs(net))} {'more in than out' if net > 0 else 'more out than in'}"
