"""Appeals: a mail to one sponsor asking for particular needs."""

from __future__ import annotations

from typing import TYPE_CHECKING, Self

from django.conf import settings
from django.db import models
from django.db.models import Q
from django.utils import timezone

from shared.accounts.models import ProgramOwned
from shared.choices import choices_of
from shared.outbox.models import Message
from shared.rules import exactly_one_of
from sponsors.appeals.states import AppealState
from sponsors.register.models import Sponsor
from vehicles.repairs.models import Need

if TYPE_CHECKING:
    from shared.accounts.models import User


class AppealQuerySet(models.QuerySet["Appeal"]):
    """Appeals, starting from the person who asks."""

    def for_user(self, user: User) -> Self:
        """Return the appeals of the user's program."""
        return self.filter(program_id=user.program_id)


class Appeal(ProgramOwned):
    """One draft to one sponsor in one round; the round names the plan it comes from."""

    sponsor = models.ForeignKey(Sponsor, models.PROTECT, related_name="appeals")
    round = models.CharField(max_length=20, help_text="Such as `2026-W48`.")
    subject = models.CharField(max_length=200)
    text = models.TextField()
    state = models.CharField(
        max_length=10, choices=choices_of(AppealState), default=AppealState.DRAFTED
    )
    drafted_at = models.DateTimeField(default=timezone.now)
    decided_by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, related_name="+"
    )
    decided_at = models.DateTimeField(null=True, blank=True)
    message = models.OneToOneField(Message, models.PROTECT, null=True, blank=True, related_name="+")
    version = models.PositiveIntegerField(default=1)

    objects = AppealQuerySet.as_manager()

    class Meta:
        ordering = ["-drafted_at", "-pk"]
        constraints = [
            exactly_one_of("appeal_state_known", "state", AppealState),
            models.UniqueConstraint(
                fields=["program", "sponsor", "round"],
                name="appeal_once_a_round",
                violation_error_message="This sponsor has an appeal in this round already.",
            ),
            models.CheckConstraint(
                name="appeal_sent_after_decision",
                condition=Q(state=AppealState.DRAFTED) | Q(decided_at__isnull=False),
                violation_error_message="A person approves an appeal before it is sent.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.sponsor}, {self.round}"


class AppealLine(ProgramOwned):
    """One need in an appeal, in the order of what it would free."""

    appeal = models.ForeignKey(Appeal, models.PROTECT, related_name="lines")
    need = models.ForeignKey(Need, models.PROTECT, related_name="+")
    position = models.PositiveSmallIntegerField()
    frees_cars = models.PositiveSmallIntegerField(default=0)

    class Meta:
        ordering = ["position", "pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["program", "appeal", "need"],
                name="appeal_need_once",
                violation_error_message="This need is in the appeal already.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.appeal}: {self.need}"
