"""What the board has set, by version: a new value is a new row with its date and its reason."""

from __future__ import annotations

from typing import TYPE_CHECKING, Self

from django.conf import settings
from django.core.exceptions import ValidationError
from django.db import models

from shared.accounts.models import Program, ProgramOwned
from shared.policy.defaults import DEFAULTS

if TYPE_CHECKING:
    import datetime as dt


def validate_known(name: str) -> None:
    """Refuse the name of a policy that nothing reads."""
    if name not in DEFAULTS:
        raise ValidationError(f"“{name}” is not a policy. Use one of: {', '.join(DEFAULTS)}.")


class PolicyQuerySet(models.QuerySet["Policy"]):
    """Policies by the day they hold on."""

    def in_force(self, program: Program, on: dt.date) -> Self:
        """Return the program's policies that have begun by `on`, oldest first."""
        return self.filter(program=program, since_on__lte=on).order_by("since_on", "pk")


class Policy(ProgramOwned):
    """One value of one policy from a day on."""

    name = models.CharField(max_length=40, validators=[validate_known])
    value = models.BigIntegerField()
    since_on = models.DateField()
    reason = models.CharField(max_length=200)
    by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, related_name="+"
    )

    objects = PolicyQuerySet.as_manager()

    class Meta:
        verbose_name_plural = "policies"
        constraints = [
            models.UniqueConstraint(
                fields=["program", "name", "since_on"],
                name="policy_once_a_day",
                violation_error_message="This policy was set for that day already.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.name} = {self.value}"
