"""A vehicle, and each of its stays. Everything found hangs on the stay it was found in."""

from __future__ import annotations

from typing import TYPE_CHECKING, Self

from django.conf import settings
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import Q

from shared.accounts.models import ProgramOwned

if TYPE_CHECKING:
    from shared.accounts.models import User


class VehicleQuerySet(models.QuerySet["Vehicle"]):
    """Vehicles, starting from the person who asks."""

    def for_user(self, user: User) -> Self:
        """Return the vehicles of the user's program that no tie withholds from them."""
        return self.filter(program_id=user.program_id).exclude(withheld_from=user)


class Vehicle(ProgramOwned):
    """A car with its VIN. Whose it is stands in custody and, for a household, in the case."""

    vin = models.CharField("VIN", max_length=17, blank=True)
    vin_note = models.CharField(
        max_length=120, blank=True, help_text="Why an unusual VIN is right."
    )
    year = models.PositiveSmallIntegerField(
        "model year", validators=[MinValueValidator(1950), MaxValueValidator(2040)]
    )
    make = models.CharField(max_length=40)
    model = models.CharField(max_length=40)
    engine = models.CharField(max_length=40, blank=True)
    transmission = models.CharField(max_length=20, blank=True)
    tire_size = models.CharField(max_length=20, blank=True)
    plate = models.CharField(max_length=12, blank=True)
    withheld_from = models.ManyToManyField(settings.AUTH_USER_MODEL, blank=True, related_name="+")
    version = models.PositiveIntegerField(default=1)

    objects = VehicleQuerySet.as_manager()

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["program", "vin"],
                name="vehicle_vin_once",
                condition=~Q(vin=""),
                violation_error_message="A vehicle with this VIN is here already.",
            ),
            models.CheckConstraint(
                name="vehicle_year_possible",
                condition=Q(year__range=(1950, 2040)),
                violation_error_message="A model year lies between 1950 and 2040.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.year} {self.make} {self.model}"


class IntakeQuerySet(models.QuerySet["Intake"]):
    """Stays, starting from the person who asks."""

    def for_user(self, user: User) -> Self:
        """Return the stays of vehicles that the user may see."""
        return self.filter(program_id=user.program_id).exclude(vehicle__withheld_from=user)

    def open(self) -> Self:
        """Return the stays that have not ended."""
        return self.filter(left_on__isnull=True)


class Intake(ProgramOwned):
    """One stay of one vehicle: the complaint as told, the odometer, and when it came and left."""

    vehicle = models.ForeignKey(Vehicle, models.PROTECT, related_name="intakes")
    previous = models.OneToOneField(
        "self", models.PROTECT, null=True, blank=True, related_name="comeback"
    )
    arrived_on = models.DateField()
    left_on = models.DateField(null=True, blank=True)
    complaint = models.TextField(help_text="In the household's own words.")
    odometer_mi = models.PositiveIntegerField("odometer, miles", null=True, blank=True)
    miles_per_week = models.PositiveIntegerField(default=0)
    client_key = models.UUIDField(null=True, blank=True, unique=True)
    version = models.PositiveIntegerField(default=1)

    objects = IntakeQuerySet.as_manager()

    class Meta:
        ordering = ["-arrived_on", "-pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["program", "vehicle"],
                name="intake_one_open_stay",
                condition=Q(left_on__isnull=True),
                violation_error_message="This vehicle is here already; end its open stay first.",
            ),
            models.CheckConstraint(
                name="intake_leaves_after_arrival",
                condition=Q(left_on__isnull=True) | Q(left_on__gte=models.F("arrived_on")),
                violation_error_message="A vehicle can't leave before it arrives.",
            ),
            models.CheckConstraint(
                name="intake_miles_possible",
                condition=(Q(odometer_mi__isnull=True) | Q(odometer_mi__lt=1_000_000))
                & Q(miles_per_week__lte=5_000),
                violation_error_message=(
                    "An odometer shows under 1,000,000 miles, a week 5,000 at most."
                ),
            ),
        ]

    def __str__(self) -> str:
        return f"{self.vehicle}, stay from {self.arrived_on}"
