"""The shop itself: bays, and equipment that is only used while its inspection is in date."""

from __future__ import annotations

from typing import TYPE_CHECKING, Self

from django.db import models

from shared.accounts.models import ProgramOwned

if TYPE_CHECKING:
    import datetime as dt


class Bay(ProgramOwned):
    """A place where one car is worked on."""

    name = models.CharField(max_length=40)
    has_lift = models.BooleanField(default=False)
    closed_on = models.DateField(null=True, blank=True)

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


class EquipmentQuerySet(models.QuerySet["Equipment"]):
    """Equipment by its due date."""

    def out_of_use(self, on: dt.date) -> Self:
        """Return what may not be used on a day: overdue or tagged out."""
        return self.filter(models.Q(due_on__lt=on) | models.Q(tagged_out=True))


class Equipment(ProgramOwned):
    """A lift, jack, stand or wrench with the day its next inspection is due."""

    name = models.CharField(max_length=80)
    bay = models.ForeignKey(Bay, models.PROTECT, null=True, blank=True, related_name="equipment")
    inspected_on = models.DateField(null=True, blank=True)
    due_on = models.DateField()
    tagged_out = models.BooleanField(default=False)

    objects = EquipmentQuerySet.as_manager()

    class Meta:
        verbose_name_plural = "equipment"
        ordering = ["due_on", "pk"]
        constraints = [
            models.CheckConstraint(
                name="equipment_due_after_inspection",
                condition=models.Q(inspected_on__isnull=True)
                | models.Q(due_on__gt=models.F("inspected_on")),
                violation_error_message="The next inspection is due after the last one.",
            ),
        ]

    def __str__(self) -> str:
        return self.name
