"""The families helped, where each stands, and who among the staff is tied to them."""

from __future__ import annotations

from typing import TYPE_CHECKING, Self

from django.conf import settings
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import Q
from django.utils import timezone

from program.households.stages import Stage
from shared.accounts.models import ProgramOwned
from shared.choices import choices_of
from shared.outbox.models import Address
from shared.rules import exactly_one_of

if TYPE_CHECKING:
    from shared.accounts.models import User


class HouseholdQuerySet(models.QuerySet["Household"]):
    """Households, starting from the person who asks."""

    def for_user(self, user: User) -> Self:
        """Return the households of the user's program to which the user has no tie."""
        return self.filter(program_id=user.program_id).exclude(
            ties__in=Tie.objects.filter(user=user, ended_on__isnull=True)
        )


class Household(ProgramOwned):
    """One family: how to reach them safely, what they need the car for, where they stand."""

    name = models.CharField(max_length=120, help_text="The person who applied.")
    adults = models.PositiveSmallIntegerField(default=1, validators=[MinValueValidator(1)])
    children = models.PositiveSmallIntegerField(default=0)
    county = models.CharField(max_length=40, blank=True)
    kinds = models.JSONField(
        default=list, blank=True, help_text="Codes that restrictions speak of."
    )
    address = models.OneToOneField(Address, models.PROTECT, related_name="+")
    safe_contact_on = models.DateField(
        "safe contact asked on",
        null=True,
        blank=True,
        help_text="Empty: not asked, so no mail goes.",
    )
    miles_per_week = models.PositiveIntegerField(default=0, validators=[MaxValueValidator(5_000)])
    stage = models.CharField(max_length=20, choices=choices_of(Stage), default=Stage.CALLED)
    stage_since_on = models.DateField()
    decide_by_on = models.DateField(null=True, blank=True)
    need_weight = models.PositiveSmallIntegerField(default=0)
    need_points = models.JSONField(
        default=dict, help_text="Points by code, as the program set them."
    )
    threat_on = models.DateField("dated threat", null=True, blank=True)
    version = models.PositiveIntegerField(default=1)

    objects = HouseholdQuerySet.as_manager()

    class Meta:
        ordering = ["name", "pk"]
        constraints = [
            exactly_one_of("household_stage_known", "stage", Stage),
            models.CheckConstraint(
                name="household_size_possible",
                condition=Q(adults__range=(1, 30)) & Q(children__lte=30),
                violation_error_message="A household has 1 to 30 adults and up to 30 children.",
            ),
            models.CheckConstraint(
                name="household_miles_possible",
                condition=Q(miles_per_week__lte=5_000),
                violation_error_message="Nobody drives more than 5,000 miles a week.",
            ),
        ]

    def __str__(self) -> str:
        return self.name


class Tie(ProgramOwned):
    """A user who may neither see nor decide for a household, and since when."""

    household = models.ForeignKey(Household, models.PROTECT, related_name="ties")
    user = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    declared_at = models.DateTimeField(default=timezone.now)
    ended_on = models.DateField(null=True, blank=True)

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["program", "household", "user"],
                name="tie_declared_once",
                condition=Q(ended_on__isnull=True),
                violation_error_message="This tie is on record already.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.user} is tied to household {self.household_id}"
