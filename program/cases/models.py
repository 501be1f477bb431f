"""What joins a household and a vehicle, from application to hand-back and follow-up."""

from __future__ import annotations

from typing import TYPE_CHECKING, Self

from django.db import models
from django.db.models import Exists, F, OuterRef, Q

from program.households.models import Household, Tie
from shared.accounts.models import ProgramOwned
from shared.links.models import AccessLink
from vehicles.intake.models import Vehicle

if TYPE_CHECKING:
    from shared.accounts.models import User


class CaseQuerySet(models.QuerySet["Case"]):
    """Cases, starting from the person who asks."""

    def for_user(self, user: User) -> Self:
        """Return the cases of the user's program that no tie withholds from them."""
        tie = Tie.objects.filter(user=user, ended_on__isnull=True, household=OuterRef("household"))
        return self.filter(~Exists(tie), program_id=user.program_id)

    def open(self) -> Self:
        """Return the cases that have not been closed."""
        return self.filter(closed_on__isnull=True)


class Case(ProgramOwned):
    """One household and one vehicle; either may come later than the other."""

    number = models.CharField(max_length=10, help_text="Year and number, such as 26-041.")
    household = models.ForeignKey(
        Household, models.PROTECT, null=True, blank=True, related_name="cases"
    )
    vehicle = models.ForeignKey(Vehicle, models.PROTECT, null=True, blank=True, related_name="+")
    opened_on = models.DateField()
    promised_on = models.DateField(null=True, blank=True, help_text="A day the household was told.")
    next_word_on = models.DateField(null=True, blank=True)
    closed_on = models.DateField(null=True, blank=True)
    closed_because = models.CharField(max_length=200, blank=True)
    link = models.OneToOneField(AccessLink, models.PROTECT, null=True, blank=True, related_name="+")
    version = models.PositiveIntegerField(default=1)

    objects = CaseQuerySet.as_manager()

    class Meta:
        ordering = ["number"]
        constraints = [
            models.UniqueConstraint(
                fields=["program", "number"],
                name="case_number_once",
                violation_error_message="There is a case of this number already.",
            ),
            models.UniqueConstraint(
                fields=["program", "vehicle"],
                name="case_one_open_a_vehicle",
                condition=Q(closed_on__isnull=True),
                violation_error_message="This vehicle has an open case already.",
            ),
            models.CheckConstraint(
                name="case_of_somebody",
                condition=Q(household__isnull=False) | Q(vehicle__isnull=False),
                violation_error_message="A case has a household, a vehicle or both.",
            ),
            models.CheckConstraint(
                name="case_closes_after_opening",
                condition=Q(closed_on__isnull=True) | Q(closed_on__gte=F("opened_on")),
                violation_error_message="A case can't close before it opens.",
            ),
        ]

    def __str__(self) -> str:
        return self.number
