"""Equipment is bought, inspected, tagged out, put back into use, retired.

Its due date comes from inspections and from nowhere else once it is on the list.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any, TypeVar

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone

from shared.audit.actions import log_event
from shared.dates import full_date
from vehicles.shop.duty import next_due
from vehicles.shop.models import Bay, Equipment, EquipmentInspection, Space
from vehicles.shop.queries import newest_inspection

if TYPE_CHECKING:
    import datetime as dt
    from uuid import UUID

    from shared.accounts.models import Program, User
    from vehicles.shop.values import Inspected

RowT = TypeVar("RowT", Bay, Space, Equipment)
CHANGED = "Somebody else changed this meanwhile. Open the page again, then decide."


def locked(row: RowT, version: int) -> RowT:
    """Return a row as it stands now, locked and with its next version.

    Raises:
        ValidationError: somebody else changed it since `version`.
    """
    found = type(row)._default_manager.select_for_update(of=("self",)).get(pk=row.pk)
    if found.version != version:
        raise ValidationError(CHANGED)
    found.version += 1
    return found


@transaction.atomic
def add_equipment(*, program: Program, by: User, **fields: Any) -> Equipment:
    """Return a new piece of equipment; `fields` are those of the form.

    Raises:
        ValidationError: one of this name is in service, its next inspection is not after the last
            one or further off than its interval, or a value is not possible.
    """
    row = Equipment(program=program, **fields)
    _refuse_name(row)
    _refuse_inspected(row.inspected_on, program.today())
    if row.inspected_on:
        _refuse_due(row, row.inspected_on, row.due_on, "due_on")
    row.full_clean()
    row.save()
    log_event(row, "Equipment was put on the list.", by=by)
    return row


@transaction.atomic
def edit_equipment(*, equipment: Equipment, version: int, by: User, **fields: Any) -> Equipment:
    """Change the name, kind, bay or interval of a piece.

    Raises:
        ValidationError: it is retired, one of this name is in service, or somebody else changed it.
    """
    found = locked(equipment, version)
    _refuse_retired(found)
    changed = [name for name, value in fields.items() if getattr(found, name) != value]
    for name in changed:
        setattr(found, name, fields[name])
    _refuse_name(found)
    found.full_clean()
    found.save()
    log_event(found, "The equipment was changed.", by=by, fields=changed)
    return found


@transaction.atomic
def record_inspection(
    *, equipment: Equipment, said: Inspected, client_key: UUID | None = None, by: User
) -> EquipmentInspection:
    """Record an inspection. One that failed tags the piece out at once; sent twice, recorded once.

    One that passed sets the next due date, unless a later inspection has: then it is history. What
    is tagged out stays so until somebody puts it back into use.

    Raises:
        ValidationError: it is retired, the day has not come, or the next inspection is not after
            this one or further off than the interval.
    """
    found = Equipment.objects.select_for_update(of=("self",)).get(pk=equipment.pk)
    key = {"program": found.program_id, "client_key": client_key}
    if client_key and (there := EquipmentInspection.objects.filter(**key).first()):
        return _same(there, found, said)
    _refuse_retired(found)
    row = _inspection(found, said, client_key, by)
    before = newest_inspection(found)
    row.full_clean()
    row.save()
    passed = "passed" if said.passed else "failed"
    log_event(found, f"An inspection was recorded: {passed}.", by=by, fields=["inspections"])
    if before is None or before.on <= row.on:
        _follow(found, row, by)
    return row


def _inspection(
    found: Equipment, said: Inspected, client_key: UUID | None, by: User
) -> EquipmentInspection:
    """Return what is to be recorded; one that passed with the day that the next one is due."""
    _refuse_inspected(said.on, found.program.today(), "on")
    due = (said.next_due_on or next_due(said.on, found.interval_months)) if said.passed else None
    if due:
        _refuse_due(found, said.on, due, "next_due_on")
    return EquipmentInspection(
        program_id=found.program_id,
        equipment=found,
        on=said.on,
        by_name=said.by_name.strip(),
        passed=said.passed,
        next_due_on=due,
        paper=said.paper.strip(),
        note=said.note.strip(),
        recorded_by=by,
        client_key=client_key,
    )


def _follow(found: Equipment, row: EquipmentInspection, by: User) -> None:
    """Write what the newest inspection means for the piece."""
    if row.next_due_on and (found.inspected_on is None or found.inspected_on <= row.on):
        found.inspected_on, found.due_on = row.on, row.next_due_on
    if not row.passed and not found.tagged_out:
        _tag(found, f"It failed its inspection on {full_date(row.on)}. {row.note}".strip(), by)
    found.version += 1
    found.full_clean()
    found.save()


@transaction.atomic
def tag_out(*, equipment: Equipment, because: str, by: User) -> Equipment:
    """Take a piece out of use at once, whatever its due date. Anybody of the shop may.

    The same reason again changes nothing.

    Raises:
        ValidationError: the reason is missing, it is tagged out for another reason, or retired.
    """
    found = Equipment.objects.select_for_update(of=("self",)).get(pk=equipment.pk)
    _refuse_retired(found)
    reason = because.strip()
    if not reason:
        raise ValidationError({"because": "Say what is wrong with it."})
    if found.tagged_out and found.tagged_out_because == reason:
        return found
    if found.tagged_out:
        raise ValidationError(f"{found} is tagged out already: {_ended(found.tagged_out_because)}")
    _tag(found, reason, by)
    found.version += 1
    found.full_clean()
    found.save()
    return found


def _tag(found: Equipment, because: str, by: User) -> None:
    longest = Equipment._meta.get_field("tagged_out_because").max_length
    found.tagged_out, found.tagged_out_because = True, because[:longest]
    found.tagged_out_by, found.tagged_out_at = by, timezone.now()
    log_event(found, "It was tagged out.", by=by, reason=because[:longest], fields=["tagged_out"])


@transaction.atomic
def put_back(*, equipment: Equipment, because: str, version: int, by: User) -> Equipment:
    """Put a piece that was tagged out back into use, saying what was done to it.

    Raises:
        ValidationError: it is not tagged out, is overdue, failed its last inspection, is retired,
            it is not said what was done, or somebody else changed it.
    """
    found = locked(equipment, version)
    _refuse_retired(found)
    if not found.tagged_out:
        raise ValidationError(f"{found} is not tagged out.")
    if not because.strip():
        raise ValidationError({"because": "Say what was done to it."})
    refusal = keeps_out(found, found.program.today())
    if refusal:
        raise ValidationError(refusal)
    found.tagged_out, found.tagged_out_because = False, ""
    found.tagged_out_by, found.tagged_out_at = None, None
    found.full_clean()
    found.save()
    log_event(found, "It was put back into use.", by=by, reason=because.strip())
    return found


@transaction.atomic
def retire(*, equipment: Equipment, because: str, version: int, by: User) -> Equipment:
    """Take a piece off the list for good from today; its record stays.

    Raises:
        ValidationError: it is retired already, the reason is missing, or somebody else changed it.
    """
    found = locked(equipment, version)
    _refuse_retired(found)
    if not because.strip():
        raise ValidationError({"because": "Say why it is retired."})
    found.retired_on = found.program.today()
    found.full_clean()
    found.save()
    log_event(found, "It was retired.", by=by, reason=because.strip(), fields=["retired_on"])
    return found


def keeps_out(row: Equipment, today: dt.date) -> str:
    """Return what keeps a piece from going back into use, whoever wants it; empty when nothing."""
    last = newest_inspection(row)
    if last and not last.passed:
        return f"{row} failed its inspection on {full_date(last.on)}. Record one that it passes."
    if row.due_on < today:
        return f"{row} was due on {full_date(row.due_on)}. Record an inspection that it passes."
    return ""


def _refuse_retired(row: Equipment) -> None:
    if row.retired_on:
        raise ValidationError(f"{row} is retired since {full_date(row.retired_on)}.")


def _refuse_name(row: Equipment) -> None:
    """Refuse a second piece of a name: nobody would know which of the two is tagged out."""
    others = Equipment.objects.filter(program=row.program_id, name=row.name, retired_on=None)
    if others.exclude(pk=row.pk).exists():
        raise ValidationError({"name": f"{row.name} is on the list. Tell the two apart by name."})


def _refuse_inspected(on: dt.date | None, today: dt.date, field: str = "inspected_on") -> None:
    if on and on > today:
        raise ValidationError({field: f"{full_date(on)}, has not come yet."})


def _refuse_due(row: Equipment, on: dt.date, due: dt.date, field: str) -> None:
    """Refuse a next inspection on or before this one, or further off than the interval."""
    if due <= on:
        raise ValidationError({field: f"The next inspection is due after {full_date(on)}."})
    last = next_due(on, row.interval_months)
    if due > last:
        raise ValidationError(
            {
                field: f"{row} is inspected every {row.interval_months} months: the next one is "
                f"due by {full_date(last)}."
            }
        )


def _same(there: EquipmentInspection, found: Equipment, said: Inspected) -> EquipmentInspection:
    """Return what this key recorded already, unless the form says something else now."""
    if (there.equipment_id, there.on, there.passed) == (found.pk, said.on, said.passed):
        return there
    raise ValidationError("This form was sent already. Open the page again.")


def _ended(text: str) -> str:
    return text if text.endswith((".", "!", "?")) else f"{text}."
