"""A vehicle, and each of its stays. Everything found hangs on the stay it was found in."""

from __future__ import annotations

from typing import TYPE_CHECKING, Self

from django.conf import settings
from django.core.validators import MaxValueValidator, MinValueValidator
from django.db import models
from django.db.models import F, Q
from django.utils import timezone

from shared.accounts.models import ProgramOwned
from shared.choices import choices_of
from vehicles.intake.car import Brake, CarFacts, Fuel
from vehicles.intake.kinds import Arrival, PhotoAbout

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
    body = models.CharField(max_length=20, blank=True)
    fuel = models.CharField(max_length=10, choices=choices_of(Fuel), blank=True)
    front_brakes = models.CharField(max_length=5, choices=choices_of(Brake), blank=True)
    rear_brakes = models.CharField(max_length=5, choices=choices_of(Brake), blank=True)
    power_brakes = models.BooleanField(null=True, blank=True)
    plate = models.CharField(max_length=12, blank=True)
    plate_state = models.CharField(max_length=2, blank=True)
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

    @property
    def facts(self) -> CarFacts:
        """What is known of the car, as the points of the sheet ask for it."""
        return CarFacts(
            year=self.year,
            fuel=Fuel(self.fuel) if self.fuel else None,
            front_brakes=Brake(self.front_brakes) if self.front_brakes else None,
            rear_brakes=Brake(self.rear_brakes) if self.rear_brakes else None,
            power_brakes=self.power_brakes,
        )


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
    arrived_by = models.CharField(max_length=10, choices=choices_of(Arrival), blank=True)
    driver = models.CharField("who drives it", max_length=120, blank=True)
    sleeps_in = models.BooleanField("somebody sleeps in it", null=True, blank=True)
    odometer_mi = models.PositiveIntegerField("odometer, miles", null=True, blank=True)
    odometer_because = models.CharField(
        max_length=120, blank=True, help_text="Why it shows less than before."
    )
    fuel_eighths = models.PositiveSmallIntegerField("fuel, eighths", null=True, blank=True)
    lamps = models.JSONField("warning lamps lit", default=list, blank=True)
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
            models.CheckConstraint(
                name="intake_fuel_possible",
                condition=Q(fuel_eighths__isnull=True) | Q(fuel_eighths__lte=8),
                violation_error_message="A full tank is 8 eighths.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.vehicle}, stay from {self.arrived_on}"


class PhotoQuerySet(models.QuerySet["Photo"]):
    """Photos, starting from the person who asks."""

    def for_user(self, user: User) -> Self:
        """Return the photos of vehicles that the user may see."""
        return self.filter(program_id=user.program_id).exclude(intake__vehicle__withheld_from=user)

    def kept(self) -> Self:
        """Return the photos that nobody has taken away."""
        return self.filter(voided_at__isnull=True)


class Photo(ProgramOwned):
    """One picture of one stay, re-encoded. The files lie in private storage under `name`.

    `key` names the thing shown in the words of its own room: the client key of a mark on the
    drawing, `tire-tread/LF` for a reading, the key of a row of contents.
    """

    intake = models.ForeignKey(Intake, models.PROTECT, related_name="photos")
    about = models.CharField(max_length=12, choices=choices_of(PhotoAbout))
    key = models.CharField(max_length=64, blank=True)
    caption = models.CharField(max_length=120, blank=True)
    name = models.CharField(max_length=80, unique=True)
    sha256 = models.CharField(max_length=64)
    width = models.PositiveIntegerField()
    height = models.PositiveIntegerField()
    size = models.PositiveIntegerField("bytes")
    by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    at = models.DateTimeField(default=timezone.now)
    voided_at = models.DateTimeField(null=True, blank=True)
    voided_because = models.CharField(max_length=120, blank=True)

    objects = PhotoQuerySet.as_manager()

    class Meta:
        ordering = ["at", "pk"]
        constraints = [
            models.CheckConstraint(
                name="photo_void_has_reason",
                condition=Q(voided_at__isnull=True) | ~Q(voided_because=""),
                violation_error_message="A photo is taken away with a reason.",
            ),
        ]

    def __str__(self) -> str:
        return self.caption or f"photo {self.pk}"


class Upload(ProgramOwned):
    """A photo on its way: what has come of it so far lies in a file named by the key."""

    client_key = models.UUIDField(unique=True)
    intake = models.ForeignKey(Intake, models.PROTECT, related_name="uploads")
    about = models.CharField(max_length=12, choices=choices_of(PhotoAbout))
    key = models.CharField(max_length=64, blank=True)
    caption = models.CharField(max_length=120, blank=True)
    size = models.PositiveIntegerField("bytes")
    received = models.PositiveIntegerField("bytes received", default=0)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    begun_at = models.DateTimeField(default=timezone.now)
    photo = models.OneToOneField(
        Photo, models.PROTECT, null=True, blank=True, related_name="upload"
    )
    refused_because = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.CheckConstraint(
                name="upload_never_more_than_announced",
                condition=Q(received__lte=F("size")),
                violation_error_message="More came than was announced.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.received} of {self.size} bytes"


class WalkRoundMark(ProgramOwned):
    """What was seen at one place of the drawing of the car; `x` and `y` in units of the drawing."""

    intake = models.ForeignKey(Intake, models.PROTECT, related_name="marks")
    client_key = models.UUIDField(unique=True)
    kind = models.CharField(max_length=20)
    x = models.PositiveSmallIntegerField()
    y = models.PositiveSmallIntegerField()
    area = models.CharField(max_length=60)
    note = models.CharField(max_length=120, blank=True)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    at = models.DateTimeField(default=timezone.now)
    voided_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["pk"]

    def __str__(self) -> str:
        return f"{self.kind}, {self.area}"
