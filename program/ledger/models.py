"""Funds, and the append-only ledger that can't be out of balance.

An entry is one event and posts its transfers whole; each transfer moves positive whole cents from
one account to another inside one fund, so debits equal credits by shape.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Self

from django.conf import settings
from django.db import models
from django.db.models import F, Q
from django.utils import timezone

from program.cases.models import Case
from shared.accounts.models import ProgramOwned
from shared.audit.models import AppendOnly, AppendOnlyQuerySet
from shared.rules import above_zero

if TYPE_CHECKING:
    from shared.accounts.models import User


class FundQuerySet(models.QuerySet["Fund"]):
    """Funds, starting from the person who asks."""

    def for_user(self, user: User) -> Self:
        """Return the funds of the user's program."""
        return self.filter(program_id=user.program_id)


class Fund(ProgramOwned):
    """Money or goods given for a purpose. `rule` is a `restrictions.Rule` as a dict."""

    code = models.CharField(max_length=20)
    name = models.CharField(max_length=80)
    restricted = models.BooleanField("with donor restriction", default=False)
    purpose = models.CharField(max_length=200, blank=True)
    rule = models.JSONField(default=dict, blank=True)
    opened_on = models.DateField()
    lapses_on = models.DateField(null=True, blank=True)
    closed_on = models.DateField(null=True, blank=True)
    version = models.PositiveIntegerField(default=1)

    objects = FundQuerySet.as_manager()

    class Meta:
        ordering = ["restricted", "name", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["program", "code"],
                name="fund_code_once",
                violation_error_message="There is a fund of this code already.",
            ),
            models.CheckConstraint(
                name="fund_dates_in_order",
                condition=Q(lapses_on__isnull=True) | Q(lapses_on__gte=F("opened_on")),
                violation_error_message="A fund can't lapse before it opens.",
            ),
        ]

    def __str__(self) -> str:
        return self.name


class EntryQuerySet(AppendOnlyQuerySet["Entry"]):
    """Entries, read and added."""

    def for_user(self, user: User) -> Self:
        """Return the entries of the user's program."""
        return self.filter(program_id=user.program_id)


class Entry(AppendOnly, ProgramOwned):
    """One event: a bill over three funds, a move between funds, an approved plan."""

    key = models.CharField(max_length=80, help_text="What caused it, such as `plan:5`.")
    on = models.DateField()
    what = models.CharField(max_length=200)
    made_at = models.DateTimeField(default=timezone.now)
    by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, related_name="+"
    )
    reverses = models.OneToOneField(
        "self", models.PROTECT, null=True, blank=True, related_name="reversed_by"
    )

    objects = EntryQuerySet.as_manager()

    class Meta:
        verbose_name_plural = "entries"
        ordering = ["-on", "-pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["program", "key"],
                name="entry_key_once",
                violation_error_message="This was booked already.",
            ),
        ]

    def __str__(self) -> str:
        return self.what


class TransferQuerySet(AppendOnlyQuerySet["Transfer"]):
    """Transfers, read and added."""

    def for_user(self, user: User) -> Self:
        """Return the transfers of the user's program."""
        return self.filter(program_id=user.program_id)


class Transfer(AppendOnly, ProgramOwned):
    """One movement: a debit and a credit account, positive whole cents, one fund."""

    entry = models.ForeignKey(Entry, models.PROTECT, related_name="transfers")
    debit = models.CharField(max_length=10)
    credit = models.CharField(max_length=10)
    cents = models.BigIntegerField()
    fund = models.ForeignKey(Fund, models.PROTECT, related_name="transfers")
    case = models.ForeignKey(Case, models.PROTECT, null=True, blank=True, related_name="+")
    memo = models.CharField(max_length=120, blank=True)

    objects = TransferQuerySet.as_manager()

    class Meta:
        ordering = ["entry", "pk"]
        indexes = [models.Index(fields=["program", "fund"], name="transfer_fund")]
        constraints = [
            above_zero("transfer_cents_above_zero", "cents", "The amount of a transfer"),
            models.CheckConstraint(
                name="transfer_between_two_accounts",
                condition=~Q(debit=F("credit")),
                violation_error_message="A transfer moves money between two different accounts.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.debit} from {self.credit}"


class Commitment(ProgramOwned):
    """Money set aside for one item of one case by an approved plan, and the entry that did it."""

    cause = models.CharField(max_length=40, help_text="Such as `plan:5`.")
    case = models.ForeignKey(Case, models.PROTECT, related_name="commitments")
    item_id = models.BigIntegerField(help_text="The repair item.")
    fund = models.ForeignKey(Fund, models.PROTECT, related_name="commitments")
    cents = models.BigIntegerField()
    entry = models.ForeignKey(Entry, models.PROTECT, related_name="commitments")
    released_by = models.ForeignKey(
        Entry, models.PROTECT, null=True, blank=True, related_name="released"
    )

    class Meta:
        ordering = ["pk"]
        constraints = [
            above_zero("commitment_cents_above_zero", "cents", "A commitment"),
            models.UniqueConstraint(
                fields=["program", "item_id", "fund"],
                name="commitment_once_an_item",
                condition=Q(released_by__isnull=True),
                violation_error_message="This fund has money set aside for this item already.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.cents} cents of {self.fund}"
