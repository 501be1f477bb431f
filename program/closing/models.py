"""What was done before a month is shut, the year's duties, and the file for the auditor."""

from __future__ import annotations

from typing import TYPE_CHECKING, Self

from django.conf import settings
from django.db import models
from django.utils import timezone

from program.closing.kinds import StepKind
from shared.accounts.models import ProgramOwned
from shared.choices import choices_of
from shared.rules import exactly_one_of

if TYPE_CHECKING:
    from shared.accounts.models import User


class CloseStep(ProgramOwned):
    """One line of a month's closing list that a person did, or found to have nothing in it."""

    month = models.DateField(help_text="Its first day.")
    kind = models.CharField(max_length=10, choices=choices_of(StepKind))
    by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    at = models.DateTimeField(default=timezone.now)
    note = models.CharField(max_length=300, blank=True)
    undone_at = models.DateTimeField(null=True, blank=True)
    undone_because = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ["month", "pk"]
        constraints = [
            exactly_one_of("close_step_known", "kind", StepKind),
            models.UniqueConstraint(
                fields=["program", "month", "kind"],
                name="close_step_once",
                condition=models.Q(undone_at__isnull=True),
                violation_error_message="This line of the list is done already.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.kind} of {self.month:%Y-%m}"


class DutyDone(ProgramOwned):
    """One duty of one calendar year that somebody did, or said does not apply, with the reason."""

    year = models.PositiveSmallIntegerField()
    code = models.CharField(max_length=40, help_text="As in the catalogue of duties.")
    on = models.DateField()
    applies = models.BooleanField(default=True)
    note = models.CharField(max_length=300, blank=True)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    at = models.DateTimeField(default=timezone.now)
    undone_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        ordering = ["year", "code"]
        constraints = [
            models.UniqueConstraint(
                fields=["program", "year", "code"],
                name="duty_done_once",
                condition=models.Q(undone_at__isnull=True),
                violation_error_message="This duty is done already.",
            ),
            models.CheckConstraint(
                name="duty_set_aside_with_reason",
                condition=models.Q(applies=True) | ~models.Q(note=""),
                violation_error_message="Say why the duty does not apply.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.code} {self.year}"


class YearFileQuerySet(models.QuerySet["YearFile"]):
    """Year files, starting from the person who asks."""

    def for_user(self, user: User) -> Self:
        """Return the files of the user's program."""
        return self.filter(program_id=user.program_id)


class YearFile(ProgramOwned):
    """A zip for the auditor, asked for by a person and made by a job."""

    from_on = models.DateField()
    until_on = models.DateField()
    asked_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    asked_at = models.DateTimeField(default=timezone.now)
    path = models.CharField(max_length=200, blank=True, help_text="In the private storage.")
    size = models.PositiveBigIntegerField("bytes", default=0)
    sha256 = models.CharField(max_length=64, blank=True)
    counts = models.JSONField(default=dict, blank=True)
    made_at = models.DateTimeField(null=True, blank=True)
    client_key = models.UUIDField()

    objects = YearFileQuerySet.as_manager()

    class Meta:
        ordering = ["-pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["program", "client_key"],
                name="year_file_asked_once",
                violation_error_message="This file was asked for already.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.from_on} to {self.until_on}"
