"""Readings as they were judged, and the findings that follow from them."""

from __future__ import annotations

from typing import TYPE_CHECKING, Self

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.utils import timezone

from shared.accounts.models import ProgramOwned
from shared.choices import choices_of
from shared.rules import exactly_one_of
from vehicles.inspection.criteria import DeficiencyClass
from vehicles.inspection.depths import Depth
from vehicles.intake.models import Intake
from vehicles.shop.systems import System

if TYPE_CHECKING:
    from shared.accounts.models import User

SEVERITIES = range(1, 5)


class Judged(models.Model):
    """What a judgment says; a reading keeps it as it was, whatever the catalogue says later."""

    system = models.CharField(max_length=20, choices=choices_of(System))
    deficiency = models.CharField(max_length=10, choices=choices_of(DeficiencyClass))
    severity = models.PositiveSmallIntegerField(default=4)
    never_release = models.BooleanField(default=False)
    strands = models.BooleanField(default=False)
    us_reject = models.BooleanField(default=False)
    reason_key = models.CharField(max_length=40, blank=True)
    sentence = models.CharField(max_length=300)
    source = models.CharField(max_length=200, blank=True)
    text_seen = models.BooleanField(default=False)

    class Meta:
        abstract = True


class ReadingQuerySet(models.QuerySet["Reading"]):
    """Readings that still stand."""

    def current(self) -> Self:
        """Return the readings that no later one has replaced."""
        return self.filter(replaced_at__isnull=True)

    def for_user(self, user: User) -> Self:
        """Return the readings of vehicles that the user may see."""
        return self.filter(program_id=user.program_id).exclude(intake__vehicle__withheld_from=user)


class Reading(Judged, ProgramOwned):
    """What was measured or seen for one criterion at one place. The typed text is the truth."""

    intake = models.ForeignKey(Intake, models.PROTECT, related_name="readings")
    criterion = models.CharField(max_length=40)
    position = models.CharField(max_length=20, blank=True)
    typed = models.CharField(max_length=40)
    unit = models.CharField(max_length=20, blank=True)
    final = models.BooleanField("of the final sheet", default=False)
    limit = models.CharField(max_length=80, blank=True)
    shipped_limit = models.CharField(
        max_length=80, blank=True, help_text="The catalogue’s own, where a local limit judged."
    )
    limit_because = models.CharField(max_length=200, blank=True)
    catalogue_version = models.CharField(max_length=20)
    read_on = models.DateField()
    read_by = models.CharField(max_length=120, help_text="Name and credential as of that day.")
    recorded_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, related_name="+"
    )
    recorded_at = models.DateTimeField(default=timezone.now)
    replaced_at = models.DateTimeField(null=True, blank=True)
    client_key = models.UUIDField(null=True, blank=True, unique=True)

    objects = ReadingQuerySet.as_manager()

    class Meta:
        ordering = ["pk"]
        constraints = [
            exactly_one_of("reading_class_known", "deficiency", DeficiencyClass),
            models.CheckConstraint(
                name="reading_severity_known",
                condition=Q(severity__in=SEVERITIES),
                violation_error_message="Severity is 1, 2, 3 or 4.",
            ),
            models.UniqueConstraint(
                fields=["program", "intake", "criterion", "position", "final"],
                name="reading_one_stands",
                condition=Q(replaced_at__isnull=True),
                violation_error_message="Somebody else recorded this point meanwhile.",
            ),
        ]

    def __str__(self) -> str:
        return self.sentence


class FindingQuerySet(models.QuerySet["Finding"]):
    """Findings that still stand."""

    def open(self) -> Self:
        """Return the findings that are neither cleared nor withdrawn."""
        return self.filter(cleared_on__isnull=True, withdrawn_because="")


class Finding(Judged, ProgramOwned):
    """What is wrong, with its evidence, its class and what caused it."""

    intake = models.ForeignKey(Intake, models.PROTECT, related_name="findings")
    reading = models.OneToOneField(
        Reading, models.PROTECT, null=True, blank=True, related_name="finding"
    )
    title = models.CharField(max_length=120)
    evidence = models.CharField(max_length=300, blank=True)
    code_severity = models.CharField(max_length=20, default="none")
    caused_by = models.ForeignKey(
        "self", models.PROTECT, null=True, blank=True, related_name="caused"
    )
    found_on = models.DateField()
    found_by = models.CharField(max_length=120)
    cleared_on = models.DateField(null=True, blank=True)
    withdrawn_because = models.CharField(max_length=200, blank=True)
    version = models.PositiveIntegerField(default=1)

    objects = FindingQuerySet.as_manager()

    class Meta:
        ordering = ["pk"]
        constraints = [
            exactly_one_of("finding_class_known", "deficiency", DeficiencyClass),
            models.CheckConstraint(
                name="finding_severity_known",
                condition=Q(severity__in=SEVERITIES),
                violation_error_message="Severity is 1, 2, 3 or 4.",
            ),
            models.CheckConstraint(
                name="finding_never_its_own_cause",
                condition=~Q(caused_by=models.F("id")),
                violation_error_message="A finding can't be its own cause.",
            ),
        ]

    def __str__(self) -> str:
        return self.title


class InspectionQuerySet(models.QuerySet["Inspection"]):
    """Inspections that go on."""

    def open(self) -> Self:
        """Return the inspections that nobody has ended."""
        return self.filter(ended_at__isnull=True)


class Inspection(ProgramOwned):
    """Going through the car at one depth. The look and the full sheet fill the same points."""

    intake = models.ForeignKey(Intake, models.PROTECT, related_name="inspections")
    depth = models.CharField(max_length=5, choices=choices_of(Depth))
    begun_at = models.DateTimeField(default=timezone.now)
    begun_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    hands = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, related_name="+", verbose_name="in whose hands"
    )
    odometer_mi = models.PositiveIntegerField("odometer, miles", null=True, blank=True)
    ended_at = models.DateTimeField(null=True, blank=True)
    ended_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, related_name="+"
    )
    unread = models.PositiveSmallIntegerField("points left unread", null=True, blank=True)
    stopped_because = models.CharField(max_length=300, blank=True)
    version = models.PositiveIntegerField(default=1)

    objects = InspectionQuerySet.as_manager()

    class Meta:
        ordering = ["begun_at", "pk"]
        constraints = [
            exactly_one_of("inspection_depth_known", "depth", Depth),
            models.UniqueConstraint(
                fields=["program", "intake", "depth"],
                name="inspection_one_open",
                condition=Q(ended_at__isnull=True),
                violation_error_message="This sheet is open already.",
            ),
        ]

    def __str__(self) -> str:
        return f"{Depth(self.depth).label}, {self.intake}"


class NotRead(ProgramOwned):
    """Why one point was not read. It is no reading: unread is never good."""

    intake = models.ForeignKey(Intake, models.PROTECT, related_name="not_read")
    criterion = models.CharField(max_length=40)
    position = models.CharField(max_length=20, blank=True)
    final = models.BooleanField(default=False)
    because = models.CharField(max_length=200)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    at = models.DateTimeField(default=timezone.now)
    lifted_at = models.DateTimeField(null=True, blank=True)
    client_key = models.UUIDField(null=True, blank=True, unique=True)

    class Meta:
        verbose_name_plural = "points not read"
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["program", "intake", "criterion", "position", "final"],
                name="not_read_said_once",
                condition=Q(lifted_at__isnull=True),
                violation_error_message="Somebody said already why this point is not read.",
            ),
        ]

    def __str__(self) -> str:
        return self.because


class Regrade(ProgramOwned):
    """A class that a person set against the catalogue: up at once, down by two people."""

    finding = models.ForeignKey(Finding, models.PROTECT, null=True, related_name="regrades")
    reading = models.ForeignKey(Reading, models.PROTECT, null=True, related_name="regrades")
    was = models.CharField(max_length=10, choices=choices_of(DeficiencyClass))
    becomes = models.CharField(max_length=10, choices=choices_of(DeficiencyClass))
    because = models.CharField(max_length=200)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    at = models.DateTimeField(default=timezone.now)
    waits = models.BooleanField("waits for a second person", default=False)
    second = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, related_name="+"
    )
    second_at = models.DateTimeField(null=True, blank=True)
    refused_because = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ["pk"]
        constraints = [
            exactly_one_of("regrade_class_known", "becomes", DeficiencyClass),
            models.CheckConstraint(
                name="regrade_of_something",
                condition=Q(finding__isnull=False) | Q(reading__isnull=False),
                violation_error_message="A class is set for a reading or a finding.",
            ),
            models.CheckConstraint(
                name="regrade_second_is_another",
                condition=Q(second__isnull=True) | ~Q(second=models.F("by")),
                violation_error_message="The second person has to be somebody else.",
            ),
            models.UniqueConstraint(
                fields=["program", "finding"],
                name="regrade_one_waits",
                condition=Q(waits=True),
                violation_error_message="A change of this class waits for its second person.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.was} to {self.becomes}"


class LocalLimit(ProgramOwned):
    """A limit that the program sets for its state, over the catalogue's, from a day on."""

    criterion = models.CharField(max_length=40)
    reason = models.CharField(max_length=40, help_text="Key of the reason whose limit moves.")
    typed = models.CharField(max_length=20, help_text="In the unit of the criterion.")
    since_on = models.DateField()
    ended_on = models.DateField(null=True, blank=True)
    because = models.CharField(max_length=200)
    source = models.CharField(max_length=200, blank=True)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    made_at = models.DateTimeField(default=timezone.now)

    class Meta:
        ordering = ["criterion", "since_on", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["program", "criterion", "reason", "since_on"],
                name="local_limit_once_a_day",
                condition=Q(ended_on__isnull=True),
                violation_error_message="This limit is set for that day already.",
            ),
            models.CheckConstraint(
                name="local_limit_dates_in_order",
                condition=Q(ended_on__isnull=True) | Q(ended_on__gte=models.F("since_on")),
                violation_error_message="A limit can't end before it begins.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.criterion}, {self.reason}: {self.typed}"
