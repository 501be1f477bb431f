"""Repair items and needs, read into what the pure modules compute with."""

from __future__ import annotations

from dataclasses import dataclass
from itertools import groupby
from typing import TYPE_CHECKING

from django.conf import settings
from django.db.models import Q
from django.utils.module_loading import import_string

from shared.audit.models import Event
from shared.people.may import REFRIGERANT, UNDER_RAISED_CAR, work_on
from vehicles.inspection.criteria import DeficiencyClass
from vehicles.inspection.models import Finding
from vehicles.operations.catalogue import load
from vehicles.repairs.models import Need
from vehicles.repairs.open_needs import OpenNeed
from vehicles.repairs.parts import Car, Fitment, Part
from vehicles.repairs.prerequisites import by_causes
from vehicles.repairs.ranking import CodeSeverity, Hazard
from vehicles.repairs.states import ItemState, NeedState
from vehicles.shop.systems import System

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Collection, Container, Iterable

    from django.db.models import QuerySet

    from shared.accounts.models import Program
    from shared.people.may import Act
    from vehicles.intake.models import Intake, Vehicle
    from vehicles.repairs.models import Estimate, RepairItem

_CAUSE = ("pk", "title", "caused_by")
LOG_LINES = 200  # the newest lines of the log that a page of a car reads


def with_work(items: QuerySet[RepairItem]) -> QuerySet[RepairItem]:
    """Return the items with their findings, needs and prerequisites: three more queries in all."""
    return items.select_related("intake").prefetch_related("findings", "needs", "needs_first")


def needs_to_ask(program: Program) -> list[Need]:
    """Return the open needs that sponsors may be asked for: a text was approved, no gate is shut.

    Which needs wait behind a gate that is neither done nor funded hangs on the parts kept and the
    money set aside: whoever knows both is named by `settings.NEEDS_HELD`.
    """
    held: Container[int] = import_string(settings.NEEDS_HELD)(program)
    shown = Need.objects.shown_to_sponsors().filter(program=program)
    return [need for need in shown if need.pk not in held]


def after_causes(items: Iterable[RepairItem]) -> tuple[dict[int, set[int]], dict[int, str]]:
    """Return which open items come first since they repair the cause, and causes nobody repairs.

    `items` are the open ones of whole stays, as `with_work` reads them. The second result has for
    an item the title of an open finding that caused what it clears, and that no item clears: what
    was killed is not replaced before what killed it is repaired. One query.
    """
    rows = list(items)
    stays = {item.intake_id for item in rows}
    found = Finding.objects.open().filter(intake__in=stays)
    open_ones = {pk: (title, cause) for pk, title, cause in found.values_list(*_CAUSE)}
    causes = {pk: cause for pk, (_, cause) in open_ones.items() if cause in open_ones}
    first, orphans = by_causes(
        {item.pk: [one.pk for one in item.findings.all()] for item in rows},
        causes,
        {item.pk: [row.first_id for row in item.needs_first.all()] for item in rows},
    )
    return first, {item: open_ones[cause][0] for item, cause in orphans.items()}


def car_of(vehicle: Vehicle) -> Car:
    """Return what is known of a vehicle, as parts are held against it."""
    return Car(
        year=vehicle.year,
        make=vehicle.make,
        model=vehicle.model,
        engine=vehicle.engine,
        transmission=vehicle.transmission,
        tire_size=vehicle.tire_size,
    )


def acts_of(item: RepairItem) -> tuple[Act, ...]:
    """Return what a person has to be allowed to do who does this work, each once."""
    operation = load().get(item.operation)
    codes = dict.fromkeys([item.system, *(operation.skills if operation else ())])
    acts = [REFRIGERANT if code == "refrigerant" else work_on(code) for code in codes]
    return (*acts, UNDER_RAISED_CAR) if item.needs_lift else tuple(acts)


def need_part(need: Need) -> Part:
    """Return the part that a need lacks."""
    return Part(
        kind=need.kind,
        system=System(need.system),
        fitment=Fitment.from_dict(need.fitment),
        may_be=tuple(need.may_be),
    )


def open_need(need: Need) -> OpenNeed:
    """Return what an outsider may see of a need."""
    return OpenNeed(
        id=need.pk,
        title=need.title,
        part=need_part(need),
        car=Car.from_dict(need.car),
        text=need.approved_text,
        county=need.county,
        household_kinds=tuple(need.household_kinds),
        tier=need.tier,
        quantity=need.quantity,
        opened_on=need.opened_on,
        price_cents=need.price_cents,
    )


def open_needs(needs: Iterable[Need]) -> list[OpenNeed]:
    """Return the needs as outsiders may see them, most urgent first, then oldest."""
    found = [open_need(need) for need in needs]
    return sorted(found, key=lambda need: (need.tier, need.opened_on, need.id))


def hazard(finding: Finding) -> Hazard:
    """Return the hazard of one finding, as the ranking rule reads it."""
    return Hazard(
        deficiency=DeficiencyClass(finding.deficiency),
        severity=finding.severity,
        never_release=finding.never_release,
        strands=finding.strands,
        code=CodeSeverity(finding.code_severity),
    )


def given_of(intake: Intake) -> set[int]:
    """Return the needs of a stay for which a part is kept, as last ranked."""
    rows = Need.objects.filter(item__intake=intake, given=True)
    return set(rows.values_list("pk", flat=True))


def open_parts(item: RepairItem, given: Collection[int]) -> list[Need]:
    """Return the needs of an item that have to be bought: open, and not `given` by id."""
    needs = item.needs.all()
    return [need for need in needs if need.state == NeedState.OPEN and need.pk not in given]


def bought(item: RepairItem) -> list[Need]:
    """Return the parts of an item that cost money: not withdrawn, and no gift kept for them."""
    return [
        need for need in item.needs.all() if need.state != NeedState.WITHDRAWN and not need.given
    ]


def asks_cost(item: RepairItem) -> bool:
    """Return whether an item that is done should have a cost: something was bought for it."""
    return bool(item.sublet_cents or any(need.price_cents for need in bought(item)))


@dataclass(frozen=True, kw_only=True)
class Untold:
    """A done item, and which of minutes and cost nobody wrote down."""

    item: RepairItem
    minutes: bool
    cost: bool


def untold(items: Iterable[RepairItem]) -> list[Untold]:
    """Return the done items, read with their needs, of which something is not known, newest first.

    A cost is asked only where something was bought.
    """
    done = [item for item in items if item.state == ItemState.DONE]
    done.sort(key=lambda item: (item.done_on, item.pk), reverse=True)
    rows = [
        Untold(
            item=item,
            minutes=item.took_minutes is None,
            cost=item.cost_cents is None and asks_cost(item),
        )
        for item in done
    ]
    return [row for row in rows if row.minutes or row.cost]


def latest_estimate(intake: Intake) -> Estimate | None:
    """Return the estimate of the highest number, or None before the first."""
    return intake.estimates.order_by("-number").first()


def is_stale(estimate: Estimate, open_items: Iterable[RepairItem]) -> bool:
    """Return whether the open items are not those that the estimate counted."""
    counted = set(estimate.lines.values_list("item_id", flat=True))
    return counted != {item.pk for item in open_items}


@dataclass(frozen=True, kw_only=True)
class LogLine:
    """One line of a car's timeline; the same thing done often on one day is one line."""

    at: dt.datetime
    sentence: str
    by: str


def timeline(intake: Intake) -> list[LogLine]:
    """Return what was done on a stay, newest first; five queries however long it is."""
    about = {"intake": [intake.pk], "vehicle": [intake.vehicle_id]}
    for kind, rows in (
        ("finding", intake.findings),
        ("repairitem", intake.items),
        ("estimate", intake.estimates),
    ):
        about[kind] = list(rows.values_list("pk", flat=True))
    wanted = Q()
    for kind, ids in about.items():
        wanted |= Q(kind=kind, object_id__in=ids)
    events = Event.objects.filter(wanted, program_id=intake.program_id).select_related("by")
    found = []
    for _, group in groupby(events.order_by("-at", "-pk")[:LOG_LINES], _alike):
        same = list(group)
        found.append(_log_line(same))
    return found


def _alike(event: Event) -> tuple[dt.date, str, str, int | None]:
    return event.at.date(), event.what, event.reason, event.by_id


def _log_line(same: list[Event]) -> LogLine:
    first = same[0]
    what = first.what
    if len(same) > 1:
        what = f"{what.rstrip('.')}, {len(same)} times."
    reason = f" ({first.reason})" if first.reason else ""
    return LogLine(
        at=first.at,
        sentence=what + reason,
        by=str(first.by) if first.by else "Handback",
    )
