"""Funds, and the append-only ledger that can't be out of balance.

An entry is one event; each of its transfers moves positive whole cents inside one fund.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, ClassVar, Self

from django.conf import settings
from django.db import models
from django.db.models import F, Q
from django.utils import timezone

from program.cases.models import Case
from program.ledger.kept import AFTER_TRANSFER
from program.ledger.states import ProposalState
from shared.accounts.models import ProgramOwned
from shared.audit.models import AppendOnly, AppendOnlyQuerySet
from shared.choices import choices_of
from shared.rules import above_zero, exactly_one_of
from vehicles.repairs.models import RepairItem

if TYPE_CHECKING:
    from shared.accounts.models import User

USER = settings.AUTH_USER_MODEL


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
    by = models.ForeignKey(USER, models.PROTECT, null=True, blank=True, related_name="+")
    reverses = models.OneToOneField(
        "self", models.PROTECT, null=True, blank=True, related_name="reversed_by"
    )
    fact = models.BooleanField("it had happened", default=False)
    second = models.ForeignKey(USER, models.PROTECT, null=True, blank=True, related_name="+")

    objects = EntryQuerySet.as_manager()

    class Meta:
        verbose_name_plural = "entries"
        ordering = ["-on", "-pk"]
        indexes = [models.Index(fields=["program", "-on", "-id"], name="entry_by_day")]
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

    after_insert: ClassVar = AFTER_TRANSFER

    entry = models.ForeignKey(Entry, models.PROTECT, related_name="transfers")
    debit = models.CharField(max_length=10)
    credit = models.CharField(max_length=10)
    cents = models.BigIntegerField()
    fund = models.ForeignKey(Fund, models.PROTECT, related_name="transfers")
    case = models.ForeignKey(Case, models.PROTECT, null=True, blank=True, related_name="+")
    item = models.ForeignKey(RepairItem, models.PROTECT, null=True, blank=True, related_name="+")
    function = models.CharField(
        max_length=12, blank=True, help_text="What it was for, where its account says otherwise."
    )
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


class ShutMonth(ProgramOwned):
    """A month in which nothing more is booked until somebody opens it again, with a reason."""

    month = models.DateField(help_text="Its first day.")
    shut_at = models.DateTimeField(default=timezone.now)
    shut_by = models.ForeignKey(USER, models.PROTECT, related_name="+")
    opened_at = models.DateTimeField(null=True, blank=True)
    opened_by = models.ForeignKey(USER, models.PROTECT, null=True, blank=True, related_name="+")
    reason = models.CharField("why it was opened again", max_length=200, blank=True)

    class Meta:
        ordering = ["-month", "-pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["program", "month"],
                name="month_shut_once",
                condition=Q(opened_at__isnull=True),
                violation_error_message="This month is shut already.",
            ),
            models.CheckConstraint(
                name="month_opened_with_reason",
                condition=Q(opened_at__isnull=True) | ~Q(reason=""),
                violation_error_message="Say why the month is opened again.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.month:%Y-%m}"


class Proposal(ProgramOwned):
    """A spend that needs two people: what the first typed, until a second agrees or declines."""

    key = models.CharField(max_length=80)
    on = models.DateField()
    what = models.CharField(max_length=200)
    lines = models.JSONField(help_text="A list of lines, as `actions.Line` with ids.")
    why = models.CharField("which rule asks for two", max_length=300)
    by = models.ForeignKey(USER, models.PROTECT, related_name="+")
    at = models.DateTimeField(default=timezone.now)
    state = models.CharField(
        max_length=10, choices=choices_of(ProposalState), default=ProposalState.WAITING
    )
    decided_by = models.ForeignKey(USER, models.PROTECT, null=True, blank=True, related_name="+")
    decided_at = models.DateTimeField(null=True, blank=True)
    reason = models.CharField("why it was declined or taken back", max_length=200, blank=True)
    entry = models.OneToOneField(
        Entry, models.PROTECT, null=True, blank=True, related_name="proposal"
    )

    class Meta:
        ordering = ["-pk"]
        constraints = [
            exactly_one_of("proposal_state_known", "state", ProposalState),
            models.UniqueConstraint(
                fields=["program", "key"],
                name="proposal_key_once",
                violation_error_message="This waits for a second person already.",
            ),
            models.CheckConstraint(
                name="proposal_by_two",
                condition=Q(decided_by__isnull=True) | ~Q(decided_by=F("by")),
                violation_error_message="A second person has to agree, not the one who asks.",
            ),
        ]

    def __str__(self) -> str:
        return self.what
