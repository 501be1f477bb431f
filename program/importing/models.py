"""Imports as they were made, and what each row of a sheet became."""

from __future__ import annotations

from typing import TYPE_CHECKING, Self

from django.conf import settings
from django.db import models
from django.db.models import Exists, Q
from django.utils import timezone

from program.households.models import Tie
from program.importing.states import ImportState
from shared.accounts.models import ProgramOwned
from shared.choices import choices_of
from shared.rules import exactly_one_of

if TYPE_CHECKING:
    from shared.accounts.models import User


class ImportRunQuerySet(models.QuerySet["ImportRun"]):
    """Imports, starting from the person who asks."""

    def for_user(self, user: User) -> Self:
        """Return the imports of the user's program.

        Problems quote the sheets, so whom a tie keeps from some household sees only their own.
        """
        tied = Tie.objects.filter(user=user, ended_on=None)
        return self.filter(Q(by=user) | ~Exists(tied), program_id=user.program_id)


class ImportRun(ProgramOwned):
    """One folder or zip that somebody wanted in, and what came of it."""

    name = models.CharField(max_length=200, help_text="Of the folder or file.")
    sha256 = models.CharField(max_length=64)
    file = models.FileField(upload_to="imports/", blank=True)
    state = models.CharField(
        max_length=10, choices=choices_of(ImportState), default=ImportState.ASKED
    )
    progress = models.CharField(max_length=120, blank=True)
    counts = models.JSONField(default=dict, blank=True, help_text="By sheet: new, known, left out.")
    problems = models.JSONField(default=list, blank=True)
    left_out = models.JSONField(
        default=list, blank=True, help_text="Rows a person chose to leave out."
    )
    by = models.ForeignKey(
        settings.AUTH_USER_MODEL, models.PROTECT, null=True, blank=True, related_name="+"
    )
    asked_at = models.DateTimeField(default=timezone.now)
    done_at = models.DateTimeField(null=True, blank=True)
    client_key = models.UUIDField(null=True, blank=True, unique=True)

    objects = ImportRunQuerySet.as_manager()

    class Meta:
        ordering = ["-asked_at", "-pk"]
        constraints = [
            exactly_one_of("import_state_known", "state", ImportState),
            models.CheckConstraint(
                name="import_done_has_no_problem",
                condition=~Q(state=ImportState.DONE) | Q(problems=[]),
                violation_error_message="An import with a problem left writes nothing.",
            ),
        ]

    def __str__(self) -> str:
        return self.name


class ImportedRow(ProgramOwned):
    """What one row of a sheet became. Equal values are known; other values are a problem."""

    run = models.ForeignKey(ImportRun, models.PROTECT, related_name="rows")
    sheet = models.CharField(max_length=40)
    ref = models.CharField(max_length=60)
    object_id = models.BigIntegerField()
    fingerprint = models.CharField(max_length=64, help_text="SHA-256 of the row's values.")

    class Meta:
        constraints = [
            models.UniqueConstraint(
                fields=["program", "sheet", "ref"],
                name="imported_ref_once",
                violation_error_message="A row with this ref was imported already.",
            ),
        ]

    def __str__(self) -> str:
        return f"{self.sheet} {self.ref}"
