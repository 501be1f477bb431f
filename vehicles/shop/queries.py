"""Reading the shop: what may be used on which day, and how each piece stands."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from vehicles.shop import duty
from vehicles.shop.kinds import EquipmentKind
from vehicles.shop.models import Bay, BayClosure, Equipment, EquipmentInspection, Space

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Iterable

    from shared.accounts.models import Program


def open_bays(program: Program, days: Iterable[dt.date]) -> duty.OpenBays:
    """Return the bays that can be used on each day, and those of them with a lift; three queries.

    What is tagged out today stays so, what falls due is out from the day after, as far as is known.
    """
    return duty.open_days(bays(program), pieces(program), closures(program), days)


def bay_days(program: Program, days: Iterable[dt.date]) -> dict[dt.date, list[int]]:
    """Return the ids of the bays that can be used on each day, in order; three queries."""
    return {day: list(ids) for day, ids in open_bays(program, days).every.items()}


def lift_bay_days(program: Program, days: Iterable[dt.date]) -> dict[dt.date, list[int]]:
    """Return the same for the bays with a lift that can be used; three queries."""
    return {day: list(ids) for day, ids in open_bays(program, days).lift.items()}


def bays(program: Program) -> list[duty.Bay]:
    """Return every bay as the pure module reads it."""
    return [
        duty.Bay(id=row.pk, name=row.name, has_lift=row.has_lift, closed_on=row.closed_on)
        for row in Bay.objects.filter(program=program)
    ]


def pieces(program: Program) -> list[duty.Piece]:
    """Return every piece of equipment, retired ones too."""
    rows = Equipment.objects.filter(program=program).select_related("program")
    return [piece(row) for row in rows]


def piece(row: Equipment) -> duty.Piece:
    """Return one piece as the pure module reads it."""
    tagged = row.tagged_out_at
    return duty.Piece(
        id=row.pk,
        name=row.name,
        due_on=row.due_on,
        kind=EquipmentKind(row.kind),
        bay_id=row.bay_id,
        tagged_out=row.tagged_out,
        tagged_on=tagged.astimezone(row.program.zone).date() if tagged else None,
        because=row.tagged_out_because,
        retired_on=row.retired_on,
    )


def closures(program: Program) -> list[duty.Closure]:
    """Return the closures that nobody took back."""
    rows = BayClosure.objects.filter(program=program, ended_at=None)
    return [closure(row) for row in rows]


def closure(row: BayClosure) -> duty.Closure:
    """Return the days of one closure as the pure module reads them."""
    return duty.Closure(
        bay_id=row.bay_id, from_on=row.from_on, until_on=row.until_on, reason=row.reason
    )


def spaces(program: Program) -> list[duty.Space]:
    """Return every space on the lot."""
    return [
        duty.Space(name=row.name, takes_dead=row.takes_dead, closed_on=row.closed_on)
        for row in Space.objects.filter(program=program)
    ]


def newest_inspection(row: Equipment) -> EquipmentInspection | None:
    """Return the last inspection of a piece, or None before the first on record."""
    return row.inspections.order_by("-on", "-pk").first()


def as_typed(row: Equipment) -> dict[str, Any]:
    """Return what the form shows of a piece at first."""
    names = ("name", "kind", "bay", "interval_months", "version")
    return {name: getattr(row, name) for name in names}
