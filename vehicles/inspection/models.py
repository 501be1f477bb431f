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
    limit = models.CharField(max_length=80, blank=True)
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
                fields=["program", "intake", "criterion", "position"],
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
