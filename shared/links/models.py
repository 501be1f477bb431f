"""Private links: a way in without a sign-in, that can be printed again and taken back."""

from __future__ import annotations

from django.db import models
from django.db.models import Q
from django.utils import timezone

from shared.accounts.models import ProgramOwned
from shared.choices import choices_of
from shared.links.purposes import LinkPurpose
from shared.rules import exactly_one_of


class AccessLink(ProgramOwned):
    """One link. Its token is made of `public_id` and `version`; nothing secret is stored."""

    public_id = models.UUIDField(unique=True, editable=False)
    purpose = models.CharField(max_length=20, choices=choices_of(LinkPurpose))
    version = models.PositiveIntegerField(default=1)
    made_at = models.DateTimeField(default=timezone.now)
    expires_at = models.DateTimeField(null=True, blank=True)
    revoked_at = models.DateTimeField(null=True, blank=True)
    last_used_at = models.DateTimeField(null=True, blank=True)

    class Meta:
        constraints = [
            exactly_one_of("link_purpose_known", "purpose", LinkPurpose),
            models.CheckConstraint(
                name="link_version_counts_up",
                condition=Q(version__gte=1),
                violation_error_message="A link's versions count from 1.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.purpose} link {self.pk}"
