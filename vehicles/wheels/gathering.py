"""What the pages of the shop and of a car's wheels show, from what all rooms know."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from shared.audit.models import Event
from vehicles.inspection import catalogue
from vehicles.shop import duty
from vehicles.shop.duty import Standing
from vehicles.shop.kinds import EquipmentKind
from vehicles.shop.models import Bay, BayClosure, Equipment, Space
from vehicles.shop.queries import closure, piece

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Iterable, Sequence

    from shared.accounts.models import Program, User
    from shared.say import Say
    from vehicles.inspection.criteria import Caution

#: The cautions of the catalogue that belong to a kind of equipment.
CAUTIONS: Final = {
    EquipmentKind.LIFT: ("lifting-hoist", "lifting-stands"),
    EquipmentKind.JACK: ("lifting-jack", "lifting-stands"),
    EquipmentKind.STANDS: ("lifting-stands",),
    EquipmentKind.TORQUE_WRENCH: ("wheels-off",),
    EquipmentKind.GLOVES: ("hybrid-hv",),
    EquipmentKind.GAS_ALARM: ("engine-running",),
    EquipmentKind.REFRIGERANT: ("ac-refrigerant",),
}
GRAVEST: Final = (Standing.TAGGED_OUT, Standing.OVERDUE, Standing.SOON)


@dataclass(frozen=True, kw_only=True)
class Due:
    """One piece that is out of use or soon will be, and what that does to its bay."""

    pk: int
    standing: Standing
    sentence: Say
    stops: Say | None


@dataclass(frozen=True, kw_only=True)
class BayLine:
    """One bay today: who stands there, why it can't be used, and what its register lacks."""

    row: Bay
    out: tuple[Say, ...]
    closures: tuple[BayClosure, ...]
    has_lift: bool
    unregistered: bool
    cars: tuple[duty.Car, ...]


@dataclass(frozen=True, kw_only=True)
class SpaceLine:
    """One space on the lot and who stands there."""

    row: Space
    cars: tuple[duty.Car, ...]


@dataclass(frozen=True, kw_only=True)
class ShopPage:
    """The shop on a day."""

    due: tuple[Due, ...]
    bays: tuple[BayLine, ...]
    shut: tuple[Bay, ...]
    spaces: tuple[SpaceLine, ...]
    shut_spaces: tuple[Space, ...]
    lot: duty.Lot

    @property
    def in_bays(self) -> tuple[duty.Car, ...]:
        """The cars that stand in a bay."""
        return tuple(car for line in self.bays for car in line.cars)

    @property
    def elsewhere(self) -> tuple[duty.Car, ...]:
        """The cars that stand neither on a space nor in a bay."""
        return tuple(car for car in self.lot.elsewhere if car not in self.in_bays)

    @property
    def astray(self) -> tuple[duty.Car, ...]:
        """The cars that don't roll, are not being worked on and stand on no space for them."""
        return tuple(car for car in self.lot.dead_astray if car not in self.in_bays)

    @property
    def open_bays(self) -> int:
        """How many bays can be used."""
        return sum(not line.out for line in self.bays)


def shop_page(program: Program, day: dt.date, lot: duty.Lot) -> ShopPage:
    """Return the shop on a day; four queries."""
    rows = list(Bay.objects.filter(program=program))
    pieces = [
        piece(row) for row in Equipment.objects.filter(program=program).select_related("program")
    ]
    closures = list(BayClosure.objects.filter(program=program, ended_at=None, until_on__gte=day))
    spaces = {row.name: row for row in Space.objects.filter(program=program)}
    return ShopPage(
        due=due(pieces, rows, day),
        bays=tuple(
            _bay(row, pieces, [one for one in closures if one.bay_id == row.pk], day, lot)
            for row in rows
            if not _shut(row, day)
        ),
        shut=tuple(row for row in rows if _shut(row, day)),
        spaces=tuple(SpaceLine(row=spaces[name], cars=cars) for name, cars in lot.standing.items()),
        shut_spaces=tuple(row for name, row in spaces.items() if name not in lot.standing),
        lot=lot,
    )


def due(pieces: Iterable[duty.Piece], rows: Sequence[Bay], day: dt.date) -> tuple[Due, ...]:
    """Return what is out of use or due within 30 days, the gravest first."""
    bays = {row.pk: _plain(row) for row in rows if not _shut(row, day)}
    graver = [one for one in pieces if one.standing(day) in GRAVEST]
    graver.sort(key=lambda one: (GRAVEST.index(one.standing(day)), one.due_on, one.id))
    return tuple(
        Due(
            pk=one.id,
            standing=one.standing(day),
            sentence=duty.told(one, day),
            stops=duty.stops(one, bays[one.bay_id], day) if one.bay_id in bays else None,
        )
        for one in graver
    )


def _bay(
    row: Bay,
    pieces: Sequence[duty.Piece],
    closures: Sequence[BayClosure],
    day: dt.date,
    lot: duty.Lot,
) -> BayLine:
    bay = _plain(row)
    return BayLine(
        row=row,
        out=duty.why_out(bay, pieces, [closure(one) for one in closures], day),
        closures=tuple(closures),
        has_lift=duty.has_lift(bay, pieces, day),
        unregistered=row.has_lift
        and not any(one.bay_id == row.pk and one.kind is EquipmentKind.LIFT for one in pieces),
        cars=tuple(car for car in lot.elsewhere if duty.stands_at(car, row.name)),
    )


def _plain(row: Bay) -> duty.Bay:
    return duty.Bay(id=row.pk, name=row.name, has_lift=row.has_lift, closed_on=row.closed_on)


def _shut(row: Bay, day: dt.date) -> bool:
    return row.closed_on is not None and row.closed_on <= day


def cautions_of(kind: EquipmentKind) -> tuple[Caution, ...]:
    """Return the cautions that belong to a kind of equipment, in full."""
    known = catalogue.cautions()
    return tuple(known[code] for code in CAUTIONS.get(kind, ()))


@dataclass(frozen=True, kw_only=True)
class LogLine:
    """One line about a piece: when, what and why, by whom."""

    at: dt.datetime
    sentence: str
    by: User | None


def history(row: Equipment) -> list[LogLine]:
    """Return what was done to a piece, newest first; one query."""
    events = Event.objects.filter(program=row.program_id).about("equipment", row.pk)
    return [
        LogLine(
            at=event.at,
            sentence=f"{event.what} {event.reason}".strip(),
            by=event.by,
        )
        for event in events.select_related("by")
    ]
