"""What a car that goes back unrepaired leaves open, what it frees, and what keeps it here."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import TYPE_CHECKING

from django.db.models import F, Q

from program.cases.models import Case
from program.ledger.models import Commitment
from program.planning.models import Pin, PlannedCase
from program.planning.states import PlanState
from shared.documents.models import Document
from shared.money import usd
from shared.problems import Problem
from shared.say import say
from sponsors.matching.models import Reservation
from sponsors.pledges.states import SupplySource
from vehicles.custody.conditions import Step, may_move
from vehicles.custody.kinds import Hold, Stolen
from vehicles.custody.queries import undecided
from vehicles.inspection.criteria import DeficiencyClass
from vehicles.repairs.models import Need, RepairItem

if TYPE_CHECKING:
    from collections.abc import Sequence

    from django.db.models import QuerySet

    from shared.accounts.models import User
    from shared.say import Say
    from vehicles.custody.models import Departure
    from vehicles.inspection.models import Finding
    from vehicles.intake.models import Intake

BINDING = frozenset(Hold) - {Hold.NONE, Hold.UNKNOWN}


def case_of(stay: Intake) -> Case | None:
    """Return the case that a stay belongs to: the open one of its car, else the newest."""
    rows = Case.objects.filter(vehicle_id=stay.vehicle_id)
    rows = rows.select_related("household__address", "program")
    return rows.order_by(F("closed_on").desc(nulls_first=True), "-pk").first()


def may_see(case: Case | None, user: User) -> bool:
    """Return whether no tie keeps the case from a user; a car without a case is nobody's tie."""
    return case is None or Case.objects.for_user(user).filter(pk=case.pk).exists()


def language_of(case: Case | None) -> str:
    """Return the language in which the household of a case reads."""
    household = case.household if case else None
    return household.address.language if household else "en"


def dangerous(findings: Sequence[Finding]) -> list[Finding]:
    """Return the findings with which nobody may drive."""
    return [
        row for row in findings if row.deficiency == DeficiencyClass.DANGEROUS or row.never_release
    ]


def findings_of(stay: Intake) -> list[Finding]:
    """Return the open findings of a stay with their readings, the worst class first; one query."""
    rows = stay.findings.filter(cleared_on=None, withdrawn_because="").select_related("reading")
    return sorted(rows, key=lambda row: (-DeficiencyClass(row.deficiency).rank, row.pk))


@dataclass(frozen=True, kw_only=True)
class Freed:
    """What a car holds that is free once it goes: items, needs, units, money, and its place."""

    items: list[RepairItem]
    needs: list[Need]
    units: list[Reservation]
    money: list[Commitment]
    has_place: bool
    is_pinned: bool

    @property
    def sentences(self) -> list[Say]:
        """What is freed, in figures."""
        return [*self._units(), *self._money(), *self._work()]

    @property
    def cents(self) -> int:
        """The money that is free again, over all funds."""
        return sum(row.cents for row in self.money)

    def _units(self) -> list[Say]:
        found = Counter((row.supply.title, _source(row)) for row in self.units)
        return [
            say(
                "{part}: free again {where}.", part=part if n == 1 else f"{n} × {part}", where=where
            )
            for (part, where), n in found.items()
        ]

    def _money(self) -> list[Say]:
        funds: Counter[tuple[str, int]] = Counter()
        for row in self.money:
            funds[row.fund.name, row.fund_id] += row.cents
        return [
            say("{cents} of the {fund} is free again.", cents=usd(cents), fund=name)
            for (name, _), cents in funds.items()
        ]

    def _work(self) -> list[Say]:
        found = []
        if self.items:
            found.append(say("Repair items withdrawn: {count}.", count=len(self.items)))
        if self.needs:
            found.append(
                say(
                    "Needs closed, so that no sponsor is asked for them: {count}.",
                    count=len(self.needs),
                )
            )
        if self.has_place:
            found.append(say("Its place in the plan in force ends, and a new plan is computed."))
        if self.is_pinned:
            found.append(say("Its pin ends."))
        return found


def what_is_freed(stay: Intake, case: Case | None) -> Freed:
    """Return what a stay and its case hold now; six queries at most."""
    items = list(RepairItem.objects.open().filter(intake=stay))
    needs = list(Need.objects.open().filter(item__intake=stay))
    units = Reservation.objects.waiting_for(
        Need.objects.filter(item__intake=stay).values_list("pk", flat=True)
    )
    return Freed(
        items=items,
        needs=needs,
        units=list(units.select_related("supply__pledge__sponsor")),
        money=list(commitments_of(stay, case).select_related("fund")),
        has_place=PlannedCase.objects.filter(case=case, plan__state=PlanState.APPROVED).exists(),
        is_pinned=Pin.objects.filter(case=case, ended_at=None).exists(),
    )


def commitments_of(stay: Intake, case: Case | None) -> QuerySet[Commitment]:
    """Return what is set aside for the work of a stay or for its case."""
    own = Q(item_id__in=stay.items.values("pk"))
    rows = Commitment.objects.filter(program_id=stay.program_id, released_by=None)
    return rows.filter(own | Q(case=case) if case else own)


def _source(row: Reservation) -> Say:
    """Return where a unit is free again."""
    if row.supply.pledge:
        return say("in the pledge of {sponsor}", sponsor=str(row.supply.pledge.sponsor))
    if row.supply.source == SupplySource.ORDER:
        return say("on its order")
    return say("on the shelf")


def obstacles(stay: Intake) -> list[Problem]:
    """Return what keeps a car from being returned at all; two queries."""
    found = []
    condition = getattr(stay.vehicle, "condition", None)
    step = Step(condition.step) if condition else Step.EXPECTED
    if not may_move(step, Step.RETURNED_UNREPAIRED):
        found.append(
            Problem(
                say("The car is “{step}”: it can't be returned from there.", step=step.label),
                remedy=say("Record first where it stands."),
            )
        )
    standing = getattr(stay, "standing", None)
    if standing and not standing.cleared_on:
        held = [Hold(standing.hold).label] if standing.hold in BINDING else []
        held += [Stolen(standing.stolen).label] if standing.stolen == Stolen.REPORTED else []
        found += [
            Problem(
                say("{what}: it may not leave before a person has decided.", what=what),
                remedy=say("Ask counsel, and decide on the page of its papers."),
            )
            for what in held
        ]
    found += [
        Problem(
            say("Nobody has decided yet on what lies in the car: {what}.", what=content.what),
            remedy=say("Decide on the page of its papers."),
        )
        for content in undecided([stay.pk])
    ]
    return found


def left_in(stay: Intake) -> list[str]:
    """Return what still lies in the car."""
    return list(stay.contents.filter(returned_on=None).values_list("what", flat=True))


def issued(departure: Departure) -> Document | None:
    """Return the notice as it was handed out."""
    rows = Document.objects.filter(program_id=departure.program_id)
    return rows.filter(holder_kind="departure", holder_id=departure.pk).first()
