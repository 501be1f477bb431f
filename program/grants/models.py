"""Grants, and the claims that bring their money in."""

from __future__ import annotations

from typing import TYPE_CHECKING, Self

from django.conf import settings
from django.db import models
from django.db.models import F, Q
from django.utils import timezone

from program.grants.states import Answer, ClaimCycle, ClaimState, GrantPays
from program.ledger.models import Entry, Fund, Transfer
from shared.accounts.models import ProgramOwned
from shared.choices import choices_of
from shared.rules import above_zero, exactly_one_of

if TYPE_CHECKING:
    from shared.accounts.models import User


class GrantQuerySet(models.QuerySet["Grant"]):
    """Grants, starting from the person who asks."""

    def for_user(self, user: User) -> Self:
        """Return the grants of the user's program."""
        return self.filter(program_id=user.program_id)


class Grant(ProgramOwned):
    """An award. What it may pay for is the rule of its fund, which stays empty if it pays after."""

    fund = models.OneToOneField(Fund, models.PROTECT, related_name="grant")
    funder = models.CharField(max_length=120)
    number = models.CharField("award number", max_length=40, blank=True)
    cents = models.BigIntegerField("award")
    pays = models.CharField(max_length=6, choices=choices_of(GrantPays))
    own_percent = models.PositiveSmallIntegerField(
        "own share of each allowed cost, percent", default=0
    )
    accounts = models.JSONField("accounts whose cost it allows", default=list, blank=True)
    cycle = models.CharField(max_length=10, choices=choices_of(ClaimCycle))
    due_days = models.PositiveSmallIntegerField("days to claim after a cycle ends", default=30)
    begins_on = models.DateField()
    ends_on = models.DateField()
    terms = models.TextField(max_length=2000, blank=True)
    version = models.PositiveIntegerField(default=1)
    client_key = models.UUIDField(null=True, blank=True)

    objects = GrantQuerySet.as_manager()

    class Meta:
        ordering = ["ends_on", "pk"]
        constraints = [
            exactly_one_of("grant_pays_known", "pays", GrantPays),
            exactly_one_of("grant_cycle_known", "cycle", ClaimCycle),
            above_zero("grant_cents_above_zero", "cents", "An award"),
            models.CheckConstraint(
                name="grant_days_in_order",
                condition=Q(ends_on__gte=F("begins_on")),
                violation_error_message="A grant can't end before it begins.",
            ),
            models.CheckConstraint(
                name="grant_own_share_possible",
                condition=Q(own_percent__lte=99),
                violation_error_message="The own share lies between 0 and 99 percent.",
            ),
            models.UniqueConstraint(
                fields=["program", "client_key"],
                name="grant_written_once",
                violation_error_message="This grant is on record already.",
            ),
        ]

    def __str__(self) -> str:
        return self.fund.name


class Claim(ProgramOwned):
    """Allowed costs of one cycle, claimed from the funder; with money ahead it is a report."""

    grant = models.ForeignKey(Grant, models.PROTECT, related_name="claims")
    number = models.PositiveSmallIntegerField()
    from_on = models.DateField()
    until_on = models.DateField()
    cents = models.BigIntegerField(help_text="The funder's share of the costs.")
    state = models.CharField(
        max_length=10, choices=choices_of(ClaimState), default=ClaimState.DRAFT
    )
    by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    at = models.DateTimeField(default=timezone.now)
    sent_on = models.DateField(null=True, blank=True)
    paid_on = models.DateField("when nothing was open any more", null=True, blank=True)
    reason = models.CharField("why it was withdrawn", max_length=200, blank=True)
    entry = models.OneToOneField(Entry, models.PROTECT, null=True, blank=True, related_name="claim")
    version = models.PositiveIntegerField(default=1)

    class Meta:
        ordering = ["-number"]
        constraints = [
            exactly_one_of("claim_state_known", "state", ClaimState),
            models.UniqueConstraint(
                fields=["program", "grant", "number"],
                name="claim_number_once",
                violation_error_message="This grant has a claim of this number already.",
            ),
            models.CheckConstraint(
                name="claim_not_negative",
                condition=Q(cents__gte=0),
                violation_error_message="A claim can't be negative.",
            ),
            models.CheckConstraint(
                name="claim_days_in_order",
                condition=Q(until_on__gte=F("from_on")),
                violation_error_message="A claim can't end before it begins.",
            ),
        ]

    def __str__(self) -> str:
        return f"claim {self.number} of {self.grant}"


class ClaimLine(ProgramOwned):
    """One cost in a claim; a cost stands in one claim at most, whatever the grant."""

    claim = models.ForeignKey(Claim, models.PROTECT, related_name="lines")
    transfer = models.ForeignKey(Transfer, models.PROTECT, related_name="claim_lines")
    freed = models.BooleanField("its claim was withdrawn", default=False)

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["program", "transfer"],
                name="cost_claimed_once",
                condition=Q(freed=False),
                violation_error_message="This cost stands in a claim already.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.transfer} in {self.claim}"


class ClaimAnswer(ProgramOwned):
    """What a funder paid of a claim, or refused of it; void once its entry is reversed."""

    claim = models.ForeignKey(Claim, models.PROTECT, related_name="answers")
    kind = models.CharField(max_length=10, choices=choices_of(Answer))
    on = models.DateField()
    cents = models.BigIntegerField()
    reason = models.CharField("why it was refused", max_length=200, blank=True)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    at = models.DateTimeField(default=timezone.now)
    entry = models.OneToOneField(Entry, models.PROTECT, related_name="claim_answer")

    class Meta:
        ordering = ["on", "pk"]
        constraints = [
            exactly_one_of("answer_kind_known", "kind", Answer),
            above_zero("answer_cents_above_zero", "cents", "What a funder pays or refuses"),
            models.CheckConstraint(
                name="refused_with_reason",
                condition=~Q(kind=Answer.REFUSED) | ~Q(reason=""),
                violation_error_message="Say why the funder refuses it.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.cents} cents of {self.claim} {self.kind}"
