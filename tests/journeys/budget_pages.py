"""The demonstration's budget: addresses of one of its lines and of the year to come."""

from __future__ import annotations

from typing import TYPE_CHECKING

from program.models import BudgetLine
from tests.journeys.looked_into import each

if TYPE_CHECKING:
    from tests.journeys.looked_into import Rows


def budgets() -> Rows:
    """Return the addresses of the budget, with what they take."""
    line = BudgetLine.objects.filter(account="6030").latest("pk")
    return [
        *each([[line.pk]], "budget:line_page", "budget:line_edit", "budget:line_remove"),
        *each([[line.year + 1]], "budget:line_new", "budget:copy"),
    ]
