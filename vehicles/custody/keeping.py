"""Where a car, its keys and its contents go, and how it leaves without a repair."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING
from uuid import uuid5

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone

from shared.audit.actions import log_event
from vehicles.custody.conditions import WORKED_ON, Mobility, Step, move
from vehicles.custody.kinds import (
    ContentKind,
    NoticeHow,
    TowAnswer,
    TowDirection,
    TowKind,
    TowPayer,
)
from vehicles.custody.models import Condition, Content, Departure, KeyMove, KeyTag, Tow
from vehicles.custody.queries import open_stay, undecided, work_stops

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Sequence
    from uuid import UUID

    from shared.accounts.models import User
    from vehicles.custody.values import Stroke
    from vehicles.intake.models import Intake, Vehicle


@dataclass(frozen=True, kw_only=True)
class TowOrder:
    """A tow as it is ordered; the cost in whole cents, None while nobody knows it."""

    kind: TowKind
    hauler: str
    from_place: str
    to_place: str
    on: dt.date
    payer: TowPayer
    cost_cents: int | None = None
    gate_code: str = ""
    key_drop: str = ""


@dataclass(frozen=True, kw_only=True)
class Leaving:
    """How a car leaves that was not repaired.

    `dangers` are the sentences of the notice, in its language, and `content_hash` the digest of its
    whole text. `contents_to` says who takes whatever of the car's contents still lies here. A
    notice that was signed on paper has no strokes; its witness saw it signed and keeps it.
    """

    on: dt.date
    because: str
    notice: NoticeHow
    taken_by: str
    tow_answer: TowAnswer
    keys_to: str
    content_hash: str
    client_key: UUID
    language: str = "en"
    dangers: Sequence[str] = ()
    witness: str = ""
    strokes: Sequence[Stroke] = ()
    tow: TowOrder | None = None
    contents_to: str = ""


@transaction.atomic
def move_vehicle(
    *,
    vehicle: Vehicle,
    step: Step,
    mobility: Mobility | None = None,
    place: str | None = None,
    by: User,
    version: int | None = None,
) -> Condition:
    """Put a car into a step, with how it moves and where it stands; None leaves either as it is.

    The step it is in already is allowed, so that only its place can change. `version` is that of
    the condition on screen.

    Raises:
        ValidationError: the table of steps has no such move, work there has stopped, a value is not
            possible, or somebody else moved the car since it was shown.
    """
    condition = _condition(vehicle)
    if version is not None and version != condition.version:
        raise ValidationError(
            f"Somebody else moved this car meanwhile: it is “{Step(condition.step).label}” now."
        )
    if step != condition.step and step in WORKED_ON:
        _refuse_stopped(vehicle)
    changed = _changed(condition, step, mobility, place)
    if not changed:
        return condition
    condition.version += 1
    condition.full_clean()
    condition.save()
    log_event(vehicle, f"The car is “{step.label}”.", by=by, fields=changed)
    return condition


def _condition(vehicle: Vehicle) -> Condition:
    """Return the condition of the car, locked; a car that has none yet is expected."""
    found = Condition.objects.select_for_update().filter(vehicle=vehicle).first()
    return found or Condition(program_id=vehicle.program_id, vehicle=vehicle, version=0)


def _refuse_stopped(vehicle: Vehicle) -> None:
    """Refuse a car whose repair may not go on, with what is missing for it."""
    for problem in work_stops(vehicle.intakes.open().values_list("pk", flat=True)).values():
        raise ValidationError({"step": f"{problem.sentence} {problem.remedy}"})


def _changed(
    condition: Condition, step: Step, mobility: Mobility | None, place: str | None
) -> list[str]:
    """Write the wanted values into the condition and return the names of those that changed."""
    now = Step(condition.step)
    if step is not now:
        try:
            condition.step = move(now, step)
        except ValueError as error:
            raise ValidationError({"step": str(error)}) from error
        condition.since_at = timezone.now()
    wanted = {"mobility": mobility, "place": None if place is None else place.strip()}
    changed = ["step"] if step is not now else []
    for name, value in wanted.items():
        if value is not None and getattr(condition, name) != value:
            setattr(condition, name, value)
            changed.append(name)
    return changed


@transaction.atomic
def return_keys(*, tag: KeyTag, to: str, on: dt.date, by: User) -> KeyTag:
    """Record that all keys of a stay went back to somebody; keys that did are left as they are.

    Raises:
        ValidationError: nobody is named, or the day has not come.
    """
    found = KeyTag.objects.select_for_update().get(pk=tag.pk)
    if found.returned_on:
        return found
    _has_come(found.program.today(), on)
    found.holder, found.returned_on = to.strip(), on
    found.version += 1
    found.full_clean()
    found.save()
    write_key_move(found, by)
    log_event(found.intake, "The keys were returned.", by=by, fields=["key_tag"])
    return found


def write_key_move(tag: KeyTag, by: User) -> KeyMove:
    """Write who has the keys now into their log."""
    return KeyMove.objects.create(program_id=tag.program_id, key_tag=tag, holder=tag.holder, by=by)


@transaction.atomic
def return_content(*, content: Content, to: str, on: dt.date, by: User) -> Content:
    """Record who took a thing back; what was taken back is left as it is.

    Raises:
        ValidationError: nobody is named, the day has not come, or a person has to decide first.
    """
    found = Content.objects.select_for_update().get(pk=content.pk)
    if found.returned_on:
        return found
    _has_come(found.program.today(), on)
    if ContentKind(found.kind).stops_work and not found.decided_by_id:
        raise ValidationError("The coordinator or the lead technician decides on this first.")
    if not to.strip():
        raise ValidationError({"to": "Say who took it back."})
    found.returned_on, found.returned_to = on, to.strip()
    found.full_clean()
    found.save()
    log_event(found.intake, "Something from the car was returned.", by=by, fields=["contents"])
    return found


def _has_come(today: dt.date, on: dt.date) -> None:
    """Refuse a day to come."""
    if on > today:
        raise ValidationError({"on": "This day has not come yet."})


@transaction.atomic
def order_tow(
    *, intake: Intake, direction: TowDirection, order: TowOrder, client_key: UUID, by: User
) -> Tow:
    """Record a tow; the same `client_key` again returns the tow it made.

    Raises:
        ValidationError: the stay has ended, or a value is not possible.
    """
    stay = open_stay(intake)
    if there := Tow.objects.filter(client_key=client_key, intake=stay).first():
        return there
    tow = Tow(
        program_id=stay.program_id,
        intake=stay,
        direction=direction,
        client_key=client_key,
        by=by,
        **vars(order),
    )
    tow.full_clean()
    tow.save()
    log_event(stay, f"{direction.label}: {order.payer.label.lower()} pays.", by=by, fields=["tows"])
    return tow


@transaction.atomic
def depart(*, intake: Intake, leaving: Leaving, by: User) -> Departure:
    """Let a car go that was not repaired: notice, keys, contents, tow, step; the stay ends.

    The same `client_key` again returns the departure it wrote.

    Raises:
        ValidationError: the stay has ended, the car may not leave from its step, things lie in it
            that nobody takes or decided on, a taken tow has no order, the notice lacks its
            signature or witness, or the day has not come.
    """
    there = Departure.objects.filter(client_key=leaving.client_key, intake=intake).first()
    if there:
        return there
    stay = open_stay(intake)
    _has_come(stay.program.today(), leaving.on)
    if leaving.notice is NoticeHow.SIGNED and not (leaving.strokes or leaving.witness.strip()):
        raise ValidationError({"strokes": "The notice is not signed yet."})
    _empty(stay, leaving, by)
    tow = _tow_out(stay, leaving, by)
    if tag := KeyTag.objects.filter(intake=stay, returned_on=None).first():
        return_keys(tag=tag, to=leaving.keys_to, on=leaving.on, by=by)
    move_vehicle(vehicle=stay.vehicle, step=Step.RETURNED_UNREPAIRED, place="", by=by)
    stay.left_on = leaving.on
    stay.version += 1
    stay.full_clean()
    stay.save()
    departure = _departure(stay, leaving, tow, by)
    departure.full_clean()
    departure.save()
    log_event(stay, "The car was returned unrepaired.", by=by, fields=["left_on", "departure"])
    return departure


def _empty(stay: Intake, leaving: Leaving, by: User) -> None:
    """Give what still lies here to whoever takes it, or refuse."""
    if stops := undecided([stay.pk]):
        raise ValidationError(f"Nobody has decided yet on what lies in the car: {stops[0].what}.")
    left = list(stay.contents.filter(returned_on=None))
    if left and not leaving.contents_to.strip():
        names = ", ".join(one.what for one in left)
        raise ValidationError({"contents_to": f"Still here: {names}. Say who takes it."})
    for content in left:
        return_content(content=content, to=leaving.contents_to, on=leaving.on, by=by)


def _tow_out(stay: Intake, leaving: Leaving, by: User) -> Tow | None:
    """Return the tow that takes the car away; its key is derived, so that it is ordered once."""
    if leaving.tow_answer is not TowAnswer.TAKEN:
        return None
    if leaving.tow is None:
        raise ValidationError({"tow_answer": "A tow that was taken needs its order."})
    key = uuid5(leaving.client_key, "tow")
    return order_tow(
        intake=stay, direction=TowDirection.OUT, order=leaving.tow, client_key=key, by=by
    )


def _departure(stay: Intake, leaving: Leaving, tow: Tow | None, by: User) -> Departure:
    """Return the departure, not saved yet."""
    return Departure(
        program_id=stay.program_id,
        intake=stay,
        on=leaving.on,
        because=leaving.because.strip(),
        language=leaving.language,
        dangers=list(leaving.dangers),
        notice=leaving.notice,
        taken_by=leaving.taken_by.strip(),
        witness=leaving.witness.strip(),
        strokes=list(leaving.strokes),
        content_hash=leaving.content_hash,
        tow_answer=leaving.tow_answer,
        tow=tow,
        keys_to=leaving.keys_to.strip(),
        by=by,
        client_key=leaving.client_key,
    )
