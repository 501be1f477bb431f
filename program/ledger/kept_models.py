"""What the database keeps after each transfer; `program.ledger.kept` says how, nobody else writes.

Three tables that add up the same transfers: now, by the end of each day, and by month.
"""

from __future__ import annotations

from django.db import models

from program.ledger.models import Fund
from shared.accounts.models import Program, ProgramOwned


class Balance(ProgramOwned):
    """What a fund holds on an account now, debit positive; kept by the database's own triggers."""

    fund = models.ForeignKey(Fund, models.PROTECT, related_name="+")
    account = models.CharField(max_length=10)
    cents = models.BigIntegerField(default=0)

    class Meta:
        ordering = ["fund", "account"]
        constraints = [
            models.UniqueConstraint(
                fields=["program", "fund", "account"],
                name="balance_once_a_fund",
                violation_error_message="This fund has a balance of this account already.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.account}: {self.cents}"


class DayBalance(ProgramOwned):
    """What a fund held on an account at the end of a day on which it moved; kept as `Balance`."""

    # The unique rule's own index finds every row; another one would only mislead who plans a query.
    program = models.ForeignKey(Program, models.PROTECT, related_name="+", db_index=False)
    fund = models.ForeignKey(Fund, models.PROTECT, related_name="+", db_index=False)
    account = models.CharField(max_length=10)
    on = models.DateField()
    cents = models.BigIntegerField(default=0)

    class Meta:
        ordering = ["fund", "account", "on"]
        constraints = [
            models.UniqueConstraint(
                fields=["program", "fund", "account", "on"],
                name="day_balance_once_a_day",
                violation_error_message="This fund has a balance of this account and day already.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.account} on {self.on}: {self.cents}"


class Turnover(ProgramOwned):
    """What moved on an account in one month, by fund and function; kept by the same triggers."""

    month = models.DateField(help_text="Its first day.")
    fund = models.ForeignKey(Fund, models.PROTECT, related_name="+")
    account = models.CharField(max_length=10)
    function = models.CharField(max_length=12, blank=True)
    debits = models.BigIntegerField(default=0)
    credits = models.BigIntegerField(default=0)
    count = models.PositiveIntegerField("sides of transfers", default=0)

    class Meta:
        ordering = ["month", "fund", "account"]
        constraints = [
            models.UniqueConstraint(
                fields=["program", "month", "fund", "account", "function"],
                name="turnover_once_a_month",
                violation_error_message="This month has a turnover of this account already.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.account} in {self.month:%Y-%m}"
