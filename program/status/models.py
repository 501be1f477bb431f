"""Questions that a household asks on its page."""

from __future__ import annotations

from typing import TYPE_CHECKING, Self

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.utils import timezone

from program.cases.models import Case
from shared.accounts.models import ProgramOwned

if TYPE_CHECKING:
    from shared.accounts.models import User


class QuestionQuerySet(models.QuerySet["Question"]):
    """Questions by whether somebody has answered."""

    def open(self) -> Self:
        """Return the questions that wait for an answer, oldest first."""
        return self.filter(answered_at__isnull=True).order_by("asked_at", "pk")

    def for_user(self, user: User) -> Self:
        """Return the questions of cases that the user may see."""
        return self.filter(case__in=Case.objects.for_user(user))


class Question(ProgramOwned):
    """One question and, once somebody has written it, its answer."""

    case = models.ForeignKey(Case, models.PROTECT, related_name="questions")
    text = models.TextField(max_length=1000)
    asked_at = models.DateTimeField(default=timezone.now)
    answer = models.TextField(max_length=2000, blank=True)
    answered_at = models.DateTimeField(null=True, blank=True)
    answered_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, related_name="+"
    )
    client_key = models.UUIDField(null=True, blank=True, unique=True)

    objects = QuestionQuerySet.as_manager()

    class Meta:
        ordering = ["-asked_at", "-pk"]
        constraints = [
            models.CheckConstraint(
                name="question_answer_has_moment",
                condition=(Q(answer="") & Q(answered_at__isnull=True))
                | (~Q(answer="") & Q(answered_at__isnull=False)),
                violation_error_message="An answer has its words and its moment.",
            ),
        ]

    def __str__(self) -> str:
        return self.text[:60]
