"""Needs and units of supply, read into what matching computes with."""

from __future__ import annotations

from typing import TYPE_CHECKING

from sponsors.matching.compatibility import Compatibility, NeedLine, SupplyLine
from sponsors.matching.models import Reservation
from sponsors.pledges.models import Supply
from vehicles.repairs.open_needs import Part, System
from vehicles.repairs.parts import Fitment
from vehicles.repairs.queries import open_need

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Iterable, Sequence

    from shared.accounts.models import Program
    from vehicles.repairs.models import Need


def supply_part(supply: Supply) -> Part:
    """Return the part that a unit of supply is."""
    return Part(
        kind=supply.kind,
        system=System(supply.system),
        fitment=Fitment.from_dict(supply.fitment),
        used=supply.used,
    )


def supply_line(supply: Supply) -> SupplyLine:
    """Return one unit of supply with the conditions of its pledge."""
    pledge = supply.pledge
    return SupplyLine(
        id=supply.pk,
        pledge_id=supply.pledge_id,
        part=supply_part(supply),
        expires_on=supply.expires_on,
        counties=tuple(pledge.counties) if pledge else (),
        household_kinds=tuple(pledge.household_kinds) if pledge else (),
    )


def need_line(need: Need, needed_on: dt.date) -> NeedLine:
    """Return an open need as matching reads it, wanted by a day."""
    shown = open_need(need)
    return NeedLine(
        id=shown.id,
        tier=shown.tier,
        opened_on=shown.opened_on,
        needed_on=needed_on,
        part=shown.part,
        car=shown.car,
        county=shown.county,
        household_kinds=shown.household_kinds,
        quantity=shown.quantity,
    )


def usable_supplies(program: Program, on: dt.date) -> list[Supply]:
    """Return the units that can still fill a need on a day, with their pledges; one query."""
    rows = Supply.objects.filter(program=program).usable(on)
    return list(rows.select_related("pledge__sponsor", "lot"))


def standing_reservations(program: Program) -> list[Reservation]:
    """Return what is kept for a need now, with its unit and its need; one query."""
    rows = Reservation.objects.standing().filter(program=program)
    return list(rows.select_related("supply__pledge__sponsor", "need"))


def reserved_need_ids(program: Program) -> frozenset[int]:
    """Return the needs for which every unit asked for is kept: they cost no cash."""
    kept: dict[int, int] = {}
    wanted: dict[int, int] = {}
    for reservation in standing_reservations(program):
        kept[reservation.need_id] = kept.get(reservation.need_id, 0) + 1
        wanted[reservation.need_id] = reservation.need.quantity
    return frozenset(pk for pk, units in kept.items() if units >= wanted[pk])


def serving(
    needs: Iterable[Need], supplies: Sequence[Supply], needed_on: dt.date
) -> dict[int, tuple[int, ...]]:
    """Return, by need, the units of supply that fit and may serve it by a day."""
    lines = [need_line(need, needed_on) for need in needs]
    can = Compatibility(lines, [supply_line(supply) for supply in supplies])
    return {
        line.id: tuple(sorted(can.supplies[at].id for at in can.edges[class_]))
        for line, class_ in can.claims
    }
