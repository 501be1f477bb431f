"""Prices that somebody named for a part or for work done elsewhere, with the paper."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.db.models import F, Q
from django.utils import timezone

from shared.accounts.models import ProgramOwned
from shared.choices import choices_of
from shared.rules import exactly_one_of
from vehicles.estimates.kinds import PriceSource
from vehicles.repairs.models import Need, RepairItem
from vehicles.repairs.parts import PartCondition


class Quote(ProgramOwned):
    """One price from one place: for a need (one unit of it), or for an item's work done elsewhere.

    The chosen one of a need or an item is what the estimate counts with.
    """

    need = models.ForeignKey(Need, models.PROTECT, null=True, blank=True, related_name="quotes")
    item = models.ForeignKey(
        RepairItem, models.PROTECT, null=True, blank=True, related_name="quotes"
    )
    supplier = models.CharField(max_length=80)
    source = models.CharField(max_length=16, choices=choices_of(PriceSource))
    condition = models.CharField(
        max_length=8, choices=choices_of(PartCondition), default=PartCondition.NEW
    )
    cents = models.BigIntegerField()
    core_cents = models.BigIntegerField("deposit on the old part", default=0)
    quoted_on = models.DateField()
    good_until_on = models.DateField(null=True, blank=True)
    lead_days = models.PositiveSmallIntegerField("business days until it is there", default=0)
    note = models.CharField(max_length=200, blank=True)
    paper = models.BinaryField(null=True, blank=True)
    paper_type = models.CharField(max_length=20, blank=True)
    chosen_at = models.DateTimeField(null=True, blank=True)
    chosen_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, related_name="+"
    )
    withdrawn_because = models.CharField(max_length=200, blank=True)
    made_at = models.DateTimeField(default=timezone.now)
    made_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, related_name="+"
    )
    client_key = models.UUIDField(null=True, blank=True)

    class Meta:
        ordering = ["cents", "pk"]
        constraints = [
            exactly_one_of("quote_source_known", "source", PriceSource),
            exactly_one_of("quote_condition_known", "condition", PartCondition),
            models.CheckConstraint(
                name="quote_for_need_or_item",
                condition=Q(need__isnull=True, item__isnull=False)
                | Q(need__isnull=False, item__isnull=True),
                violation_error_message="A quote is for a part or for work done elsewhere.",
            ),
            models.CheckConstraint(
                name="quote_cents_not_negative",
                condition=Q(cents__gte=0) & Q(core_cents__gte=0),
                violation_error_message="A price can't be negative.",
            ),
            models.CheckConstraint(
                name="quote_days_in_order",
                condition=Q(good_until_on__isnull=True) | Q(good_until_on__gte=F("quoted_on")),
                violation_error_message="A quote can't run out before it was given.",
            ),
            models.CheckConstraint(
                name="quote_paper_has_type",
                condition=Q(paper__isnull=True, paper_type="")
                | (Q(paper__isnull=False) & ~Q(paper_type="")),
                violation_error_message="An attached paper is a PDF or a picture.",
            ),
            models.UniqueConstraint(
                fields=["program", "need"],
                name="quote_one_chosen_a_need",
                condition=Q(chosen_at__isnull=False),
                violation_error_message="Another price is chosen for this part.",
            ),
            models.UniqueConstraint(
                fields=["program", "item"],
                name="quote_one_chosen_an_item",
                condition=Q(chosen_at__isnull=False),
                violation_error_message="Another price is chosen for this work.",
            ),
            models.UniqueConstraint(
                fields=["program", "client_key"],
                name="quote_written_once",
                violation_error_message="This quote is on record already.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.supplier}, {self.quoted_on}"
