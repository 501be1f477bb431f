"""Fluids of a car: what the maker demands, levels as read, and what was poured in."""

from __future__ import annotations

from typing import Self

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.utils import timezone

from shared.accounts.models import ProgramOwned
from vehicles.fluids.values import with_unit
from vehicles.inspection.models import Finding
from vehicles.intake.models import Intake, Vehicle


class FluidRule(ProgramOwned):
    """What the maker demands of one fluid of one vehicle, and how its level is read."""

    vehicle = models.ForeignKey(Vehicle, models.PROTECT, related_name="fluid_rules")
    fluid = models.CharField(max_length=20)
    specification = models.CharField(max_length=120, blank=True)
    engine = models.CharField(max_length=10, blank=True, help_text="Running or off, when read.")
    heat = models.CharField(max_length=10, blank=True, help_text="Cold or hot, when read.")
    stick = models.BooleanField("it has a stick or a tank with marks", default=True)
    between = models.CharField("between the marks", max_length=20, blank=True)
    capacity = models.CharField("in all", max_length=20, blank=True, help_text="As typed.")
    source = models.CharField(max_length=120)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    at = models.DateTimeField(default=timezone.now)
    ended_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["program", "vehicle", "fluid"],
                name="fluid_rule_one_stands",
                condition=Q(ended_at__isnull=True),
                violation_error_message="Somebody else recorded this meanwhile.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.fluid}: {self.specification}"


class FluidReadingQuerySet(models.QuerySet["FluidReading"]):
    """Readings of levels, starting from the person who asks."""

    def standing(self) -> Self:
        """Return the readings that nobody took back."""
        return self.filter(withdrawn_at__isnull=True)


class FluidReading(ProgramOwned):
    """A level as it was read: how, and what it showed."""

    intake = models.ForeignKey(Intake, models.PROTECT, related_name="fluid_readings")
    fluid = models.CharField(max_length=20)
    engine = models.CharField(max_length=10)
    heat = models.CharField(max_length=10)
    level_ground = models.BooleanField(null=True)
    missing_eighths = models.PositiveSmallIntegerField(
        null=True, blank=True, help_text="Of the space between the marks."
    )
    level = models.CharField(max_length=20)
    looks = models.CharField("what it looks like", max_length=20, blank=True)
    said = models.CharField("what it means", max_length=300)
    finding = models.ForeignKey(
        Finding, models.PROTECT, null=True, blank=True, related_name="fluid_readings"
    )
    note = models.CharField(max_length=300, blank=True)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    read_by = models.CharField(max_length=120, help_text="Name and credential as of that day.")
    at = models.DateTimeField(default=timezone.now)
    withdrawn_at = models.DateTimeField(null=True, blank=True)
    client_key = models.UUIDField(null=True, blank=True, unique=True)

    objects = FluidReadingQuerySet.as_manager()

    class Meta:
        ordering = ["at", "pk"]

    def __str__(self) -> str:
        return f"{self.fluid}: {self.level}"


class TopUp(ProgramOwned):
    """What was poured in after a reading. The typed amount is the truth."""

    reading = models.ForeignKey(FluidReading, models.PROTECT, related_name="top_ups")
    typed = models.CharField(max_length=20)
    unit = models.CharField(max_length=10)
    specification = models.CharField(max_length=120, help_text="As the bottle says.")
    opened_before = models.BooleanField(null=True)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    at = models.DateTimeField(default=timezone.now)
    withdrawn_at = models.DateTimeField(null=True, blank=True)
    client_key = models.UUIDField(null=True, blank=True, unique=True)

    class Meta:
        ordering = ["at", "pk"]

    def __str__(self) -> str:
        return with_unit(self.typed, self.unit)
