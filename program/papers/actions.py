"""Putting a paper behind an entry."""

from __future__ import annotations

import hashlib
from typing import TYPE_CHECKING

from django.core.exceptions import ValidationError
from django.core.files.base import ContentFile
from django.core.files.storage import storages
from django.db import transaction
from django.utils.crypto import salted_hmac

from program.ledger.models import Entry
from program.papers.models import Paper
from program.papers.reading import read_paper
from shared.audit.actions import log_event

if TYPE_CHECKING:
    from program.papers.reading import ReadPaper
    from shared.accounts.models import User


@transaction.atomic
def add_paper(*, entry: Entry, name: str, file: bytes, by: User) -> Paper:
    """Keep a file behind an entry, for good, and return its row.

    The file is written first, under a name that the same file gets at each try, so that whatever
    is cut short leaves no second one.

    Raises:
        ValidationError: the file is empty, too large, of another kind, cut off, or behind this
            entry already; or it has no name.
    """
    try:
        read = read_paper(file)
    except ValueError as refusal:
        raise ValidationError({"file": str(refusal)}) from refusal
    locked = Entry.objects.select_for_update().get(pk=entry.pk)
    sha256 = hashlib.sha256(read.data).hexdigest()
    if locked.papers.filter(sha256=sha256).exists():
        raise ValidationError({"file": "This paper is behind this entry already."})
    row = Paper(
        program_id=locked.program_id,
        entry=locked,
        name=name.strip(),
        path=_path(locked, sha256, read),
        kind=read.kind,
        size=len(read.data),
        sha256=sha256,
        by=by,
    )
    row.full_clean()
    _store(row.path, read.data)
    row.save()
    log_event(locked, "A paper was put behind the entry.", by=by)
    return row


def _path(entry: Entry, sha256: str, read: ReadPaper) -> str:
    """Return a name that nobody guesses, the same for the same file of the same entry."""
    secret = salted_hmac("paper", f"{entry.pk}:{sha256}", algorithm="sha256").hexdigest()[:40]
    return f"papers/{secret[:2]}/{secret}.{read.kind.ending}"


def _store(path: str, data: bytes) -> None:
    kept = storages["private"].save(path, ContentFile(data))
    if kept != path:
        raise RuntimeError(f"The private storage must overwrite, but kept {path} as {kept}.")
