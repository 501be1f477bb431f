"""Trouble codes as they were read from a car."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.utils import timezone

from shared.accounts.models import ProgramOwned
from shared.choices import choices_of
from shared.rules import exactly_one_of
from vehicles.codes.kinds import Lamp
from vehicles.intake.models import Intake


class CodeScan(ProgramOwned):
    """One reading of the trouble codes of a car, with the battery's state at that time."""

    intake = models.ForeignKey(Intake, models.PROTECT, related_name="code_scans")
    pasted = models.TextField(blank=True)
    complete = models.BooleanField("all modules were read", default=False)
    battery_volts = models.CharField(max_length=10, blank=True)
    lamp = models.CharField(max_length=10, choices=choices_of(Lamp), default=Lamp.UNKNOWN)
    freeze_frame = models.TextField(blank=True)
    note = models.CharField(max_length=300, blank=True)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    at = models.DateTimeField(default=timezone.now)
    cleared_at = models.DateTimeField("codes cleared", null=True, blank=True)
    cleared_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, related_name="+"
    )
    withdrawn_at = models.DateTimeField(null=True, blank=True)
    withdrawn_because = models.CharField(max_length=200, blank=True)
    client_key = models.UUIDField(null=True, blank=True, unique=True)

    class Meta:
        ordering = ["-at", "-pk"]
        constraints = [exactly_one_of("code_scan_lamp_known", "lamp", Lamp)]

    def __str__(self) -> str:
        return f"codes of {self.at:%Y-%m-%d}"


class TroubleCode(ProgramOwned):
    """One code of one scan, with its meaning as the table said it then."""

    scan = models.ForeignKey(CodeScan, models.PROTECT, related_name="codes")
    code = models.CharField(max_length=8)
    storage = models.CharField(max_length=10, blank=True)
    meaning = models.CharField(max_length=200, blank=True)
    severity = models.CharField(max_length=20, blank=True)
    source = models.CharField(max_length=120, blank=True)
    seen = models.BooleanField("the source was read", default=False)

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["program", "scan", "code", "storage"],
                name="trouble_code_once",
                violation_error_message="This code is in the list already.",
            ),
        ]

    def __str__(self) -> str:
        return self.code
