"""What the board means to take in and to spend, by year, account, fund and function."""

from __future__ import annotations

from typing import TYPE_CHECKING, Self

from django.db import models
from django.db.models import Q

from program.ledger.models import Fund
from shared.accounts.models import ProgramOwned

if TYPE_CHECKING:
    from shared.accounts.models import User


class BudgetLineQuerySet(models.QuerySet["BudgetLine"]):
    """Budget lines, starting from the person who asks."""

    def for_user(self, user: User) -> Self:
        """Return the lines of the user's program."""
        return self.filter(program_id=user.program_id)


class BudgetLine(ProgramOwned):
    """One line of one year, income and cost alike above zero, spread over its months."""

    year = models.PositiveSmallIntegerField(help_text="The year in which the fiscal year begins.")
    account = models.CharField(max_length=10)
    fund = models.ForeignKey(Fund, models.PROTECT, null=True, blank=True, related_name="+")
    function = models.CharField(max_length=12, blank=True)
    months = models.JSONField(help_text="Twelve amounts in cents, from the year's first month.")
    cents = models.BigIntegerField(help_text="Their sum.")
    version = models.PositiveIntegerField(default=1)

    objects = BudgetLineQuerySet.as_manager()

    class Meta:
        ordering = ["year", "account", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["program", "year", "account", "fund", "function"],
                name="budget_line_once",
                violation_error_message="The year has a line of this account and fund already.",
            ),
            models.UniqueConstraint(
                fields=["program", "year", "account", "function"],
                name="budget_line_once_for_all",
                condition=Q(fund__isnull=True),
                violation_error_message="The year has a line of this account and fund already.",
            ),
            models.CheckConstraint(
                name="budget_not_negative",
                condition=Q(cents__gte=0),
                violation_error_message="A budget line can't be negative.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.account} in {self.year}"
