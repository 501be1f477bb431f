"""The job table: the one queue. A broker only wakes workers; what is to be done stands here."""

from __future__ import annotations

from typing import TYPE_CHECKING, Self

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.utils import timezone

from shared.accounts.models import ProgramOwned
from shared.choices import choices_of
from shared.jobs.states import JobState
from shared.rules import exactly_one_of

if TYPE_CHECKING:
    import datetime as dt


class JobQuerySet(models.QuerySet["Job"]):
    """Jobs by what a worker may take."""

    def due(self, now: dt.datetime) -> Self:
        """Return jobs that may be claimed: waiting and due, or running past their lease."""
        waiting = Q(state=JobState.PENDING, run_after__lte=now)
        lost = Q(state=JobState.RUNNING, lease_until__lt=now)
        return self.filter(waiting | lost).order_by("run_after", "pk")

    def waiting(self) -> Self:
        """Return the jobs that are still to be run."""
        return self.filter(state=JobState.PENDING)

    def failed(self) -> Self:
        """Return the jobs that have failed for good: a person has to look."""
        return self.filter(state=JobState.FAILED)


class Job(ProgramOwned):
    """One effect to bring about once. The key names the effect, not the call."""

    key = models.CharField(max_length=120)
    kind = models.CharField(max_length=40)
    payload = models.JSONField(default=dict, blank=True)
    state = models.CharField(max_length=10, choices=choices_of(JobState), default=JobState.PENDING)
    run_after = models.DateTimeField(default=timezone.now)
    lease_until = models.DateTimeField(null=True, blank=True)
    lease_token = models.UUIDField(null=True, blank=True)
    attempts = models.PositiveSmallIntegerField(default=0)
    error = models.TextField(blank=True)
    percent = models.PositiveSmallIntegerField("how far it is", default=0)
    doing = models.CharField("what it does now", max_length=80, blank=True)
    stop_asked_at = models.DateTimeField(null=True, blank=True)
    stop_asked_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, related_name="+"
    )
    asked_at = models.DateTimeField(default=timezone.now)
    done_at = models.DateTimeField(null=True, blank=True)

    objects = JobQuerySet.as_manager()

    class Meta:
        indexes = [models.Index(fields=["state", "run_after"], name="job_due")]
        constraints = [
            exactly_one_of("job_state_known", "state", JobState),
            models.UniqueConstraint(
                fields=["program", "key"],
                name="job_effect_once",
                violation_error_message="This was asked for already.",
            ),
            models.CheckConstraint(
                name="job_running_has_lease",
                condition=~Q(state=JobState.RUNNING)
                | Q(lease_until__isnull=False, lease_token__isnull=False),
                violation_error_message="A running job holds a lease.",
            ),
            models.CheckConstraint(
                name="job_percent_possible",
                condition=Q(percent__lte=100),
                violation_error_message="A job is at most 100 percent done.",
            ),
        ]

    def __str__(self) -> str:
        return self.key
