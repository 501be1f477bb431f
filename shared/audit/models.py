"""The log: who did what, when and why. Append-only by model, queryset and trigger."""

from __future__ import annotations

from types import MappingProxyType
from typing import TYPE_CHECKING, Any, ClassVar, NoReturn, Self, TypeVar

from django.conf import settings
from django.db import models
from django.utils import timezone

if TYPE_CHECKING:
    from collections.abc import Mapping

ModelT = TypeVar("ModelT", bound=models.Model)


class AppendOnlyError(TypeError):
    """Somebody tried to change a row that may only be added to."""


def _refuse() -> NoReturn:
    raise AppendOnlyError("These rows are never changed. Write a new one that corrects the old.")


class AppendOnlyQuerySet(models.QuerySet[ModelT]):
    """A queryset that reads and adds; the database's triggers say the same to everyone else."""

    def update(self, **_fields: Any) -> NoReturn:
        _refuse()

    def delete(self) -> NoReturn:
        _refuse()

    def bulk_update(self, *_args: Any, **_options: Any) -> NoReturn:
        _refuse()


class AppendOnly(models.Model):
    """A row that is written once. `shared.audit.triggers` guards its table.

    `after_insert`: statements, by the vendor of the database, that follow each insert. SQLite runs
    them for each row `NEW`, PostgreSQL for each statement, which finds its rows in `added`.
    """

    after_insert: ClassVar[Mapping[str, str]] = MappingProxyType({})

    class Meta:
        abstract = True

    def save(self, *args: Any, **kwargs: Any) -> None:
        if not self._state.adding:
            _refuse()
        super().save(*args, **kwargs)

    def delete(self, *_args: Any, **_kwargs: Any) -> NoReturn:
        _refuse()


class EventQuerySet(AppendOnlyQuerySet["Event"]):
    """The log, read by what it is about."""

    def about(self, kind: str, object_id: int) -> Self:
        """Return the lines about one object, newest first."""
        return self.filter(kind=kind, object_id=object_id).order_by("-at", "-id")


class Event(AppendOnly):
    """One line: ids, field names and reasons, never a personal value."""

    program = models.ForeignKey("shared.Program", on_delete=models.PROTECT, related_name="+")
    at = models.DateTimeField(default=timezone.now)
    by = models.ForeignKey(
        settings.AUTH_USER_MODEL, on_delete=models.PROTECT, null=True, blank=True, related_name="+"
    )
    kind = models.CharField(max_length=40, help_text="Model name, such as `case`.")
    object_id = models.BigIntegerField()
    what = models.CharField(max_length=200, help_text="What was done, as a sentence.")
    reason = models.CharField(max_length=500, blank=True)
    fields = models.JSONField(
        default=list, blank=True, help_text="Names of the fields that changed."
    )

    objects = EventQuerySet.as_manager()

    class Meta:
        ordering = ["-at", "-id"]
        indexes = [models.Index(fields=["kind", "object_id", "-at"], name="event_about")]

    def __str__(self) -> str:
        return self.what
