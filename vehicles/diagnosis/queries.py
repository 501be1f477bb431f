"""Reading diagnoses: the model in force, and what stands of one diagnosis."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.core.exceptions import ValidationError
from django.db.models import Count

from shared.audit.models import Event
from vehicles.diagnosis.complaints import text_of
from vehicles.diagnosis.models import Diagnosis, KeptModel, Observation

if TYPE_CHECKING:
    from collections.abc import Mapping

    from shared.accounts.models import Program
    from vehicles.intake.models import Intake

SHIPPED_AGAIN = "The shipped fault model is used again."


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


def own_rows(program: Program) -> list[KeptModel]:
    """Return the program's own texts that stand for the shipped ones, with who put them there."""
    return list(KeptModel.objects.in_use().filter(program=program).select_related("by"))


def times_used(program: Program) -> dict[str, int]:
    """Return how many diagnoses there are of each complaint that has some."""
    rows = Diagnosis.objects.filter(program=program).order_by().values("complaint")
    return dict(rows.annotate(count=Count("pk")).values_list("complaint", "count"))


def texts_of(program: Program, complaint: str) -> list[KeptModel]:
    """Return every text of a complaint that the program holds, the newest first.

    Each has its `used`: how many diagnoses began with it.
    """
    rows = KeptModel.objects.filter(program=program, complaint=complaint).select_related("by")
    return list(rows.annotate(used=Count("diagnoses")).order_by("-number"))


def given_up(texts: list[KeptModel]) -> list[Event]:
    """Return when the shipped text was taken again instead of one of these, the newest first."""
    rows = Event.objects.filter(
        kind="keptmodel", object_id__in=[one.pk for one in texts], what=SHIPPED_AGAIN
    )
    return list(rows.select_related("by"))


def standing(diagnosis: Diagnosis) -> list[Observation]:
    """Return what counts of a diagnosis, in the order in which it was seen."""
    rows = diagnosis.observations.standing().select_related("by")
    return list(rows.order_by("at", "pk"))


def setups_made(diagnosis: Diagnosis) -> frozenset[str]:
    """Return the codes of what is set up now."""
    rows = diagnosis.setups.filter(ended_at__isnull=True)
    return frozenset(rows.values_list("code", flat=True))


def repaired(diagnosis: Diagnosis) -> frozenset[str]:
    """Return the faults that were concluded and then repaired."""
    rows = diagnosis.conclusions.filter(withdrawn_at=None, finding__cleared_on__isnull=False)
    return frozenset(rows.values_list("fault", flat=True))


def diagnoses_of(intake: Intake) -> list[Diagnosis]:
    """Return the diagnoses of a stay, open ones first, then the newest."""
    rows = list(
        Diagnosis.objects.filter(intake=intake).select_related("model", "begun_by", "ended_by")
    )
    rows.sort(key=lambda row: row.ended_at is not None)
    return rows
