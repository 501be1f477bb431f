"""Needs and units of supply, read into what matching computes with."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import TYPE_CHECKING

from django.shortcuts import get_object_or_404

from shared.accounts.models import Program
from shared.say import say
from sponsors.matching.compatibility import Cause, Compatibility, NeedLine, SupplyLine
from sponsors.matching.matching import rematch
from sponsors.matching.models import Reservation
from sponsors.matching.states import Freed
from sponsors.pledges.models import Supply
from sponsors.pledges.queries import in_short
from sponsors.pledges.states import SupplyState
from vehicles.repairs.fitment import made_sure, serves
from vehicles.repairs.models import Need
from vehicles.repairs.open_needs import Part, System
from vehicles.repairs.parts import Fitment
from vehicles.repairs.queries import open_need
from vehicles.repairs.specifications import key

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Collection, Iterable, Mapping, Sequence

    from django.db.models import QuerySet

    from shared.accounts.models import User
    from shared.say import Say
    from sponsors.matching.matching import Unserved
    from sponsors.pledges.models import Pledge
    from vehicles.repairs.open_needs import OpenNeed

MATCHING = "matching"  # what a reservation is made for that no plan and no person made


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


def program_of(user: User) -> Program:
    """Return the program whose office the user works in.

    Raises:
        Http404: a user of no program.
    """
    return get_object_or_404(Program, pk=user.program_id)


def reservations_for(user: User) -> QuerySet[Reservation]:
    """Return what is kept for needs that the user may see."""
    rows = Reservation.objects.for_user(user)
    return rows.select_related("program", "supply__pledge__sponsor", "need")


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


def is_loose(row: Reservation) -> bool:
    """Return whether matching may move a reservation: it made it, and no person settled it."""
    fitted = row.supply.state == SupplyState.FITTED
    return row.made_for == MATCHING and row.confirmed_at is None and not fitted


def barrier(supply: Supply, need: Need, needed_on: dt.date) -> Say | None:
    """Return what keeps a unit from serving a need on a day, or None when it may serve it."""
    if not Supply.objects.filter(pk=supply.pk).usable(needed_on).exists():
        return say("This unit is not to be had any more.")
    can = Compatibility([need_line(need, needed_on)], [supply_line(supply)])
    if can.edges[0]:
        return None
    obstacles = can.obstacles(0)
    return obstacles[0][1] if obstacles else say("It is another part.")


def fit_words(pairs: Collection[tuple[int, int]]) -> dict[tuple[int, int], str]:
    """Return why each unit fits its need, for pairs of their ids; two queries."""
    supplies = Supply.objects.in_bulk([unit for unit, _ in pairs])
    needs = Need.objects.in_bulk([need for _, need in pairs])
    found = {}
    for unit, need in pairs:
        wanted = open_need(needs[need])
        fit = serves(supply_part(supplies[unit]), wanted.part, wanted.car)
        fit = made_sure(fit, unit, wanted.part.kind, wanted.car)
        found[unit, need] = str(fit.reason)
    return found


def refused_pairs(program: Program) -> frozenset[tuple[int, int]]:
    """Return the pairs of need and unit that matching made and a person took apart."""
    apart = Reservation.objects.filter(program=program, made_for=MATCHING, freed_at__isnull=False)
    rows = apart.exclude(freed_because__in=list(Freed)).values_list("need_id", "supply_id")
    return frozenset(rows)


@dataclass(frozen=True, kw_only=True)
class Tried:
    """An open need of a pledge's part, whether the pledge may serve it, and why."""

    need: OpenNeed
    answer: str
    reason: Say


# The answer in a word, for what keeps a pledge from a need.
_ANSWERS = {
    Cause.ASK: "ask",
    Cause.EXPIRES: "too late",
    Cause.CONDITION: "not allowed",
    Cause.DOES_NOT_FIT: "does not fit",
}


def tried(pledge: Pledge, on: dt.date) -> list[Tried]:
    """Return the open needs of a pledge's part, the most urgent first; two queries.

    Whether something is kept for a need already is not asked.
    """
    offer = supply_line(pledge.units.select_related("pledge")[0])
    needs = Need.objects.open().filter(program_id=pledge.program_id)
    lines = {need: need_line(need, on) for need in needs}
    found = [_try(need, line, offer) for need, line in lines.items() if _is_of(line, offer)]
    return sorted(found, key=lambda one: (one.need.tier, one.need.opened_on, one.need.id))


def _is_of(line: NeedLine, offer: SupplyLine) -> bool:
    return key(line.part.kind) == key(offer.part.kind)


def _try(need: Need, line: NeedLine, offer: SupplyLine) -> Tried:
    can = Compatibility([line], [offer])
    obstacles = can.obstacles(0)
    if not obstacles:
        return Tried(need=open_need(need), answer="fits", reason=can.fit(line, offer).reason)
    cause, reason, _ = obstacles[0]
    return Tried(need=open_need(need), answer=_ANSWERS[cause], reason=reason)


@dataclass(frozen=True, kw_only=True)
class Lacking:
    """An open need with units that nothing is kept for, and why."""

    need: OpenNeed
    units: int
    reason: Say
    ask: tuple[Supply, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Spare:
    """A unit that is kept for no need, and why."""

    supply: Supply
    reason: Say


@dataclass(frozen=True, kw_only=True)
class Matched:
    """All that the page of matches shows."""

    kept: tuple[Reservation, ...]
    lacking: tuple[Lacking, ...]
    spare: tuple[Spare, ...]


def matched(program: Program, on: dt.date) -> Matched:
    """Return what is kept, what is lacking and what is spare on a day; three queries."""
    needs = {need.pk: need for need in Need.objects.open().filter(program=program)}
    supplies = {supply.pk: supply for supply in usable_supplies(program, on)}
    standing = [row for row in standing_reservations(program) if row.need_id in needs]
    lines = [need_line(need, on) for need in needs.values()]
    offers = [supply_line(supply) for supply in supplies.values()]
    held = [(row.need_id, row.supply_id) for row in standing]
    answer = rematch(lines, offers, held=held)
    shown = {pk: open_need(need) for pk, need in needs.items()}
    kept = Counter(row.need_id for row in standing)
    why = {row.need_id: row for row in answer.unserved}
    near = _nearest(Compatibility(lines, offers), shown)
    idle = {row.supply_id: near.get(row.supply_id, row.reason) for row in answer.idle}
    taken = {row.supply_id for row in standing}
    order = sorted(shown.values(), key=lambda need: (need.tier, need.opened_on, need.id))
    return Matched(
        kept=tuple(sorted(standing, key=lambda row: (row.need.tier, row.need.opened_on, row.pk))),
        lacking=tuple(
            _lacking(need, need.quantity - kept[need.id], why.get(need.id), shown, supplies)
            for need in order
            if need.quantity > kept[need.id]
        ),
        spare=tuple(
            Spare(supply=supply, reason=idle.get(pk, say("A need fits it: match again.")))
            for pk, supply in supplies.items()
            if pk not in taken
        ),
    )


def _lacking(
    need: OpenNeed,
    units: int,
    why: Unserved | None,
    shown: Mapping[int, OpenNeed],
    supplies: Mapping[int, Supply],
) -> Lacking:
    """Return why a need is not served, with the names of the needs that come first."""
    if why is None:
        return Lacking(need=need, units=units, reason=say("A part fits it: match again."))
    reason = why.reason
    if why.cause is Cause.OUTRANKED and why.ahead_need_ids:
        names = ", ".join(in_short(shown[pk]) for pk in why.ahead_need_ids)
        reason = say("All that fits is kept for needs that come first: {needs}.", needs=names)
    ask = tuple(supplies[pk] for pk in why.ask_supply_ids)
    return Lacking(need=need, units=units, reason=reason, ask=ask)


def _nearest(can: Compatibility, shown: Mapping[int, OpenNeed]) -> dict[int, Say]:
    """Return for each unit that can't serve a need of its part the nearest need, and why not."""
    causes = list(Cause)
    typical = {class_: need for need, class_ in reversed(can.claims)}
    found: dict[int, tuple[int, Say]] = {}
    for class_, need in sorted(typical.items()):
        for cause, reason, supply in can.obstacles(class_):
            rank = causes.index(cause)
            if supply.id not in found or rank < found[supply.id][0]:
                name = in_short(shown[need.id])
                found[supply.id] = rank, say("Nearest: {need}. {reason}", need=name, reason=reason)
    return {pk: near for pk, (_, near) in found.items()}
