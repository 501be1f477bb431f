"""What a claim says: on its paper, on its page, in the list of its grant."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from program.grants import claiming
from program.grants.models import Claim, ClaimLine
from program.grants.queries import NO_ANSWER, answered, standing_answers, terms_of
from program.grants.schedules import span_name
from program.grants.states import ClaimState, GrantPays
from program.ledger.chart import load
from shared.dates import full_date, short_date
from shared.money import usd

if TYPE_CHECKING:
    import datetime as dt

    from program.grants.claiming import Terms
    from program.grants.models import Grant
    from program.grants.queries import Answered

SENT = (ClaimState.SENT, ClaimState.PAID)


@dataclass(frozen=True, kw_only=True)
class CostLine:
    """One cost of a claim. `case` is a case number, never a household's name.

    `freed` says that it left the claim: that was withdrawn, or the funder refused the cost.
    """

    id: int
    entry: int
    on: dt.date
    what: str
    case: str
    account: str
    fund: str
    cents: int
    earlier: bool = False
    freed: bool = False


@dataclass(frozen=True, kw_only=True)
class ClaimSheet:
    """One claim as its paper shows it.

    `before` was claimed by the claims sent before it, without what the funder refused of them.
    """

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
    """Return what the paper of a claim says; four queries."""
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
        before=sum(earlier.values_list("cents", flat=True))
        - sum(one.refused for one in answered(earlier).values()),
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
        freed=line.freed,
    )


# ---- claims and answers in lists ----


@dataclass(frozen=True, kw_only=True)
class ClaimRow:
    """One claim as its grant's page lists it."""

    pk: int
    number: int
    span: str
    state: str
    sent_on: dt.date | None
    paid_on: dt.date | None
    cents: int


def claim_rows(grant: Grant) -> list[ClaimRow]:
    """Return the claims of a grant, newest first, each with where it stands; two queries."""
    claims = list(grant.claims.all())
    answers = answered(claims)
    ahead = grant.pays == GrantPays.AHEAD
    return [
        ClaimRow(
            pk=claim.pk,
            number=claim.number,
            span=span_name(claim.from_on, claim.until_on),
            state=state_words(claim, answers.get(claim.pk, NO_ANSWER), ahead=ahead),
            sent_on=claim.sent_on,
            paid_on=claim.paid_on,
            cents=claim.cents,
        )
        for claim in claims
    ]


def state_words(claim: Claim, answers: Answered, *, ahead: bool) -> str:
    """Return where a claim stands, in a few words."""
    if claim.state == ClaimState.WITHDRAWN:
        return f"withdrawn: {claim.reason}"
    if claim.state == ClaimState.SENT:
        left = claim.cents - answers.paid - answers.refused
        open_words = f", {usd(left)} open" if answers.any else ", not paid yet"
        return "sent" if ahead else f"sent{open_words}"
    if claim.state == ClaimState.PAID and answers.refused:
        return f"paid, {usd(answers.refused)} refused" if answers.paid else "refused whole"
    return claim.state


@dataclass(frozen=True, kw_only=True)
class AnswerRow:
    """One answer of a funder; `back` is the entry that took it back."""

    on: dt.date
    what: str
    reason: str
    entry: int
    back: int | None
    cents: int


def answer_rows(claim: Claim) -> list[AnswerRow]:
    """Return what the funder answered, by day; one query."""
    rows = claim.answers.select_related("entry__reversed_by")
    return [
        AnswerRow(
            on=row.on,
            what=row.get_kind_display(),
            reason=row.reason,
            entry=row.entry_id,
            back=back.pk if (back := getattr(row.entry, "reversed_by", None)) else None,
            cents=row.cents,
        )
        for row in rows
    ]


def answer_choices(claim: Claim) -> list[tuple[int, str]]:
    """Return the answers that count, in words, by id."""
    return [
        (row.pk, f"{usd(row.cents)} {row.kind} on {full_date(row.on)}")
        for row in standing_answers([claim])
    ]


def cost_choices(claim: Claim) -> list[tuple[int, str]]:
    """Return the costs that a funder may refuse, in words, by the id of the transfer."""

    def words(cost: CostLine) -> str:
        parts = (short_date(cost.on), cost.what, cost.case, usd(cost.cents))
        return ", ".join(part for part in parts if part)

    costs = (cost for cost in cost_lines(claim) if cost.cents > 0 and not cost.freed)
    return [(cost.id, words(cost)) for cost in costs]
