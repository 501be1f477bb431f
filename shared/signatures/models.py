"""Signatures: who put their name to what, in which role, over which content."""

from __future__ import annotations

from django.conf import settings
from django.db import models
from django.utils import timezone

from shared.accounts.models import ProgramOwned
from shared.accounts.roles import RoleKind
from shared.audit.models import AppendOnly, AppendOnlyQuerySet
from shared.choices import choices_of
from shared.rules import exactly_one_of


class SignatureQuerySet(AppendOnlyQuerySet["Signature"]):
    """Signatures, read and added."""


class Signature(AppendOnly, ProgramOwned):
    """One name under one act. Two for one act differ in person, by constraint."""

    act = models.CharField(max_length=40, help_text="What is signed, such as `approve_plan`.")
    kind = models.CharField(max_length=40, help_text="Model name of the subject.")
    object_id = models.BigIntegerField()
    by = models.ForeignKey(settings.AUTH_USER_MODEL, models.PROTECT, related_name="+")
    role = models.CharField(max_length=20, choices=choices_of(RoleKind))
    at = models.DateTimeField(default=timezone.now)
    content_hash = models.CharField(max_length=64, help_text="SHA-256 of what was read, in hex.")

    objects = SignatureQuerySet.as_manager()

    class Meta:
        ordering = ["at", "pk"]
        constraints = [
            exactly_one_of("signature_role_known", "role", RoleKind),
            models.UniqueConstraint(
                fields=["program", "act", "kind", "object_id", "by"],
                name="signature_by_another_person",
                violation_error_message="The second signature has to be another person's.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.act} by {self.by}"
