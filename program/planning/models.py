"""Plans as they were asked for, computed and approved; and what a person has pinned."""

from __future__ import annotations

from typing import TYPE_CHECKING, Self

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.utils import timezone

from program.cases.models import Case
from program.planning.states import PinDirection, PlanState
from shared.accounts.models import ProgramOwned
from shared.choices import choices_of
from shared.rules import exactly_one_of

if TYPE_CHECKING:
    from shared.accounts.models import User


class PlanQuerySet(models.QuerySet["Plan"]):
    """Plans, starting from the person who asks."""

    def for_user(self, user: User) -> Self:
        """Return the plans of the user's program."""
        return self.filter(program_id=user.program_id)


class Plan(ProgramOwned):
    """One computation for some weeks: the hash of its input, the answer, how far it is proven."""

    number = models.PositiveIntegerField()
    first_week_on = models.DateField()
    weeks = models.PositiveSmallIntegerField()
    state = models.CharField(max_length=12, choices=choices_of(PlanState), default=PlanState.ASKED)
    input_hash = models.CharField(max_length=64, blank=True)
    result = models.JSONField(default=dict, blank=True)
    proven = models.BooleanField(default=False)
    repeatable = models.BooleanField(
        default=True, help_text="No: a clock or a person stopped the search."
    )
    asks = models.JSONField("what to ask for first, exact", default=dict, blank=True)
    value = models.IntegerField(default=0, help_text="Need weight that goes home.")
    bound = models.IntegerField(default=0, help_text="No plan can reach more than this.")
    asked_at = models.DateTimeField(default=timezone.now)
    asked_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, related_name="+"
    )
    computed_at = models.DateTimeField(null=True, blank=True)
    error = models.CharField(max_length=300, blank=True)
    approved_at = models.DateTimeField(null=True, blank=True)
    approved_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, related_name="+"
    )
    version = models.PositiveIntegerField(default=1)

    objects = PlanQuerySet.as_manager()

    class Meta:
        ordering = ["-number"]
        constraints = [
            exactly_one_of("plan_state_known", "state", PlanState),
            models.UniqueConstraint(
                fields=["program", "number"],
                name="plan_number_once",
                violation_error_message="There is a plan of this number already.",
            ),
            models.UniqueConstraint(
                fields=["program", "state"],
                name="plan_one_approved",
                condition=Q(state=PlanState.APPROVED),
                violation_error_message="Another plan is approved; this one has to follow it.",
            ),
            models.CheckConstraint(
                name="plan_value_within_bound",
                condition=Q(value__lte=models.F("bound")),
                violation_error_message="A plan can't be worth more than its bound.",
            ),
            models.CheckConstraint(
                name="plan_approved_by_somebody",
                condition=~Q(state=PlanState.APPROVED)
                | Q(approved_at__isnull=False, approved_by__isnull=False),
                violation_error_message="An approved plan names who approved it.",
            ),
        ]

    def __str__(self) -> str:
        return f"plan {self.number}"


class PlannedCase(ProgramOwned):
    """One case that an approved or ready plan sends home, with the days it can be told."""

    plan = models.ForeignKey(Plan, models.PROTECT, related_name="planned")
    case = models.ForeignKey(Case, models.PROTECT, related_name="planned")
    start_week_on = models.DateField()
    home_from_on = models.DateField()
    home_by_on = models.DateField()
    cash_cents = models.BigIntegerField(default=0)
    minutes = models.PositiveIntegerField(default=0)
    work_left = models.CharField(max_length=200, blank=True)

    class Meta:
        ordering = ["home_from_on", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["program", "plan", "case"],
                name="planned_case_once",
                violation_error_message="This case is in the plan already.",
            ),
            models.CheckConstraint(
                name="planned_days_in_order",
                condition=Q(home_from_on__lte=models.F("home_by_on")) & Q(cash_cents__gte=0),
                violation_error_message="The first day home is not after the last.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.case} in {self.plan}"


class WhatIf(ProgramOwned):
    """A question to a plan: the same facts with something more, or without. Nothing else moves."""

    plan = models.ForeignKey(Plan, models.PROTECT, related_name="questions")
    changes = models.JSONField()
    state = models.CharField(max_length=12, choices=choices_of(PlanState), default=PlanState.ASKED)
    result = models.JSONField(default=dict, blank=True)
    error = models.CharField(max_length=300, blank=True)
    asked_by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    asked_at = models.DateTimeField(default=timezone.now)
    computed_at = models.DateTimeField(null=True, blank=True)
    client_key = models.UUIDField(null=True, blank=True)

    class Meta:
        ordering = ["-asked_at", "-pk"]
        constraints = [
            exactly_one_of("what_if_state_known", "state", PlanState),
            models.UniqueConstraint(
                fields=["program", "client_key"],
                name="what_if_asked_once",
                violation_error_message="This was asked already.",
            ),
        ]

    def __str__(self) -> str:
        return f"question to {self.plan}"


class Pin(ProgramOwned):
    """A person keeps a case in the next plans, or out of them, with a reason."""

    case = models.ForeignKey(Case, models.PROTECT, related_name="pins")
    direction = models.CharField(max_length=3, choices=choices_of(PinDirection))
    reason = models.CharField(max_length=200)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    made_at = models.DateTimeField(default=timezone.now)
    ended_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        constraints = [
            exactly_one_of("pin_direction_known", "direction", PinDirection),
            models.UniqueConstraint(
                fields=["program", "case"],
                name="pin_once_a_case",
                condition=Q(ended_at__isnull=True),
                violation_error_message="This case is pinned already.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.case} {self.direction}"
