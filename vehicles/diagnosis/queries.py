"""Reading diagnoses: the model in force, and what stands of one diagnosis."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.core.exceptions import ValidationError

from vehicles.diagnosis.complaints import text_of
from vehicles.diagnosis.models import Diagnosis, KeptModel, Observation

if TYPE_CHECKING:
    from collections.abc import Mapping

    from shared.accounts.models import Program
    from vehicles.intake.models import Intake


def own_texts(program: Program) -> Mapping[str, str]:
    """Return the program's own text of each fault model that stands for the shipped one."""
    rows = KeptModel.objects.in_use().filter(program=program)
    return dict(rows.values_list("complaint", "text"))


def text_in_use(program: Program, complaint: str) -> tuple[str, KeptModel | None]:
    """Return the text that counts for a complaint, and its row where it is the program's own.

    Raises:
        ValidationError: there is no such complaint.
    """
    own = KeptModel.objects.in_use().filter(program=program, complaint=complaint).first()
    if own:
        return own.text, own
    try:
        return text_of(complaint), None
    except ValueError as error:
        raise ValidationError({"complaint": str(error)}) from error


def standing(diagnosis: Diagnosis) -> list[Observation]:
    """Return what counts of a diagnosis, in the order in which it was seen."""
    rows = diagnosis.observations.standing().select_related("by")
    return list(rows.order_by("at", "pk"))


def setups_made(diagnosis: Diagnosis) -> frozenset[str]:
    """Return the codes of what is set up now."""
    rows = diagnosis.setups.filter(ended_at__isnull=True)
    return frozenset(rows.values_list("code", flat=True))


def diagnoses_of(intake: Intake) -> list[Diagnosis]:
    """Return the diagnoses of a stay, open ones first, then the newest."""
    rows = list(
        Diagnosis.objects.filter(intake=intake).select_related("model", "begun_by", "ended_by")
    )
    rows.sort(key=lambda row: row.ended_at is not None)
    return rows
