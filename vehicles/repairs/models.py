"""Work that clears findings, what it costs, and the parts it lacks."""

from __future__ import annotations

from typing import TYPE_CHECKING, Self

from django.conf import settings
from django.db import models
from django.db.models import F, Q
from django.utils import timezone

from shared.accounts.models import ProgramOwned
from shared.choices import choices_of
from shared.rules import above_zero, exactly_one_of
from vehicles.inspection.models import Finding
from vehicles.intake.models import Intake
from vehicles.repairs.states import ItemState, NeedState
from vehicles.shop.systems import System

if TYPE_CHECKING:
    from shared.accounts.models import User


class RepairItemQuerySet(models.QuerySet["RepairItem"]):
    """Repair items by where they stand."""

    def open(self) -> Self:
        """Return the items that are neither done nor withdrawn."""
        return self.filter(state=ItemState.OPEN)

    def ranked(self) -> Self:
        """Return the items in the order of the ranking rule, as last computed."""
        return self.order_by("tier", "-index_tenths", "pk")


class RepairItem(ProgramOwned):
    """One job on one car. Its tier, points and index are computed from the findings it clears."""

    intake = models.ForeignKey(Intake, models.PROTECT, related_name="items")
    title = models.CharField(max_length=120)
    operation = models.CharField(
        max_length=60, blank=True, help_text="Code in the catalogue of operations."
    )
    system = models.CharField(max_length=20, choices=choices_of(System))
    state = models.CharField(max_length=10, choices=choices_of(ItemState), default=ItemState.OPEN)
    findings = models.ManyToManyField(Finding, related_name="items", blank=True)
    prerequisites = models.ManyToManyField(
        "self", through="Prerequisite", symmetrical=False, related_name="unlocks"
    )
    labor_low_minutes = models.PositiveIntegerField()
    labor_likely_minutes = models.PositiveIntegerField()
    labor_high_minutes = models.PositiveIntegerField()
    sublet_cents = models.BigIntegerField("work done elsewhere", default=0)
    needs_lift = models.BooleanField(default=False)
    access = models.CharField(
        max_length=30, blank=True, help_text="What has to come off first; jobs that share it do."
    )
    access_minutes = models.PositiveIntegerField("of the labor, for the access", default=0)
    rest_minutes = models.PositiveIntegerField("curing or drying after it", default=0)
    outside_days = models.PositiveSmallIntegerField("business days away", default=0)
    caution = models.CharField(max_length=300, blank=True)
    cell = models.CharField("hazard cell", max_length=2, blank=True)
    tier = models.PositiveSmallIntegerField(default=4)
    points = models.PositiveIntegerField(default=0)
    index_tenths = models.PositiveIntegerField(default=0)
    tier_because = models.CharField(max_length=200, blank=True)
    net_cost_cents = models.BigIntegerField(default=0)
    done_on = models.DateField(null=True, blank=True)
    took_minutes = models.PositiveIntegerField(null=True, blank=True)
    cost_cents = models.BigIntegerField("paid for parts and outside", null=True, blank=True)
    withdrawn_because = models.CharField(max_length=200, blank=True)
    version = models.PositiveIntegerField(default=1)

    objects = RepairItemQuerySet.as_manager()

    class Meta:
        ordering = ["pk"]
        constraints = [
            exactly_one_of("item_state_known", "state", ItemState),
            exactly_one_of("item_system_known", "system", System),
            models.CheckConstraint(
                name="item_minutes_in_order",
                condition=Q(labor_low_minutes__lte=F("labor_likely_minutes"))
                & Q(labor_likely_minutes__lte=F("labor_high_minutes"))
                & Q(labor_high_minutes__lte=60_000),
                violation_error_message="Minutes go from low over likely to high, 60,000 at most.",
            ),
            models.CheckConstraint(
                name="item_costs_not_negative",
                condition=Q(sublet_cents__gte=0)
                & Q(net_cost_cents__gte=0)
                & (Q(cost_cents__isnull=True) | Q(cost_cents__gte=0)),
                violation_error_message="A cost can't be negative.",
            ),
            models.CheckConstraint(
                name="item_access_within_labor",
                condition=Q(access_minutes__lte=F("labor_low_minutes")),
                violation_error_message="The access is part of the labor, at its least.",
            ),
            models.CheckConstraint(
                name="item_tier_known",
                condition=Q(tier__range=(0, 4)),
                violation_error_message="Tiers go from 0 to 4.",
            ),
            models.CheckConstraint(
                name="item_done_has_day",
                condition=~Q(state=ItemState.DONE) | Q(done_on__isnull=False),
                violation_error_message="A done item has the day it was done.",
            ),
        ]

    def __str__(self) -> str:
        return self.title

    @property
    def index(self) -> float:
        """The rank index with its one decimal."""
        return self.index_tenths / 10


class Prerequisite(ProgramOwned):
    """One item has to be done before another."""

    item = models.ForeignKey(RepairItem, models.PROTECT, related_name="needs_first")
    first = models.ForeignKey(RepairItem, models.PROTECT, related_name="comes_before")

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["program", "item", "first"],
                name="prerequisite_once",
                violation_error_message="This order is on record already.",
            ),
            models.CheckConstraint(
                name="prerequisite_of_another",
                condition=~Q(item=F("first")),
                violation_error_message="A repair item can't need itself.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.first} before {self.item}"


class Estimate(ProgramOwned):
    """One version of what a stay will cost. Version 1 is frozen when the owner has said yes."""

    intake = models.ForeignKey(Intake, models.PROTECT, related_name="estimates")
    number = models.PositiveSmallIntegerField()
    mean_cents = models.BigIntegerField()
    p50_cents = models.BigIntegerField()
    p80_cents = models.BigIntegerField()
    p80_minutes = models.PositiveIntegerField()
    draws = models.PositiveIntegerField()
    seed = models.BigIntegerField()
    made_at = models.DateTimeField(default=timezone.now)
    made_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, related_name="+"
    )
    frozen_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["intake", "-number"]
        constraints = [
            models.UniqueConstraint(
                fields=["program", "intake", "number"],
                name="estimate_version_once",
                violation_error_message="This version of the estimate exists already.",
            ),
            models.CheckConstraint(
                name="estimate_points_in_order",
                condition=Q(p50_cents__gte=0) & Q(p50_cents__lte=F("p80_cents")),
                violation_error_message="The 80 percent point is not below the 50 percent point.",
            ),
        ]

    def __str__(self) -> str:
        return f"estimate {self.number}"


class EstimateLine(ProgramOwned):
    """What one item adds to an estimate."""

    estimate = models.ForeignKey(Estimate, models.PROTECT, related_name="lines")
    item = models.ForeignKey(RepairItem, models.PROTECT, related_name="+")
    low_cents = models.BigIntegerField()
    likely_cents = models.BigIntegerField()
    high_cents = models.BigIntegerField()
    p80_cents = models.BigIntegerField(help_text="Its share of the 80 percent point.")

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["program", "estimate", "item"],
                name="estimate_line_once",
                violation_error_message="This item is in the estimate already.",
            ),
            models.CheckConstraint(
                name="estimate_line_in_order",
                condition=Q(low_cents__gte=0)
                & Q(low_cents__lte=F("likely_cents"))
                & Q(likely_cents__lte=F("high_cents")),
                violation_error_message="Costs go from low over likely to high.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.estimate}: {self.item}"


class NeedQuerySet(models.QuerySet["Need"]):
    """Needs by what may be done with them."""

    def open(self) -> Self:
        """Return the needs that no part has filled."""
        return self.filter(state=NeedState.OPEN)

    def shown_to_sponsors(self) -> Self:
        """Return the open needs whose text the coordinator has approved."""
        return self.open().exclude(approved_text="")

    def for_user(self, user: User) -> Self:
        """Return the needs of vehicles that the user may see."""
        return self.filter(program_id=user.program_id).exclude(
            item__intake__vehicle__withheld_from=user
        )


class Need(ProgramOwned):
    """A part that an item lacks, with its own facts, so that a sponsor's page reads no more.

    `fitment` is a `vehicles.repairs.fitment.Fitment` as a dict, `car` the facts of the car.
    """

    item = models.ForeignKey(RepairItem, models.PROTECT, related_name="needs")
    kind = models.CharField(
        "part", max_length=40, help_text="Code of the part, such as `radiator`."
    )
    title = models.CharField(max_length=120)
    system = models.CharField(max_length=20, choices=choices_of(System))
    quantity = models.PositiveSmallIntegerField(default=1)
    fitment = models.JSONField(default=dict, blank=True)
    car = models.JSONField(default=dict, blank=True)
    price_cents = models.BigIntegerField(null=True, blank=True, help_text="Empty: can't be bought.")
    price_low_cents = models.BigIntegerField(null=True, blank=True)
    price_high_cents = models.BigIntegerField(null=True, blank=True)
    price_source = models.CharField(max_length=80, blank=True)
    priced_on = models.DateField(null=True, blank=True)
    may_be = models.JSONField(
        "used or rebuilt", default=list, blank=True, help_text="Conditions taken beside new."
    )
    needed_by_on = models.DateField(null=True, blank=True)
    approved_text = models.CharField("text for sponsors", max_length=200, blank=True)
    county = models.CharField(max_length=40, blank=True)
    household_kinds = models.JSONField(default=list, blank=True)
    tier = models.PositiveSmallIntegerField(default=4)
    given = models.BooleanField("a part is kept for it, as last ranked", default=False)
    opened_on = models.DateField()
    state = models.CharField(max_length=10, choices=choices_of(NeedState), default=NeedState.OPEN)
    version = models.PositiveIntegerField(default=1)

    objects = NeedQuerySet.as_manager()

    class Meta:
        ordering = ["pk"]
        constraints = [
            exactly_one_of("need_state_known", "state", NeedState),
            above_zero("need_quantity_above_zero", "quantity", "The quantity of a need"),
            models.CheckConstraint(
                name="need_prices_in_order",
                condition=Q(price_cents__isnull=True)
                | (
                    Q(price_cents__gte=0)
                    & (Q(price_low_cents__isnull=True) | Q(price_low_cents__lte=F("price_cents")))
                    & (Q(price_high_cents__isnull=True) | Q(price_high_cents__gte=F("price_cents")))
                ),
                violation_error_message="Prices go from low over likely to high, none below zero.",
            ),
        ]

    def __str__(self) -> str:
        return self.title
