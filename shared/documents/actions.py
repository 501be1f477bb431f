"""Issuing a document: its bytes are kept as they were handed out, under a number of its own."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.db import transaction

from shared.documents.models import Document

if TYPE_CHECKING:
    from shared.accounts.models import ProgramOwned, User


@transaction.atomic
def issue(
    *, holder: ProgramOwned, number: str, title: str, content: bytes, by: User | None
) -> Document:
    """Keep the bytes of a document about `holder`, and return its row.

    Raises:
        ValidationError: a document of this number was issued already.
    """
    document = Document(
        program_id=holder.program_id,
        number=number,
        title=title,
        holder_kind=holder._meta.model_name or "",
        holder_id=holder.pk,
        content=content,
        by=by,
    )
    document.full_clean()
    document.save()
    return document
