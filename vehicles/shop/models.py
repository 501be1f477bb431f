"""The shop itself: bays, and equipment that is only used while its inspection is in date."""

from __future__ import annotations

from typing import TYPE_CHECKING, Self

from django.conf import settings
from django.db import models
from django.db.models import F, Q
from django.utils import timezone

from shared.accounts.models import ProgramOwned
from shared.choices import choices_of
from shared.rules import exactly_one_of
from vehicles.shop.kinds import EquipmentKind

if TYPE_CHECKING:
    import datetime as dt


class Bay(ProgramOwned):
    """A place where one car is worked on."""

    name = models.CharField(max_length=40)
    has_lift = models.BooleanField(default=False)
    closed_on = models.DateField(null=True, blank=True)
    version = models.PositiveIntegerField(default=1)

    class Meta:
        ordering = ["name", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["program", "name"],
                name="bay_name_once",
                violation_error_message="There is a bay of this name already.",
            ),
        ]

    def __str__(self) -> str:
        return self.name


class BayClosure(ProgramOwned):
    """Days on which a bay can't be used: work on the floor, a car that waits in it."""

    bay = models.ForeignKey(Bay, models.PROTECT, related_name="closures")
    from_on = models.DateField()
    until_on = models.DateField()
    reason = models.CharField(max_length=120)
    made_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, related_name="+"
    )
    ended_at = models.DateTimeField("taken back", null=True, blank=True)

    class Meta:
        ordering = ["from_on", "pk"]
        constraints = [
            models.CheckConstraint(
                name="closure_days_in_order",
                condition=Q(until_on__gte=F("from_on")),
                violation_error_message="The last day closed is not before the first.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.bay}: {self.reason}"


class Space(ProgramOwned):
    """A place on the lot where one car can stand."""

    name = models.CharField(max_length=40)
    takes_dead = models.BooleanField("a car that doesn't roll may stand here", default=False)
    indoors = models.BooleanField(default=False)
    closed_on = models.DateField(null=True, blank=True)
    version = models.PositiveIntegerField(default=1)

    class Meta:
        ordering = ["name", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["program", "name"],
                name="space_name_once",
                violation_error_message="There is a space of this name already.",
            ),
        ]

    def __str__(self) -> str:
        return self.name


class EquipmentQuerySet(models.QuerySet["Equipment"]):
    """Equipment by its due date."""

    def out_of_use(self, on: dt.date) -> Self:
        """Return what may not be used on a day: overdue or tagged out."""
        return self.filter(Q(due_on__lt=on) | Q(tagged_out=True), retired_on=None)


class Equipment(ProgramOwned):
    """A lift, jack, stand or wrench with the day its next inspection is due."""

    name = models.CharField(max_length=80)
    kind = models.CharField(
        max_length=16, choices=choices_of(EquipmentKind), default=EquipmentKind.OTHER
    )
    bay = models.ForeignKey(Bay, models.PROTECT, null=True, blank=True, related_name="equipment")
    inspected_on = models.DateField(null=True, blank=True)
    due_on = models.DateField()
    interval_months = models.PositiveSmallIntegerField(default=12)
    tagged_out = models.BooleanField(default=False)
    tagged_out_because = models.CharField(max_length=200, blank=True)
    tagged_out_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, related_name="+"
    )
    tagged_out_at = models.DateTimeField(null=True, blank=True)
    retired_on = models.DateField(null=True, blank=True)
    version = models.PositiveIntegerField(default=1)

    objects = EquipmentQuerySet.as_manager()

    class Meta:
        verbose_name_plural = "equipment"
        ordering = ["due_on", "pk"]
        constraints = [
            models.CheckConstraint(
                name="equipment_due_after_inspection",
                condition=Q(inspected_on__isnull=True) | Q(due_on__gt=F("inspected_on")),
                violation_error_message="The next inspection is due after the last one.",
            ),
            exactly_one_of("equipment_kind_known", "kind", EquipmentKind),
            models.CheckConstraint(
                name="equipment_interval_possible",
                condition=Q(interval_months__range=(1, 120)),
                violation_error_message="Inspections are 1 to 120 months apart.",
            ),
        ]

    def __str__(self) -> str:
        return self.name


class EquipmentInspection(ProgramOwned):
    """One inspection of one piece: by whom, whether it passed, when the next is due."""

    equipment = models.ForeignKey(Equipment, models.PROTECT, related_name="inspections")
    on = models.DateField()
    by_name = models.CharField("inspected by", max_length=120)
    passed = models.BooleanField(default=True)
    next_due_on = models.DateField(null=True, blank=True)
    paper = models.CharField("certificate or invoice number", max_length=80, blank=True)
    note = models.CharField(max_length=200, blank=True)
    recorded_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, related_name="+"
    )
    recorded_at = models.DateTimeField(default=timezone.now)
    client_key = models.UUIDField(null=True, blank=True)

    class Meta:
        ordering = ["-on", "-pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["program", "client_key"],
                name="inspection_of_equipment_once",
                violation_error_message="This inspection is on record already.",
            ),
            models.CheckConstraint(
                name="inspection_of_equipment_due_later",
                condition=Q(next_due_on__isnull=True) | Q(next_due_on__gt=F("on")),
                violation_error_message="The next inspection is due after this one.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.equipment}, {self.on}"
