"""Wheel nuts: tightened with which wrench, by whom, and tightened again."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.utils import timezone

from shared.accounts.models import ProgramOwned
from shared.rules import above_zero
from vehicles.intake.models import Intake
from vehicles.shop.models import Equipment


class WheelTorque(ProgramOwned):
    """All wheels of one stay tightened once. It counts when the wrench was in date that day."""

    intake = models.ForeignKey(Intake, models.PROTECT, related_name="torques")
    wrench = models.ForeignKey(Equipment, models.PROTECT, related_name="torques")
    foot_pounds = models.PositiveSmallIntegerField()
    pattern = models.CharField("wheels", max_length=20, default="LF RF LR RR")
    odometer_mi = models.PositiveIntegerField(null=True, blank=True)
    is_again = models.BooleanField("the second time, after driving", default=False)
    at = models.DateTimeField(default=timezone.now)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    wrench_due_on = models.DateField(help_text="As the wrench stood that day.")
    counts = models.BooleanField(default=True)
    because = models.CharField(max_length=200, blank=True)
    voided_because = models.CharField(max_length=200, blank=True)
    client_key = models.UUIDField(null=True, blank=True)

    class Meta:
        ordering = ["-at", "-pk"]
        constraints = [
            above_zero("torque_above_zero", "foot_pounds", "A torque"),
            models.UniqueConstraint(
                fields=["program", "client_key"],
                name="torque_written_once",
                violation_error_message="This is on record already.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.foot_pounds} lb-ft, {self.intake}"
