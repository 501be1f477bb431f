"""What a page of repair items shows: what would clear the findings, and why the order is so."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from functools import lru_cache
from typing import TYPE_CHECKING, Any

from shared.money import usd
from shared.say import say
from vehicles.inspection.catalogue import cautions
from vehicles.inspection.catalogue import load as load_criteria
from vehicles.inspection.criteria import DeficiencyClass
from vehicles.inspection.models import Finding
from vehicles.operations.catalogue import load, order_of_work
from vehicles.operations.operation import Per, axle_of
from vehicles.operations.overlap import access_at
from vehicles.operations.proposing import Found, propose
from vehicles.repairs.drawn import Drawable
from vehicles.repairs.models import RepairItem
from vehicles.repairs.overlap import Job, shared_access
from vehicles.repairs.prerequisites import Costed
from vehicles.repairs.states import NeedState

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Mapping

    from shared.say import Say
    from vehicles.inspection.criteria import Caution
    from vehicles.intake.models import Intake
    from vehicles.operations.operation import Operation
    from vehicles.operations.proposing import Proposal, ProposedPart
    from vehicles.repairs.overlap import Shared


@dataclass(frozen=True, kw_only=True)
class Attachable:
    """A finding that work on the list would clear as well, and that item."""

    finding: Finding
    item: RepairItem


@dataclass(frozen=True, kw_only=True)
class Offer:
    """A proposal as the page shows it: with its cautions, its parts, and what those likely cost."""

    proposal: Proposal
    cautions: tuple[Caution, ...]
    parts: tuple[Say, ...]
    parts_cents: int


@dataclass(frozen=True, kw_only=True)
class Offers:
    """What would clear the open findings that no open item clears.

    `seen` stands for the findings that this was worked out from; `left` is what nothing clears.
    """

    proposals: tuple[Proposal, ...]
    attachable: tuple[Attachable, ...]
    left: tuple[Finding, ...]
    findings: dict[int, Finding]
    seen: str

    @property
    def rows(self) -> list[Offer]:
        """The proposals as the page shows them."""
        return [offer_of(one) for one in self.proposals]

    def proposal(self, key: str) -> Proposal | None:
        """Return the proposal with this key, or None where there is none any more."""
        return next((one for one in self.proposals if one.key == key), None)


def offer_of(proposal: Proposal) -> Offer:
    """Return a proposal as the page shows it."""
    return Offer(
        proposal=proposal,
        cautions=cautions_of(proposal.operation.code),
        parts=tuple(_part_in_words(part) for part in proposal.parts),
        parts_cents=sum(part.quantity * part.price.likely for part in proposal.parts),
    )


def _part_in_words(part: ProposedPart) -> Say:
    unit = "" if part.unit == "each" else f", {part.unit}"
    return say(
        "{count} × {title}: {low} to {high}, likely {likely} each.",
        count=part.quantity,
        title=f"{part.title}{unit}{part.position and f', {part.position}'}",
        low=usd(part.price.low),
        high=usd(part.price.high),
        likely=usd(part.price.likely),
    )


def offers(intake: Intake) -> Offers:
    """Return what would clear the findings of a stay; five queries however many there are."""
    findings = uncovered(intake)
    items = list(
        RepairItem.objects.open()
        .filter(intake=intake)
        .exclude(operation="")
        .prefetch_related("findings__reading", "findings__conclusion")
    )
    attachable = [
        Attachable(finding=one, item=item)
        for one in findings
        if (item := next((item for item in items if would_clear(item, one)), None))
    ]
    taken = {one.finding.pk for one in attachable}
    proposals, left = propose(
        [found(one) for one in findings if one.pk not in taken], load(), intake.vehicle.facts
    )
    by_id = {one.pk: one for one in findings}
    there = {item.operation for item in items}
    return Offers(
        # What only follows from other work is on the list already.
        proposals=tuple(
            one for one in proposals if one.findings or one.operation.code not in there
        ),
        attachable=tuple(attachable),
        left=tuple(by_id[one.id] for one in left),
        findings=by_id,
        seen=_digest(findings),
    )


def uncovered(intake: Intake) -> list[Finding]:
    """Return the open findings of a stay that no open item is to clear, worst first."""
    covering = RepairItem.objects.open().filter(intake=intake)
    rows = Finding.objects.open().filter(intake=intake).exclude(items__in=covering)
    return sorted(
        rows.select_related("reading", "conclusion"),
        key=lambda one: (-DeficiencyClass(one.deficiency).rank, one.severity, one.pk),
    )


def _digest(findings: Iterable[Finding]) -> str:
    text = " ".join(sorted(f"{one.pk}.{one.version}" for one in findings))
    return hashlib.sha256(text.encode()).hexdigest()[:16]


def found(finding: Finding) -> Found:
    """Return a finding as proposals are made for it: by reading, reason or diagnosis."""
    reading = finding.reading
    concluded = getattr(finding, "conclusion", None)
    return Found(
        id=finding.pk,
        criterion=reading.criterion if reading else _criterion(finding.reason_key, finding.system),
        position=reading.position if reading else "",
        reason=finding.reason_key,
        operation=concluded.operation if concluded else "",
        title=finding.title,
        deficiency=DeficiencyClass(finding.deficiency),
    )


@lru_cache(maxsize=1024)
def _criterion(reason: str, system: str) -> str:
    """Return the criterion that has this reason; of several, one of the same system first."""
    if not reason:
        return ""
    rows = [
        one
        for one in load_criteria().criteria.values()
        if any(own.key == reason for own in one.reasons)
    ]
    rows.sort(key=lambda one: one.system != system)
    return rows[0].code if rows else ""


def would_clear(item: RepairItem, finding: Finding) -> bool:
    """Return whether the operation of an open item clears the finding at the places it is at."""
    operation, one = load().get(item.operation), found(finding)
    if operation is None or not one.is_cleared_by(operation):
        return False
    asked = operation.served(one.position)
    if asked is None:
        return False
    if operation.per is Per.CAR:
        return True
    places = places_of(item, operation)
    if operation.per is Per.AXLE:
        return operation.group(asked) == operation.group(places)
    return bool(asked) and set(asked) <= places


def places_of(item: RepairItem, operation: Operation) -> set[str]:
    """Return the places at which an item is done, as the findings say that it clears."""
    served = (operation.served(found(one).position) for one in item.findings.all())
    return {place for places in served if places for place in places}


def comes_before(item: RepairItem, code: str, places: Collection[str]) -> bool:
    """Return whether an item has to be done before an operation at these places."""
    operation = load().get(item.operation)
    return bool(operation) and _before(item.operation, code, _axles(item), places)


def comes_after(item: RepairItem, code: str, places: Collection[str]) -> bool:
    """Return whether an item can only be done after an operation at these places."""
    operation = load().get(item.operation)
    return bool(operation) and _before(code, item.operation, _axles(item), places)


def _before(one: str, other: str, axles: set[str], places: Collection[str]) -> bool:
    apart = axles and places and axles.isdisjoint(map(axle_of, places))
    return one in _order()[other] and not apart


@lru_cache
def _order() -> dict[str, set[str]]:
    return order_of_work(load())


def _axles(item: RepairItem) -> set[str]:
    return set(map(axle_of, places_of(item, load()[item.operation])))


def cautions_of(code: str) -> tuple[Caution, ...]:
    """Return the cautions of an operation in full; none for work that is not in the catalogue."""
    operation = load().get(code)
    return tuple(cautions()[one] for one in operation.cautions) if operation else ()


def worst_of(item: RepairItem) -> DeficiencyClass:
    """Return the worst class of what an item clears."""
    classes = [DeficiencyClass(one.deficiency) for one in item.findings.all()]
    return max(classes, key=lambda one: one.rank, default=DeficiencyClass.NONE)


def proposed_fields(proposal: Proposal) -> dict[str, Any]:
    """Return the fields of the item that a proposal becomes; days away of None are as usual."""
    operation = proposal.operation
    places = proposal.places or operation.positions
    return {
        "title": proposal.title,
        "labor_low_minutes": proposal.minutes.low,
        "labor_likely_minutes": proposal.minutes.likely,
        "labor_high_minutes": proposal.minutes.high,
        "sublet_cents": proposal.sublet_cents,
        "needs_lift": proposal.needs_lift,
        "access": access_at(operation.access, places),
        "access_minutes": operation.shared_minutes if operation.access else 0,
        "rest_minutes": operation.rest_minutes,
        "outside_days": operation.outside_days,
    }


def job_of(item: RepairItem) -> Job:
    """Return an item as the sum of shared labor reads it."""
    return Job(id=item.pk, title=item.title, access=item.access, minutes=item.access_minutes)


def shared_of(item: RepairItem) -> list[Shared]:
    """Return what comes off once for several open items of the car of one; one query."""
    return shared_access(map(job_of, RepairItem.objects.open().filter(intake=item.intake_id)))


def costed(item: RepairItem, *, funded: bool | None = None) -> Costed:
    """Return an open item as the gate reads it; unless told, it is funded once all is given."""
    needs = [need for need in item.needs.all() if need.state == NeedState.OPEN]
    parts = sum(need.quantity * (need.price_cents or 0) for need in needs)
    given = bool(needs) and all(need.given for need in needs) and not item.sublet_cents
    return Costed(
        id=item.pk,
        title=item.title,
        tier=item.tier,
        likely_cents=item.sublet_cents + parts,
        funded=given if funded is None else funded,
    )


def drawable(item: RepairItem, causes: Mapping[int, Collection[int]]) -> Drawable:
    """Return an item as the picture of the order shows it; `causes` come first by their effect."""
    return Drawable(
        id=item.pk,
        title=item.title,
        tier=item.tier,
        access=item.access,
        first=tuple(sorted(row.first_id for row in item.needs_first.all())),
        causes=tuple(sorted(causes.get(item.pk, ()))),
    )
