"""Marks on the drawing of a car: placed once, taken away, never deleted."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone

from shared.audit.actions import log_event
from vehicles.intake.models import Intake, WalkRoundMark
from vehicles.intake.walk_round import AREAS, HEIGHT, WIDTH, MarkKind, area_at, point_on

if TYPE_CHECKING:
    from uuid import UUID

    from shared.accounts.models import User

MOST_MARKS = 120


@dataclass(frozen=True, kw_only=True)
class Seen:
    """What was seen where: a point of the drawing, else an area by its place in `AREAS`."""

    kind: MarkKind
    note: str = ""
    x: int | None = None
    y: int | None = None
    area: int | None = None


@transaction.atomic
def place_mark(*, intake: Intake, seen: Seen, client_key: UUID, by: User) -> WalkRoundMark:
    """Return the mark of this key, placed if it is new; asking twice places it once.

    Raises:
        ValidationError: the stay ended or has enough marks, or the place is none of the car's.
    """
    stay = _open(intake)
    if there := WalkRoundMark.objects.filter(client_key=client_key, intake=stay).first():
        return there
    if stay.marks.filter(voided_at__isnull=True).count() >= MOST_MARKS:
        raise ValidationError(f"This drawing has {MOST_MARKS} marks, which is the most.")
    x, y, area = _place(seen)
    mark = WalkRoundMark(
        program_id=stay.program_id,
        intake=stay,
        client_key=client_key,
        kind=seen.kind,
        x=x,
        y=y,
        area=area,
        note=seen.note.strip(),
        by=by,
    )
    mark.full_clean()
    mark.save()
    log_event(stay, f"Walk-round: {mark.kind}, {area}.", by=by, fields=["marks"])
    return mark


@transaction.atomic
def void_mark(*, mark: WalkRoundMark, by: User) -> WalkRoundMark:
    """Take a mark away; one that is away is left as it is.

    Raises:
        ValidationError: the stay has ended.
    """
    stay = _open(mark.intake)
    found = WalkRoundMark.objects.select_for_update().get(pk=mark.pk)
    if found.voided_at is None:
        found.voided_at = timezone.now()
        found.save(update_fields=["voided_at"])
        log_event(stay, f"Walk-round: taken away, {found.area}.", by=by, fields=["marks"])
    return found


def _open(intake: Intake) -> Intake:
    stay = Intake.objects.select_for_update().get(pk=intake.pk)
    if stay.left_on:
        raise ValidationError("This stay ended; nothing more can be recorded on it.")
    return stay


def _place(seen: Seen) -> tuple[int, int, str]:
    """Return the point and the name of the part of the car that lies there."""
    if seen.x is not None and seen.y is not None:
        if not (0 <= seen.x <= WIDTH and 0 <= seen.y <= HEIGHT):
            raise ValidationError("This place is outside of the drawing.")
        try:
            return seen.x, seen.y, str(area_at(seen.x, seen.y))
        except ValueError as error:
            raise ValidationError(str(error)) from error
    if seen.area is None:
        raise ValidationError({"area": "Touch the drawing, or choose where it is."})
    try:
        x, y = point_on(seen.area)
    except ValueError as error:
        raise ValidationError({"area": str(error)}) from error
    return x, y, str(AREAS[seen.area].name)
