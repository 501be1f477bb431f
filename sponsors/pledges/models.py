"""Pledges, and every single unit that can fill a need, whatever its source."""

from __future__ import annotations

from typing import TYPE_CHECKING, Self

from django.db import models
from django.db.models import Q
from django.utils import timezone

from shared.accounts.models import ProgramOwned
from shared.choices import choices_of
from shared.rules import above_zero, exactly_one_of
from sponsors.pledges.states import USABLE, PledgeState, SupplySource, SupplyState
from sponsors.register.models import Sponsor
from vehicles.shop.systems import System

if TYPE_CHECKING:
    import datetime as dt

    from shared.accounts.models import User


class Part(models.Model):
    """What a part is; `fitment` is a `vehicles.repairs.fitment.Fitment` as a dict."""

    kind = models.CharField("part", max_length=40)
    title = models.CharField(max_length=120)
    system = models.CharField(max_length=20, choices=choices_of(System))
    fitment = models.JSONField(default=dict, blank=True)
    used = models.BooleanField(default=False)

    class Meta:
        abstract = True


class PledgeQuerySet(models.QuerySet["Pledge"]):
    """Pledges, starting from the person who asks."""

    def for_user(self, user: User) -> Self:
        """Return the pledges of the user's program."""
        return self.filter(program_id=user.program_id)

    def intended(self) -> Self:
        """Return the pledges that still stand and have not arrived."""
        return self.filter(state=PledgeState.INTENDED)


class Pledge(Part, ProgramOwned):
    """What a sponsor intends to give: so many units of one part, until a day, on conditions."""

    sponsor = models.ForeignKey(Sponsor, models.PROTECT, related_name="pledges")
    quantity = models.PositiveSmallIntegerField()
    pledged_on = models.DateField()
    expires_on = models.DateField(null=True, blank=True)
    counties = models.JSONField(default=list, blank=True)
    household_kinds = models.JSONField(default=list, blank=True)
    state = models.CharField(
        max_length=12, choices=choices_of(PledgeState), default=PledgeState.INTENDED
    )
    note = models.CharField(max_length=200, blank=True)
    client_key = models.UUIDField(null=True, blank=True, unique=True)
    version = models.PositiveIntegerField(default=1)

    objects = PledgeQuerySet.as_manager()

    class Meta:
        ordering = ["-pledged_on", "-pk"]
        constraints = [
            exactly_one_of("pledge_state_known", "state", PledgeState),
            above_zero("pledge_quantity_above_zero", "quantity", "The quantity of a pledge"),
            models.CheckConstraint(
                name="pledge_dates_in_order",
                condition=Q(expires_on__isnull=True) | Q(expires_on__gte=models.F("pledged_on")),
                violation_error_message="A pledge can't expire before it is made.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.quantity} x {self.title}"


class Lot(ProgramOwned):
    """Units that came together; one bad one holds its brothers."""

    code = models.CharField(max_length=40)
    received_on = models.DateField()
    held_on = models.DateField(null=True, blank=True)
    held_because = models.CharField(max_length=200, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["program", "code"],
                name="lot_code_once",
                violation_error_message="There is a lot of this code already.",
            ),
        ]

    def __str__(self) -> str:
        return self.code


class SupplyQuerySet(models.QuerySet["Supply"]):
    """Units by whether they can still fill a need."""

    def usable(self, on: dt.date) -> Self:
        """Return units that are not fitted, gone, held with their lot, or expired on a day."""
        return self.filter(
            Q(expires_on__isnull=True) | Q(expires_on__gte=on),
            Q(lot__isnull=True) | Q(lot__held_on__isnull=True),
            state__in=USABLE,
        )


class Supply(Part, ProgramOwned):
    """One unit that can fill one need: pledged, on order, on the shelf, or fitted."""

    source = models.CharField(max_length=10, choices=choices_of(SupplySource))
    pledge = models.ForeignKey(Pledge, models.PROTECT, null=True, blank=True, related_name="units")
    number = models.PositiveSmallIntegerField(default=1, help_text="Which unit of its pledge.")
    lot = models.ForeignKey(Lot, models.PROTECT, null=True, blank=True, related_name="units")
    state = models.CharField(max_length=10, choices=choices_of(SupplyState))
    expires_on = models.DateField(null=True, blank=True)
    available_on = models.DateField(null=True, blank=True, help_text="Empty: at once.")
    since_at = models.DateTimeField(default=timezone.now)

    objects = SupplyQuerySet.as_manager()

    class Meta:
        verbose_name_plural = "supplies"
        ordering = ["pk"]
        constraints = [
            exactly_one_of("supply_source_known", "source", SupplySource),
            exactly_one_of("supply_state_known", "state", SupplyState),
            models.CheckConstraint(
                name="supply_pledge_matches_source",
                condition=(Q(source=SupplySource.PLEDGE) & Q(pledge__isnull=False))
                | (~Q(source=SupplySource.PLEDGE) & Q(pledge__isnull=True)),
                violation_error_message="A pledged unit belongs to a pledge, any other to none.",
            ),
            models.UniqueConstraint(
                fields=["program", "pledge", "number"],
                name="supply_unit_once",
                condition=Q(pledge__isnull=False),
                violation_error_message="This unit of the pledge is on record already.",
            ),
        ]

    def __str__(self) -> str:
        return self.title
