"""What the bank says, line by line, and which of our entries each line is."""

from __future__ import annotations

from typing import TYPE_CHECKING, Self

from django.conf import settings
from django.db import models
from django.db.models import F, Q
from django.utils import timezone

from program.ledger.models import Entry
from shared.accounts.models import ProgramOwned

if TYPE_CHECKING:
    from shared.accounts.models import User


class BankLayout(ProgramOwned):
    """Which column of a bank's CSV holds what; asked once for each account, then remembered."""

    account = models.CharField(max_length=10)
    columns = models.JSONField(help_text="What a column holds, by its heading.")
    days = models.CharField("how a day is written", max_length=10)
    flipped = models.BooleanField("money in is negative", default=False)
    version = models.PositiveIntegerField(default=1)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["program", "account"],
                name="bank_layout_once",
                violation_error_message="The columns of this account are known already.",
            ),
        ]

    def __str__(self) -> str:
        return f"columns of {self.account}"


class BankStatementQuerySet(models.QuerySet["BankStatement"]):
    """Bank statements, starting from the person who asks."""

    def for_user(self, user: User) -> Self:
        """Return the statements of the user's program."""
        return self.filter(program_id=user.program_id)


class BankStatement(ProgramOwned):
    """One statement of one account: `opening + its lines == closing`, checked when it comes in."""

    account = models.CharField(max_length=10)
    from_on = models.DateField()
    until_on = models.DateField()
    opening_cents = models.BigIntegerField()
    closing_cents = models.BigIntegerField()
    file_name = models.CharField(max_length=120)
    sha256 = models.CharField(max_length=64)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    at = models.DateTimeField(default=timezone.now)
    reconciled_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, related_name="+"
    )
    reconciled_at = models.DateTimeField(null=True, blank=True)
    differs_cents = models.BigIntegerField("what it was left to differ by", default=0)
    note = models.CharField(max_length=300, blank=True)
    version = models.PositiveIntegerField(default=1)

    objects = BankStatementQuerySet.as_manager()

    class Meta:
        ordering = ["-until_on", "-pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["program", "account", "sha256"],
                name="bank_statement_once",
                violation_error_message="This file was read already.",
            ),
            models.CheckConstraint(
                name="bank_statement_days_in_order",
                condition=Q(until_on__gte=F("from_on")),
                violation_error_message="A statement can't end before it begins.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.account} to {self.until_on}"


class BankLine(ProgramOwned):
    """One line of a statement, money in above zero."""

    statement = models.ForeignKey(BankStatement, models.PROTECT, related_name="lines")
    account = models.CharField(max_length=10)
    number = models.PositiveIntegerField("row in the file")
    on = models.DateField()
    cents = models.BigIntegerField()
    words = models.CharField(max_length=200, blank=True)
    reference = models.CharField(max_length=60, blank=True)
    fingerprint = models.CharField(
        max_length=64, help_text="Of day, amount, words, reference and its place among its equals."
    )

    class Meta:
        ordering = ["on", "number"]
        constraints = [
            models.UniqueConstraint(
                fields=["program", "account", "fingerprint"],
                name="bank_line_once",
                violation_error_message="A statement before holds this line already.",
            ),
            models.CheckConstraint(
                name="bank_line_moves_money",
                condition=~Q(cents=0),
                violation_error_message="A line of a statement moves money.",
            ),
        ]

    def __str__(self) -> str:
        return self.words or self.reference


class BankMatch(ProgramOwned):
    """An entry found on the statement: a line may be several entries, an entry is on one line."""

    line = models.ForeignKey(BankLine, models.PROTECT, related_name="matches")
    entry = models.ForeignKey(Entry, models.PROTECT, related_name="bank_matches")
    account = models.CharField(max_length=10)
    reason = models.CharField(max_length=200)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    at = models.DateTimeField(default=timezone.now)
    undone_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["program", "account", "entry"],
                name="bank_match_once_an_entry",
                condition=Q(undone_at__isnull=True),
                violation_error_message="This entry was found on the statement already.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.entry} on {self.line}"
