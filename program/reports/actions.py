"""Asking for the file of a year, and keeping what a job made of it."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, Final

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone

from program.closing.models import YearFile
from shared.audit.actions import log_event
from shared.jobs.actions import ask

if TYPE_CHECKING:
    import datetime as dt
    from uuid import UUID

    from shared.accounts.models import User

#: The kind of job that makes the file.
YEAR_FILE: Final = "year_file"


def job_key(file: YearFile) -> str:
    """Return the key of the job that makes a file."""
    return f"{YEAR_FILE}:{file.pk}"


@transaction.atomic
def ask_year_file(*, from_on: dt.date, until_on: dt.date, key: UUID, by: User) -> YearFile:
    """Ask for the file of these days; sent twice with one key, it is one file.

    Raises:
        ValidationError: the days are in the wrong order, or nobody's books are asked for.
    """
    if by.program is None:
        raise ValidationError("Only somebody of a program has books.")
    if until_on < from_on:
        raise ValidationError({"until_on": "The last day lies before the first."})
    file, is_new = YearFile.objects.get_or_create(
        program=by.program,
        client_key=key,
        defaults={"from_on": from_on, "until_on": until_on, "asked_by": by},
    )
    if is_new:
        log_event(file, "A file of the books was asked for.", by=by)
        payload = {"file": file.pk}
        ask(program=by.program, key=job_key(file), kind=YEAR_FILE, payload=payload)
    return file


def keep(file: YearFile, *, path: str, size: int, sha256: str, counts: dict[str, Any]) -> None:
    """Write where a file lies and what is in it."""
    YearFile.objects.filter(pk=file.pk).update(
        path=path, size=size, sha256=sha256, counts=counts, made_at=timezone.now()
    )
    log_event(file, "The file of the books was made.", by=None)
