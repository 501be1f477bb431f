"""Whose the car is, who said yes to what, and where the car stands."""

from __future__ import annotations

from django.db import models
from django.db.models import F, Q
from django.utils import timezone

from shared.accounts.models import ProgramOwned
from shared.choices import choices_of
from shared.rules import exactly_one_of
from vehicles.custody.acts import Act, OwnerKind
from vehicles.custody.conditions import Mobility, Step
from vehicles.intake.models import Intake, Vehicle


class Owner(ProgramOwned):
    """Somebody whom a paper names as owner or lienholder; not the household as such."""

    vehicle = models.ForeignKey(Vehicle, models.PROTECT, related_name="owners")
    name = models.CharField(max_length=120)
    kind = models.CharField(max_length=15, choices=choices_of(OwnerKind))
    paper_seen_on = models.DateField()
    ended_on = models.DateField(null=True, blank=True)

    class Meta:
        ordering = ["pk"]
        constraints = [
            exactly_one_of("owner_kind_known", "kind", OwnerKind),
            models.UniqueConstraint(
                fields=["program", "vehicle", "name", "kind"],
                name="owner_named_once",
                condition=Q(ended_on__isnull=True),
                violation_error_message="This owner is on record already.",
            ),
        ]

    def __str__(self) -> str:
        return self.name


class Consent(ProgramOwned):
    """One owner's signed yes to one act on one stay."""

    intake = models.ForeignKey(Intake, models.PROTECT, related_name="consents")
    owner = models.ForeignKey(Owner, models.PROTECT, related_name="consents")
    act = models.CharField(max_length=10, choices=choices_of(Act))
    given_on = models.DateField()
    until_on = models.DateField(null=True, blank=True)
    withdrawn_on = models.DateField(null=True, blank=True)

    class Meta:
        ordering = ["given_on", "pk"]
        constraints = [
            exactly_one_of("consent_act_known", "act", Act),
            models.UniqueConstraint(
                fields=["program", "intake", "owner", "act"],
                name="consent_once",
                condition=Q(withdrawn_on__isnull=True),
                violation_error_message="This consent is on record already.",
            ),
            models.CheckConstraint(
                name="consent_dates_in_order",
                condition=Q(until_on__isnull=True) | Q(until_on__gte=F("given_on")),
                violation_error_message="A consent can't end before it is given.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.owner}: {self.act}"


class Condition(ProgramOwned):
    """The car's condition in three fields; the moves allowed stand in `conditions`."""

    vehicle = models.OneToOneField(Vehicle, models.PROTECT, related_name="condition")
    step = models.CharField(max_length=20, choices=choices_of(Step), default=Step.EXPECTED)
    mobility = models.CharField(
        max_length=10, choices=choices_of(Mobility), default=Mobility.DRIVES
    )
    place = models.CharField(max_length=40, blank=True, help_text="A bay, a space or an address.")
    since_at = models.DateTimeField(default=timezone.now)
    version = models.PositiveIntegerField(default=1)

    class Meta:
        constraints = [
            exactly_one_of("condition_step_known", "step", Step),
            exactly_one_of("condition_mobility_known", "mobility", Mobility),
        ]

    def __str__(self) -> str:
        return f"{self.vehicle}: {self.step}"
