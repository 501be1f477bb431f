"""Writing a line in the log."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shared.audit.models import Event

if TYPE_CHECKING:
    from collections.abc import Sequence

    from django.db.models import Model

    from shared.accounts.models import User


def log_event(
    obj: Model, what: str, *, by: User | None, reason: str = "", fields: Sequence[str] = ()
) -> Event:
    """Write and return one line about `obj`, which has a `program`. `by` is None for a job.

    `what` and `fields` hold no personal values: the log outlives an erasure.
    """
    program_id: int = obj.pk if obj._meta.model_name == "program" else obj.program_id  # type: ignore[attr-defined]
    return Event.objects.create(
        program_id=program_id,
        by=by,
        kind=obj._meta.model_name or "",
        object_id=obj.pk,
        what=what,
        reason=reason,
        fields=list(fields),
    )
