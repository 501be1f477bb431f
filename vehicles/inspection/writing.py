"""Issuing an inspection report: the paper is kept as it was handed out, under its own number."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.core.exceptions import ValidationError
from django.db import transaction

from shared.audit.actions import log_event
from shared.documents.actions import issue
from shared.documents.models import Document
from vehicles.intake.models import Intake

if TYPE_CHECKING:
    from collections.abc import Callable

    from django.db.models import QuerySet

    from shared.accounts.models import User
    from vehicles.inspection.values import Issue


def issued(intake: Intake) -> QuerySet[Document]:
    """Return the reports issued about a stay, newest first, without their bytes."""
    rows = Document.objects.filter(
        program_id=intake.program_id, holder_kind="intake", holder_id=intake.pk
    )
    rows = rows.filter(number__startswith=f"R-{intake.pk}-").defer("content")
    return rows.select_related("by").order_by("-issued_at", "-pk")


def next_number(intake: Intake) -> str:
    """Return the number that the next report of a stay gets."""
    return f"R-{intake.pk}-{issued(intake).count() + 1}"


@transaction.atomic
def issue_report(
    *, intake: Intake, kind: Issue, number: str, compose: Callable[[Intake, str], bytes], by: User
) -> Document:
    """Issue one paper about a stay as it stands now, and keep its bytes.

    `number` is the one that the page offered: sent twice, the paper is issued once. `compose` lays
    the stay out under that number, while nobody else changes what stands on it.

    Raises:
        ValidationError: somebody else has issued a report of this stay since the page was shown.
    """
    stays = Intake.objects.select_related("vehicle", "program")
    stay = stays.select_for_update(of=("self",)).get(pk=intake.pk)
    known = next((one for one in issued(stay) if one.number == number), None)
    if known and known.by_id == by.pk and known.title == kind.label:
        return known
    if known or number != next_number(stay):
        raise ValidationError("Another report of this stay was issued meanwhile. Look at the list.")
    content = compose(stay, number)
    document = issue(holder=stay, number=number, title=kind.label, content=content, by=by)
    log_event(stay, "An inspection report was issued.", by=by, fields=[number])
    return document
