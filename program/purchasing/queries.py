"""Needs from open to fitted, with what is kept, who is asked, and what stands in the way."""

from __future__ import annotations

import datetime as dt
from collections import defaultdict
from dataclasses import dataclass
from typing import TYPE_CHECKING

from program.cases.models import Case
from program.ledger.models import Commitment
from program.purchasing.stages import Stage, Unit, stage_of
from shared.audit.models import Event
from shared.say import Say, say
from sponsors.appeals.models import AppealLine
from sponsors.appeals.states import AppealState
from sponsors.matching.compatibility import Cause, Compatibility
from sponsors.matching.models import Reservation
from sponsors.matching.queries import MATCHING, need_line, supply_line, usable_supplies
from sponsors.pledges.models import Supply
from sponsors.pledges.states import SupplyState
from vehicles.repairs.gathering import costed
from vehicles.repairs.keeping import ASKED, Checked
from vehicles.repairs.models import Need, RepairItem
from vehicles.repairs.prerequisites import held_by_gate
from vehicles.repairs.states import NeedState
from vehicles.repairs.suitability import STRICT
from vehicles.shop.systems import System

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Mapping, Sequence

    from django.db.models import QuerySet

    from shared.accounts.models import Program, User
    from vehicles.repairs.prerequisites import Costed

ASK_DAYS = 7  # until it is known whether a part fits, when nobody said (common practice)
NOBODY = "the lead technician"
LOOK_UP = say(
    "Look it up by VIN at the counter, or hold it against the old part, before it is bought."
)
OUT = (AppealState.APPROVED, AppealState.SENT)


@dataclass(frozen=True, kw_only=True)
class Asking:
    """What a person has to find out about a part, who does it by when, and how it was done.

    `near` are the free units that may fit it.
    """

    what: tuple[Say, ...] = ()
    near: tuple[Supply, ...] = ()
    who: str = ""
    by_on: dt.date = dt.date.max
    checked: str = ""


@dataclass(frozen=True, kw_only=True)
class NeedRow:
    """One need with where it stands.

    `kept` are units kept for it, `held` is the gate behind which it waits.
    """

    need: Need
    stage: Stage
    kept: int
    case: str
    held: Costed | None
    asking: Asking

    @property
    def rank(self) -> int:
        """The place of its stage, for sorting."""
        return list(Stage).index(self.stage)

    @property
    def car(self) -> str:
        """Year, make and model."""
        facts = (self.need.car.get(name) for name in ("year", "make", "model"))
        return " ".join(str(fact) for fact in facts if fact)


def needs_of(user: User, *, closed: NeedState | None = None) -> QuerySet[Need]:
    """Return the open needs that the user may see, most urgent first; or closed ones, newest."""
    rows = Need.objects.for_user(user).select_related("item__intake")
    if closed is None:
        return rows.open().order_by("tier", "opened_on", "pk")
    return rows.filter(state=closed).order_by("-opened_on", "-pk")


def need_rows(user: User, program: Program, needs: QuerySet[Need]) -> list[NeedRow]:
    """Return the needs with where they stand; as many queries for one as for a thousand."""
    found, today = list(needs), program.today()
    units = _units(needs)
    out = AppealLine.objects.filter(program=program, need__in=needs, appeal__state__in=OUT)
    asked = set(out.values_list("need_id", flat=True))
    lacking = [one for one in found if _lacks(one, units)]
    held = held_needs(program, lacking, units)
    ask = _asks(program, lacking, today)
    log, cases = _log(found), _cases(user, found)
    return [
        NeedRow(
            need=need,
            stage=stage_of(
                NeedState(need.state),
                need.quantity,
                [unit for _, unit in units[need.pk]],
                asked=need.pk in asked,
            ),
            kept=len(units[need.pk]),
            case=cases.get(need.item.intake.vehicle_id, ""),
            held=held.get(need.pk),
            asking=_asking(need, ask.get(need.pk, []), log[need.pk]),
        )
        for need in found
    ]


def to_find_out(rows: Iterable[NeedRow]) -> list[NeedRow]:
    """Return the needs about which a person has to ask, the nearest day first."""
    found = [row for row in rows if row.asking.what]
    return sorted(found, key=lambda row: (row.asking.by_on, row.need.pk))


Units = dict[int, list[tuple[int, Unit]]]


def _units(needs: QuerySet[Need]) -> Units:
    """Return the units that are kept for needs, with the number of each; one query."""
    found: Units = defaultdict(list)
    rows = Reservation.objects.standing().filter(need__in=needs.order_by())
    for row in rows.select_related("supply"):
        settled = row.confirmed_at is not None or row.made_for != MATCHING
        unit = Unit(state=SupplyState(row.supply.state), settled=settled)
        found[row.need_id].append((row.supply_id, unit))
    return found


def _lacks(need: Need, units: Units) -> bool:
    return need.state == NeedState.OPEN and len(units[need.pk]) < need.quantity


def held_needs(
    program: Program, needs: Sequence[Need], units: Mapping[int, Collection[object]]
) -> dict[int, Costed]:
    """Return which of these needs wait behind a gate that is neither done nor funded.

    `needs` are read with their items; `units` are what is kept, by need. Such a need is neither
    bought nor asked for. Four queries.
    """
    stays = {need.item.intake_id for need in needs}
    items = RepairItem.objects.open().filter(intake__in=stays)
    aside = Commitment.objects.filter(program=program, released_by=None)
    funded = set(aside.values_list("item_id", flat=True))
    cars: dict[int, list[RepairItem]] = defaultdict(list)
    for item in items.prefetch_related("needs", "needs_first"):
        cars[item.intake_id].append(item)
    held: dict[int, Costed] = {}
    for group in cars.values():
        held |= held_by_gate(
            [costed(item, funded=item.pk in funded or _covered(item, units)) for item in group],
            {item.pk: [row.first_id for row in item.needs_first.all()] for item in group},
        )
    return {need.pk: held[need.item_id] for need in needs if need.item_id in held}


def held_in(program: Program) -> dict[int, Costed]:
    """Return the open needs of a program that wait behind a gate, for plans and appeals."""
    needs = Need.objects.open().filter(program=program).select_related("item")
    units = _units(needs)
    return held_needs(program, [need for need in needs if _lacks(need, units)], units)


def _covered(item: RepairItem, units: Mapping[int, Collection[object]]) -> bool:
    """Return whether a unit is kept for all that an item lacks, and nothing else is to be paid."""
    needs = [need for need in item.needs.all() if need.state == NeedState.OPEN]
    kept = all(len(units.get(need.pk, ())) >= need.quantity for need in needs)
    return bool(needs) and kept and not item.sublet_cents


Near = list[tuple[Supply, Say]]


def _asks(program: Program, needs: Iterable[Need], today: dt.date) -> dict[int, Near]:
    """Return by need what free units nearly serve it, and what has to be asked about each."""
    kept = Reservation.objects.standing().filter(program=program).values_list("supply_id")
    taken = {unit for (unit,) in kept}
    free = {one.pk: one for one in usable_supplies(program, today) if one.pk not in taken}
    lines = [need_line(need, need.needed_by_on or today) for need in needs]
    can = Compatibility(lines, [supply_line(one) for one in free.values()])
    found: dict[int, Near] = {}
    for line, class_ in can.claims:
        found[line.id] = [
            (free[supply.id], reason)
            for cause, reason, supply in can.obstacles(class_)
            if cause is Cause.ASK
        ]
    return found


def named(supply: Supply) -> str:
    """Return a unit with who gives it."""
    giver = str(supply.pledge.sponsor) if supply.pledge else "our shelf"
    return f"{supply}, {giver}"


def _log(needs: Iterable[Need]) -> dict[int, dict[str, Event]]:
    """Return for each need the newest line of each kind that is about asking; one query."""
    wanted = [ASKED, *(one.value for one in Checked)]
    rows = Event.objects.filter(kind="need", object_id__in=[need.pk for need in needs])
    found: dict[int, dict[str, Event]] = defaultdict(dict)
    for event in rows.filter(what__in=wanted).select_related("by").order_by("pk"):
        found[event.object_id][event.what] = event
    return found


def _asking(need: Need, near: Near, log: Mapping[str, Event]) -> Asking:
    """Return what is to be found out about a need, by whom and when, and what was found."""
    checked = next((one.value for one in Checked if one.value in log), "")
    strict = need.state == NeedState.OPEN and System(need.system) in STRICT and not checked
    units = [say("{unit}: {reason}", unit=named(unit), reason=why) for unit, why in near]
    what = (*units, *([LOOK_UP] if strict else []))
    if not what:
        return Asking(checked=checked)
    taken = log.get(ASKED)
    due = need.needed_by_on or need.opened_on + dt.timedelta(days=ASK_DAYS)
    return Asking(
        what=what,
        near=tuple(unit for unit, _ in near),
        who=str(taken.by) if taken and taken.by else NOBODY,
        by_on=dt.date.fromisoformat(taken.reason) if taken else due,
        checked=checked,
    )


def _cases(user: User, needs: Iterable[Need]) -> dict[int, str]:
    """Return the numbers of the cases that the user may see, by vehicle; the open one first."""
    vehicles = {need.item.intake.vehicle_id for need in needs}
    rows = Case.objects.for_user(user).filter(vehicle__in=vehicles)
    ordered = rows.order_by("-closed_on", "pk").values_list("vehicle_id", "number", "closed_on")
    found: dict[int, str] = {}
    for vehicle, number, closed_on in ordered:
        if vehicle not in found or closed_on is None:
            found[vehicle] = number
    return found
