"""Everything that the page of a case shows, read once."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from django.db.models import Q

from program.cases.next_step import next_step
from program.households.stages import Stage
from program.ledger.models import Commitment, Transfer
from program.planning.models import Pin
from program.status.queries import facts_of, page_barriers, stays
from shared.audit.models import Event
from shared.dates import short_date
from shared.links.queries import link_url
from sponsors.matching.models import Reservation
from sponsors.pledges.states import MARKS, SupplyState
from vehicles.inspection.criteria import DeficiencyClass
from vehicles.inspection.models import Finding
from vehicles.intake.lamps import stopping
from vehicles.repairs.models import Need, RepairItem
from vehicles.repairs.queries import LogLine, timeline
from vehicles.repairs.states import ItemState, NeedState

if TYPE_CHECKING:
    import datetime as dt

    from program.cases.models import Case
    from program.cases.next_step import NextStep
    from program.status.models import Question
    from shared.say import Say
    from vehicles.intake.lamps import Lamp
    from vehicles.intake.models import Intake

LOG_LINES = 100


@dataclass(frozen=True, kw_only=True)
class Knotted:
    """One knot of the string of stages."""

    label: str
    note: str
    state: str


@dataclass(frozen=True, kw_only=True)
class PartRow:
    """One part that the work lacks, and what is kept for it."""

    title: str
    item: str
    quantity: int
    kept: str
    state: str
    price: int | None


@dataclass(frozen=True, kw_only=True)
class MoneyRow:
    """One amount of a case: set aside and standing, or moved in the books."""

    what: str
    fund: str
    on: dt.date
    cents: int


@dataclass(frozen=True, kw_only=True)
class CaseFile:
    """One case as its page shows it."""

    case: Case
    stay: Intake | None
    step: NextStep | None
    string: list[Knotted]
    findings: list[Finding]
    items: list[RepairItem]
    parts: list[PartRow]
    set_aside: list[MoneyRow]
    paid: list[MoneyRow]
    questions: list[Question]
    lines: list[LogLine]
    pin: Pin | None
    link_url: str
    link_barriers: list[Say]

    @property
    def is_returnable(self) -> bool:
        """Whether the car may go back unrepaired, or did."""
        stay = self.stay
        return stay is not None and (not stay.left_on or hasattr(stay, "departure"))

    @property
    def dangerous(self) -> list[Finding]:
        """The findings that forbid driving; open, they do so after the car has left too."""
        return [row for row in self.findings if row.deficiency == DeficiencyClass.DANGEROUS]

    @property
    def stopping(self) -> tuple[Lamp, ...]:
        """The lamps that were lit as the car came and forbid driving, while it is here."""
        return stopping(self.stay.lamps) if self.stay and not self.stay.left_on else ()


def case_file(case: Case) -> CaseFile:
    """Return the file of one case, read by a number of queries that no row adds to."""
    facts = facts_of([case], case.program).get(case.pk)
    stay = stays([case], case.program).get(case.vehicle_id or 0)
    open_link = case.link if case.link and not case.link.revoked_at else None
    barriers = page_barriers(case.household)
    return CaseFile(
        case=case,
        stay=stay,
        step=next_step(facts) if facts else None,
        string=_string(case),
        findings=_findings(stay),
        items=_items(stay),
        parts=_parts(stay),
        set_aside=_set_aside(case),
        paid=_paid(case),
        questions=list(case.questions.select_related("answered_by")),
        lines=_lines(case, stay),
        pin=Pin.objects.filter(case=case, ended_at=None).select_related("by").first(),
        link_url=link_url(open_link) if open_link and not barriers else "",
        link_barriers=barriers,
    )


def _string(case: Case) -> list[Knotted]:
    """Return the usual stages with where the household is; a way out stands alone."""
    if case.household is None:
        return []
    now, since = Stage(case.household.stage), short_date(case.household.stage_since_on)
    way = list(Stage)[: list(Stage).index(Stage.FOLLOWED_UP) + 1]
    if now not in way:
        return [Knotted(label=now.label, note=f"since {since}", state="now")]
    place = way.index(now)
    return [
        Knotted(
            label=stage.label,
            note=f"since {since}" if i == place else "",
            state="done" if i < place else "now" if i == place else "next",
        )
        for i, stage in enumerate(way)
    ]


def _findings(stay: Intake | None) -> list[Finding]:
    if stay is None:
        return []
    rows = Finding.objects.open().filter(intake=stay).select_related("caused_by")
    ranks = {"dangerous": 0, "major": 1, "minor": 2}
    return sorted(rows, key=lambda row: (ranks.get(row.deficiency, 3), row.pk))


def _items(stay: Intake | None) -> list[RepairItem]:
    rows = RepairItem.objects.open().ranked()
    return list(rows.filter(intake=stay)) if stay else []


def _parts(stay: Intake | None) -> list[PartRow]:
    """Return the parts of the open work and of what was fitted; two queries."""
    if stay is None:
        return []
    needs = list(
        Need.objects.filter(item__intake=stay)
        .exclude(Q(state=NeedState.WITHDRAWN) | Q(item__state=ItemState.WITHDRAWN))
        .select_related("item")
        .order_by("item__tier", "pk")
    )
    kept: dict[int, list[Reservation]] = {}
    rows = Reservation.objects.standing().filter(need__in=needs)
    for row in rows.select_related("supply__pledge__sponsor"):
        kept.setdefault(row.need_id, []).append(row)
    return [_part(need, kept.get(need.pk, [])) for need in needs]


def _part(need: Need, kept: list[Reservation]) -> PartRow:
    names = [_source(row) for row in kept]
    state = "missing"
    if need.state == NeedState.FILLED:
        state = "fitted"
    elif kept:
        state = MARKS[SupplyState(kept[0].supply.state)]
    return PartRow(
        title=need.title,
        item=need.item.title,
        quantity=need.quantity,
        kept=", ".join(dict.fromkeys(names)),
        state=state,
        price=need.price_cents,
    )


def _source(row: Reservation) -> str:
    """Return who gave the unit that is kept, or where it comes from."""
    pledge = row.supply.pledge
    return str(pledge.sponsor) if pledge else row.supply.get_source_display()


def _set_aside(case: Case) -> list[MoneyRow]:
    rows = Commitment.objects.filter(case=case, released_by__isnull=True)
    found = list(rows.select_related("fund", "entry"))
    titles = dict(
        RepairItem.objects.filter(pk__in=[row.item_id for row in found]).values_list("pk", "title")
    )
    return [
        MoneyRow(
            what=titles.get(row.item_id, row.entry.what),
            fund=row.fund.name,
            on=row.entry.on,
            cents=row.cents,
        )
        for row in found
    ]


def _paid(case: Case) -> list[MoneyRow]:
    """Return what the books moved for the case; setting aside has its own entries, left out."""
    causes = Commitment.objects.filter(case=case).values("entry_id")
    freed = Commitment.objects.filter(case=case, released_by__isnull=False).values("released_by_id")
    rows = Transfer.objects.filter(case=case).exclude(Q(entry__in=causes) | Q(entry__in=freed))
    return [
        MoneyRow(
            what=row.memo or row.entry.what, fund=row.fund.name, on=row.entry.on, cents=row.cents
        )
        for row in rows.select_related("entry", "fund").order_by("entry__on", "pk")
    ]


def _lines(case: Case, stay: Intake | None) -> list[LogLine]:
    """Return what was done on the case, its household and its car, newest first."""
    about = Q(kind="case", object_id=case.pk)
    if case.household_id:
        about |= Q(kind="household", object_id=case.household_id)
    rows = Event.objects.filter(about, program_id=case.program_id).select_related("by")
    own = [
        LogLine(
            at=row.at,
            sentence=f"{row.what} ({row.reason})" if row.reason else row.what,
            by=str(row.by) if row.by else "Handback",
        )
        for row in rows.order_by("-at", "-pk")[:LOG_LINES]
    ]
    found = own + (timeline(stay) if stay else [])
    return sorted(found, key=lambda line: line.at, reverse=True)[:LOG_LINES]
