"""What the paper of a claim says, read once."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from program.grants import claiming
from program.grants.models import Claim, ClaimLine
from program.grants.queries import terms_of
from program.grants.schedules import span_name
from program.grants.states import ClaimState, GrantPays
from program.ledger.chart import load

if TYPE_CHECKING:
    import datetime as dt

    from program.grants.claiming import Terms

SENT = (ClaimState.SENT, ClaimState.PAID)


@dataclass(frozen=True, kw_only=True)
class CostLine:
    """One cost of a claim. `case` is a case number, never a household's name."""

    id: int
    entry: int
    on: dt.date
    what: str
    case: str
    account: str
    fund: str
    cents: int
    earlier: bool = False


@dataclass(frozen=True, kw_only=True)
class ClaimSheet:
    """One claim as its paper shows it; `before` was claimed by the claims sent before it."""

    garage: str
    funder: str
    grant: str
    award_number: str
    number: int
    span: str
    ahead: bool
    costs: tuple[CostLine, ...]
    own_percent: int
    cents: int
    award: int
    before: int
    certified_by: str
    sent_on: dt.date | None
    made_on: dt.date

    @property
    def total(self) -> int:
        """The sum of the costs."""
        return sum(cost.cents for cost in self.costs)

    @property
    def own(self) -> int:
        """The part of the costs that the funder does not pay."""
        return self.total - self.cents

    @property
    def left(self) -> int:
        """What the award holds after this claim."""
        return self.award - self.before - self.cents


def claim_sheet(claim: Claim) -> ClaimSheet:
    """Return what the paper of a claim says; three queries."""
    grant = claim.grant
    earlier = Claim.objects.filter(grant=grant, state__in=SENT, number__lt=claim.number)
    return ClaimSheet(
        garage=claim.program.name,
        funder=grant.funder,
        grant=grant.fund.name,
        award_number=grant.number,
        number=claim.number,
        span=span_name(claim.from_on, claim.until_on),
        ahead=grant.pays == GrantPays.AHEAD,
        costs=tuple(cost_lines(claim)),
        own_percent=grant.own_percent,
        cents=claim.cents,
        award=grant.cents,
        before=sum(earlier.values_list("cents", flat=True)),
        certified_by=str(claim.by),
        sent_on=claim.sent_on,
        made_on=claim.sent_on or claim.program.today(),
    )


def cost_lines(claim: Claim) -> list[CostLine]:
    """Return the costs of a claim by day, also of one that was withdrawn; one query."""
    lines = ClaimLine.objects.filter(claim=claim).select_related(
        "transfer__entry", "transfer__case", "transfer__fund"
    )
    terms = terms_of(claim.grant)
    costs = (_line(line, claim, terms) for line in lines)
    return sorted(costs, key=lambda cost: (cost.on, cost.entry, cost.id))


def _line(line: ClaimLine, claim: Claim, terms: Terms) -> CostLine:
    row = line.transfer
    allowed = terms.accounts or claiming.cost_accounts(load())
    side = claiming.cost_side(row.debit, row.credit, row.cents, allowed)
    account, cents = side or (row.debit, row.cents)
    return CostLine(
        id=row.pk,
        entry=row.entry_id,
        on=row.entry.on,
        what=f"{row.entry.what}, {row.memo}" if row.memo else row.entry.what,
        case=row.case.number if row.case else "",
        account=claiming.account_name(account),
        fund=row.fund.name,
        cents=cents,
        earlier=row.entry.on < claim.from_on,
    )
