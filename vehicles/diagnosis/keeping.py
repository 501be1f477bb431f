"""The texts of fault models that a program holds: kept as they stood, changed, taken back."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace
from hashlib import sha256
from typing import TYPE_CHECKING, Final

from django.core.exceptions import ValidationError
from django.db import transaction
from django.db.models import Max

from shared.accounts.models import Program
from shared.audit.actions import log_event
from vehicles.diagnosis.complaints import text_of
from vehicles.diagnosis.gathering import is_readable, model_of
from vehicles.diagnosis.inference import is_quick
from vehicles.diagnosis.kinds import Origin
from vehicles.diagnosis.modelfile import problems
from vehicles.diagnosis.models import KeptModel
from vehicles.diagnosis.problem import line_of
from vehicles.diagnosis.queries import SHIPPED_AGAIN, own_rows, text_in_use
from vehicles.diagnosis.revision import changes, line_changes

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from shared.accounts.models import User
    from shared.problems import Problem
    from vehicles.diagnosis.archive import File
    from vehicles.diagnosis.fault_model import FaultModel
    from vehicles.diagnosis.revision import Changes, Line

TAKEN: Final = "A fault model for “{code}” is here already. Change that one instead."

TOO_DENSE: Final = (
    "Its checks tell of so many faults each that a page could take minutes. Keep under “given” only"
    " the faults that clearly change what is seen."
)


@dataclass(frozen=True, kw_only=True)
class Incoming:
    """A file that came in, against what is in force here; `number` is that of the text replaced."""

    file: File
    model: FaultModel | None = None
    mistakes: Sequence[Problem | str] = ()
    number: int = 0
    is_new: bool = False
    changes: Changes | None = None
    lines: Sequence[Line] = ()

    @property
    def is_same(self) -> bool:
        """Whether the very text is in force here already."""
        return self.model is not None and self.changes is None

    @property
    def said(self) -> list[str]:
        """The mistakes, each as one line."""
        return [one if isinstance(one, str) else line_of(one) for one in self.mistakes]


def kept_model(program: Program, complaint: str, by: User) -> KeptModel:
    """Return the row of the text in force; a shipped text that is new here becomes one.

    A text of the program's own that can't be read any more gives way to the shipped one.

    Raises:
        ValidationError: there is no such complaint, or nothing that can be read of it.
    """
    text, own = text_in_use(program, complaint)
    if own and is_readable(text):
        return own
    if own:
        text = _shipped(complaint)
    rows = KeptModel.objects.filter(program=program, complaint=complaint)
    known = rows.filter(sha256=_digest(text), origin=Origin.SHIPPED)
    if row := known.first():
        return row
    # Two cars that come with it at the same moment would both take the next number.
    Program.objects.select_for_update(no_key=True).get(pk=program.pk)
    return known.first() or _keep(program, text, origin=Origin.SHIPPED, because="", by=by)


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
    text = text.replace("\r\n", "\n")
    if text == now:
        raise ValidationError({"text": "Nothing was changed."})
    if not because.strip():
        raise ValidationError({"because": "Say why the fault model changes."})
    model = _checked(text)
    if model.code != complaint:
        raise ValidationError(
            {"text": f"This text is of “{model.code}”, and the page of “{complaint}”."}
        )
    KeptModel.objects.in_use().filter(program=program, complaint=complaint).update(in_use=False)
    row = _keep(program, text, origin=origin, because=because.strip(), by=by)
    log_event(row, "A fault model was changed.", by=by, reason=row.because, fields=[complaint])
    return row


def add_model(*, program: Program, text: str, because: str, by: User) -> KeptModel:
    """Put in a model of a complaint that none is here for.

    Raises:
        ValidationError: as `save_model`; or there is one for this complaint.
    """
    code = _checked(text.replace("\r\n", "\n")).code
    if _in_force(program, code)[0]:
        raise ValidationError({"text": TAKEN.format(code=code)})
    return save_model(
        program=program, complaint=code, text=text, because=because, seen_number=0, by=by
    )


def compared(program: Program, files: Sequence[File]) -> list[Incoming]:
    """Return what each file would change here, or all that is wrong with it. Nothing is written."""
    own = {row.complaint: row for row in own_rows(program)}
    found = [_compared(one, own) for one in files]
    many = Counter(one.model.code for one in found if one.model)
    return [
        replace(one, model=None, mistakes=[f"“{one.model.code}” is in more than one file."])
        if one.model and many[one.model.code] > 1
        else one
        for one in found
    ]


@transaction.atomic
def take_over(
    *, program: Program, texts: Mapping[str, tuple[str, int]], because: str, by: User
) -> list[KeptModel]:
    """Put texts of another program in place of those in force, all of them or none.

    `texts` has each text and the number of the one it replaces, by complaint.

    Raises:
        ValidationError: as `save_model`, with the complaint before the sentence.
    """
    if not because.strip():
        raise ValidationError({"because": "Say why these fault models are taken over."})
    rows = []
    for complaint, (text, number) in texts.items():
        try:
            row = save_model(
                program=program,
                complaint=complaint,
                text=text,
                because=because,
                seen_number=number,
                origin=Origin.IMPORTED,
                by=by,
            )
        except ValidationError as refusal:
            said = [f"{complaint}: {one}" for one in refusal.messages]
            raise ValidationError(said) from refusal
        rows.append(row)
    return rows


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
    log_event(own, SHIPPED_AGAIN, by=by, reason=because.strip())


def _compared(file: File, own: Mapping[str, KeptModel]) -> Incoming:
    if file.mistake:
        return Incoming(file=file, mistakes=[file.mistake])
    if mistakes := [*problems(file.text)]:
        return Incoming(file=file, mistakes=mistakes)
    model = model_of(file.text)
    if too_much := _too_much(model):
        return Incoming(file=file, mistakes=[too_much])
    row = own.get(model.code)
    now = row.text if row else _shipped_or_none(model.code)
    before = model_of(now) if now and is_readable(now) else None
    return Incoming(
        file=file,
        model=model,
        number=row.number if row else 0,
        is_new=not now,
        changes=None if file.text == now else changes(before, model),
        lines=line_changes(now, file.text) or (),
    )


def _too_much(model: FaultModel) -> str:
    """Return what a row of the program has no room for, or a page no time; empty where it has."""
    most = KeptModel.title.field.max_length
    count = len(model.title)
    if most and count > most:
        return f"title: {count} characters; a program keeps {most} at most."
    return "" if is_quick(model) else TOO_DENSE


def _in_force(program: Program, complaint: str) -> tuple[str, KeptModel | None]:
    """Return the text in force; a complaint of the program's own has none yet."""
    try:
        return text_in_use(program, complaint)
    except ValidationError:
        return "", None


def _shipped_or_none(complaint: str) -> str:
    try:
        return text_of(complaint)
    except ValueError:
        return ""


def _shipped(complaint: str) -> str:
    try:
        return text_of(complaint)
    except ValueError as error:
        raise ValidationError(str(error)) from error


def _checked(text: str) -> FaultModel:
    try:
        model = model_of(text)
    except ValueError as error:
        raise ValidationError({"text": str(error).splitlines()}) from error
    if too_much := _too_much(model):
        raise ValidationError({"text": too_much})
    return model


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
