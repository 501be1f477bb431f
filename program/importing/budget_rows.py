"""Rows of a budget become its lines."""

from __future__ import annotations

from typing import TYPE_CHECKING

from program.budget.models import BudgetLine
from program.importing import budgeting
from program.ledger.fiscal import fiscal_year
from shared.policy.queries import policies

if TYPE_CHECKING:
    from program.importing.batch import Batch


def lines(batch: Batch) -> None:
    """Write the lines of a budget, each under the fiscal year of its day."""
    rows = batch.rows(budgeting.SHEET)
    if not rows:
        return
    first_month = policies(batch.program, batch.today)["fiscal_year_month"]
    made = []
    for row in rows:
        months = budgeting.months(row)
        made.append(
            BudgetLine(
                program=batch.program,
                year=fiscal_year(row["year_of"], first_month=first_month),
                account=row["account"],
                fund=batch.named(row, "fund", "funds"),
                function=row["function"] or "",
                months=list(months),
                cents=sum(months),
            )
        )
    batch.make(budgeting.SHEET, made)
