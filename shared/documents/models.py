"""Issued documents, kept as they were handed out."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.utils import timezone

from shared.accounts.models import ProgramOwned


class Document(ProgramOwned):
    """The bytes of one issued document. Its holder is named by kind and id."""

    number = models.CharField(max_length=30)
    title = models.CharField(max_length=120)
    holder_kind = models.CharField(max_length=40)
    holder_id = models.BigIntegerField()
    content = models.BinaryField()
    issued_at = models.DateTimeField(default=timezone.now)
    by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, related_name="+"
    )

    class Meta:
        indexes = [models.Index(fields=["holder_kind", "holder_id"], name="document_holder")]
        constraints = [
            models.UniqueConstraint(
                fields=["program", "number"],
                name="document_number_once",
                violation_error_message="A document with this number was issued already.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.number} {self.title}"
