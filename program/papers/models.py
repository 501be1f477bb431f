"""The papers behind entries: bills, letters, slips."""

from __future__ import annotations

from typing import TYPE_CHECKING, Self

from django.conf import settings
from django.db import models
from django.utils import timezone

from program.ledger.models import Entry
from shared.accounts.models import ProgramOwned
from shared.audit.models import AppendOnly, AppendOnlyQuerySet

if TYPE_CHECKING:
    from shared.accounts.models import User


class PaperQuerySet(AppendOnlyQuerySet["Paper"]):
    """Papers, read and added."""

    def for_user(self, user: User) -> Self:
        """Return the papers of the user's program."""
        return self.filter(program_id=user.program_id)


class Paper(AppendOnly, ProgramOwned):
    """The bill, letter or slip behind an entry: its name and fingerprint; the file is private."""

    entry = models.ForeignKey(Entry, models.PROTECT, related_name="papers")
    name = models.CharField(max_length=120)
    path = models.CharField(max_length=200, help_text="In the private storage.")
    kind = models.CharField("media type", max_length=40)
    size = models.PositiveIntegerField("bytes")
    sha256 = models.CharField(max_length=64)
    by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    at = models.DateTimeField(default=timezone.now)

    objects = PaperQuerySet.as_manager()

    class Meta:
        ordering = ["pk"]
        constraints = [
            models.UniqueConstraint(
                fields=["program", "entry", "sha256"],
                name="paper_once_an_entry",
                violation_error_message="This paper is behind this entry already.",
            ),
        ]

    def __str__(self) -> str:
        return self.name
