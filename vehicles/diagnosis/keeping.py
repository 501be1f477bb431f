"""The texts of fault models that a program holds: kept as they stood, changed, taken back."""

from __future__ import annotations

from hashlib import sha256
from typing import TYPE_CHECKING

from django.core.exceptions import ValidationError
from django.db import transaction
from django.db.models import Max

from shared.accounts.models import Program
from shared.audit.actions import log_event
from vehicles.diagnosis.complaints import text_of
from vehicles.diagnosis.gathering import model_of
from vehicles.diagnosis.kinds import Origin
from vehicles.diagnosis.models import KeptModel
from vehicles.diagnosis.queries import text_in_use

if TYPE_CHECKING:
    from shared.accounts.models import User
    from vehicles.diagnosis.fault_model import FaultModel


def kept_model(program: Program, complaint: str, by: User) -> KeptModel:
    """Return the row of the text in force; a shipped text that is new here becomes one.

    Raises:
        ValidationError: there is no such complaint.
    """
    text, own = text_in_use(program, complaint)
    if own:
        return own
    rows = KeptModel.objects.filter(program=program, complaint=complaint)
    known = rows.filter(sha256=_digest(text), origin=Origin.SHIPPED).first()
    return known or _keep(program, text, origin=Origin.SHIPPED, because="", by=by)


@transaction.atomic
def save_model(  # noqa: PLR0913 - one change of one text, each fact by name
    *,
    program: Program,
    complaint: str,
    text: str,
    because: str,
    seen_number: int,
    origin: Origin = Origin.OWN,
    by: User,
) -> KeptModel:
    """Put the program's own text in place of the one in force.

    `seen_number` is the number of the text that was on screen, 0 for the shipped one.

    Raises:
        ValidationError: the text has mistakes, each named; it is of another complaint; nothing
            changed; no reason is given; or somebody else changed it since it was shown.
    """
    Program.objects.select_for_update().get(pk=program.pk)
    now, own = _in_force(program, complaint)
    if (own.number if own else 0) != seen_number:
        raise ValidationError("Somebody else changed this fault model meanwhile. Look, then save.")
    if text.replace("\r\n", "\n") == now:
        raise ValidationError({"text": "Nothing was changed."})
    if not because.strip():
        raise ValidationError({"because": "Say why the fault model changes."})
    text = text.replace("\r\n", "\n")
    model = _checked(text)
    if model.code != complaint:
        raise ValidationError(
            {"text": f"This text is of “{model.code}”, and the page of “{complaint}”."}
        )
    KeptModel.objects.in_use().filter(program=program, complaint=complaint).update(in_use=False)
    row = _keep(program, text, origin=origin, because=because.strip(), by=by)
    log_event(row, "A fault model was changed.", by=by, reason=row.because, fields=[complaint])
    return row


@transaction.atomic
def use_shipped(*, program: Program, complaint: str, because: str, by: User) -> None:
    """Go back to the shipped text; the program's own stays in the history.

    Raises:
        ValidationError: no reason is given, or nothing is shipped for this complaint.
    """
    Program.objects.select_for_update().get(pk=program.pk)
    own = KeptModel.objects.in_use().filter(program=program, complaint=complaint).first()
    if own is None:
        return
    _shipped(complaint)
    if not because.strip():
        raise ValidationError({"because": "Say why the shipped fault model is used again."})
    own.in_use = False
    own.save(update_fields=["in_use"])
    log_event(own, "The shipped fault model is used again.", by=by, reason=because.strip())


def _in_force(program: Program, complaint: str) -> tuple[str, KeptModel | None]:
    """Return the text in force; a complaint of the program's own has none yet."""
    try:
        return text_in_use(program, complaint)
    except ValidationError:
        return "", None


def _shipped(complaint: str) -> str:
    try:
        return text_of(complaint)
    except ValueError as error:
        raise ValidationError(str(error)) from error


def _checked(text: str) -> FaultModel:
    try:
        return model_of(text)
    except ValueError as error:
        raise ValidationError({"text": str(error).splitlines()}) from error


def _keep(program: Program, text: str, *, origin: Origin, because: str, by: User) -> KeptModel:
    model = model_of(text)
    rows = KeptModel.objects.filter(program=program, complaint=model.code)
    row = KeptModel(
        program=program,
        complaint=model.code,
        number=(rows.aggregate(last=Max("number"))["last"] or 0) + 1,
        version=model.version,
        title=model.title,
        text=text,
        sha256=_digest(text),
        origin=origin,
        in_use=origin is not Origin.SHIPPED,
        because=because,
        by=by,
    )
    row.full_clean()
    row.save()
    return row


def _digest(text: str) -> str:
    return sha256(text.encode()).hexdigest()
