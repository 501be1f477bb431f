"""Grants read from the ledger: their costs, what is due, what the treasurer has to know."""

from __future__ import annotations

from collections import Counter, defaultdict
from dataclasses import dataclass
from typing import TYPE_CHECKING

from django.db.models import Exists, OuterRef, Q, Sum

from program.grants import claiming, duties
from program.grants.claiming import Cost, Terms
from program.grants.duties import Book, Claimed, Due
from program.grants.models import Claim, ClaimAnswer, ClaimLine, Grant
from program.grants.schedules import cycles
from program.grants.states import Answer, GrantPays
from program.ledger.chart import load
from program.ledger.models import Entry, Transfer
from program.ledger.queries import pure_fund
from program.ledger.spending import spend_of_line

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Iterable, Mapping, Sequence

    from django.db.models import QuerySet

    from program.ledger.restrictions import Spend
    from shared.accounts.models import Program, User

_READ = ("transfer__entry", "transfer__fund", "transfer__case")
COSTS = frozenset(claiming.cost_accounts(load()))


def claims_for(user: User) -> QuerySet[Claim]:
    """Return the claims of the user's program, with their grant and its fund."""
    claims = Claim.objects.filter(grant__in=Grant.objects.for_user(user))
    return claims.select_related("grant__fund", "grant__program", "by", "entry")


@dataclass(frozen=True, kw_only=True)
class Answered:
    """What a funder answered to a claim so far, in cents."""

    paid: int = 0
    refused: int = 0

    @property
    def any(self) -> bool:
        """Whether an answer stands."""
        return bool(self.paid or self.refused)


NO_ANSWER = Answered()


def standing_answers(claims: Iterable[Claim]) -> QuerySet[ClaimAnswer]:
    """Return the answers that count: those whose entry was not reversed."""
    return ClaimAnswer.objects.filter(claim__in=claims, entry__reversed_by=None)


def answered(claims: Iterable[Claim]) -> dict[int, Answered]:
    """Return what was paid and refused of each claim that has an answer; one query."""
    sums: defaultdict[int, dict[str, int]] = defaultdict(dict)
    rows = standing_answers(claims).order_by().values_list("claim", "kind")
    for claim, kind, cents in rows.annotate(sum=Sum("cents")):
        sums[claim][kind] = cents
    return {
        claim: Answered(paid=found.get(Answer.PAID, 0), refused=found.get(Answer.REFUSED, 0))
        for claim, found in sums.items()
    }


def open_by_fund(claim: Claim) -> dict[int, int]:
    """Return what the funder has not answered of a claim that was sent, by fund; none at zero."""
    left: Counter[int] = Counter()
    booked = Transfer.objects.filter(entry=claim.entry_id).values_list("fund", "cents")
    for fund, cents in booked:
        left[fund] += cents
    entries = standing_answers([claim]).values("entry")
    for fund, cents in Transfer.objects.filter(entry__in=entries).values_list("fund", "cents"):
        left[fund] -= cents
    return {fund: cents for fund, cents in left.items() if cents}


def terms_of(grant: Grant) -> Terms:
    """Return what the award says, as the pure rule reads it."""
    return Terms(
        cents=grant.cents,
        fund=pure_fund(grant.fund),
        fund_id=grant.fund_id,
        begins_on=grant.begins_on,
        ends_on=grant.ends_on,
        ahead=grant.pays == GrantPays.AHEAD,
        own_percent=grant.own_percent,
        accounts=frozenset(grant.accounts),
    )


def books_of(
    program: Program, grants: Iterable[Grant], today: dt.date, *, draft: Claim | None = None
) -> list[Book]:
    """Return each grant read whole, in the order given; the same queries for any number of them.

    What stands in a claim can't be claimed again. `draft` is left out of the claims, so that its
    costs and its part of the award are open.
    """
    rows = list(grants)
    claims: defaultdict[int, list[Claimed]] = defaultdict(list)
    there = list(Claim.objects.filter(grant__in=rows).order_by("number"))
    answers = answered(there)
    for claim in there:
        if claim != draft:
            claims[claim.grant_id].append(_claimed(claim, answers.get(claim.pk, NO_ANSWER)))
    read = _Costs(program, rows, today, draft)
    return [_book(grant, claims[grant.pk], read) for grant in rows]


def book_of(grant: Grant, today: dt.date, *, draft: Claim | None = None) -> Book:
    """Return one grant read whole; see `books_of`."""
    return books_of(grant.program, [grant], today, draft=draft)[0]


def all_books(program: Program, today: dt.date) -> list[Book]:
    """Return every grant of the program read whole, in their order."""
    grants = Grant.objects.filter(program=program).select_related("fund")
    return books_of(program, grants, today)


def due_claims(program: Program, today: dt.date) -> list[Due]:
    """Return the claims and reports of cycles that have ended and were not sent, by due day."""
    found = [one for book in all_books(program, today) for one in duties.due(book, today)]
    return sorted(found, key=lambda one: (one.due_on, one.grant_id))


def _claimed(claim: Claim, answers: Answered) -> Claimed:
    return Claimed(
        id=claim.pk,
        number=claim.number,
        from_on=claim.from_on,
        until_on=claim.until_on,
        state=claim.state,
        cents=claim.cents,
        paid=answers.paid,
        refused=answers.refused,
    )


def _book(grant: Grant, claims: Sequence[Claimed], read: _Costs) -> Book:
    terms = terms_of(grant)
    costs = claiming.net(read.of(grant, terms), read.reversed_by)
    allowed, others = claiming.sorted_out(terms, costs)
    spans = cycles(grant.cycle, grant.begins_on, grant.ends_on, due_days=grant.due_days)
    return Book(
        id=grant.pk,
        name=grant.fund.name,
        terms=terms,
        cycles=tuple(spans),
        allowed=tuple(allowed),
        others=tuple(others),
        claims=tuple(claims),
    )


class _Costs:
    """The costs of the days of some grants, read once for all of them."""

    def __init__(
        self, program: Program, grants: Sequence[Grant], today: dt.date, draft: Claim | None
    ) -> None:
        lines = ClaimLine.objects.filter(program=program, freed=False)
        taken = lines.filter(transfer=OuterRef("pk"))
        if draft is not None:
            taken = taken.exclude(claim=draft)
        rows = cost_rows(program).filter(~Exists(taken))
        begins = min((grant.begins_on for grant in grants), default=today)
        ends = max((grant.ends_on for grant in grants), default=today)
        self.fresh = list(
            rows.filter(
                entry__reverses=None, entry__on__gte=begins, entry__on__lte=min(ends, today)
            )
        )
        gone = lines.filter(
            claim__state__in=duties.SENT, transfer__entry__reversed_by__isnull=False
        )
        self.claimed = list(gone.select_related("claim", *_READ))
        entries = {line.transfer.entry_id for line in self.claimed}
        self.back = list(rows.filter(entry__reverses__in=entries))
        pairs = Entry.objects.filter(program=program, reverses__isnull=False)
        self.reversed_by: Mapping[int, int] = dict(pairs.values_list("reverses_id", "pk"))
        freed = ClaimLine.objects.filter(
            program=program, freed=True, claim__grant__in=grants, claim__state__in=duties.SENT
        )
        self.refused: Mapping[tuple[int, int], int] = {
            (grant, transfer): number
            for grant, transfer, number in freed.values_list(
                "claim__grant", "transfer", "claim__number"
            )
        }

    def of(self, grant: Grant, terms: Terms) -> list[Cost]:
        """Return what one grant may look at; with money ahead, its own fund only."""
        mine = [line.transfer for line in self.claimed if line.claim.grant_id == grant.pk]
        found = [_cost(row, terms, claimed=True) for row in mine]
        rows = (row for row in (*self.fresh, *self.back))
        looked_at = (row for row in rows if not terms.ahead or row.fund_id == terms.fund_id)
        found += [
            _cost(row, terms, refused_in=self.refused.get((grant.pk, row.pk))) for row in looked_at
        ]
        return [cost for cost in found if cost is not None]


def cost_rows(program: Program) -> QuerySet[Transfer]:
    """Return the transfers that touch an account of costs, with all that a rule may ask of them.

    Many costs have one fund and one case: each of those is read once, not with every cost.
    """
    rows = Transfer.objects.filter(program=program)
    rows = rows.filter(Q(debit__in=COSTS) | Q(credit__in=COSTS)).order_by("entry__on", "pk")
    return rows.select_related("entry").prefetch_related("fund", "case__household", "item__needs")


def _cost(
    row: Transfer, terms: Terms, *, claimed: bool = False, refused_in: int | None = None
) -> Cost | None:
    """Return the cost side of a transfer, below zero where money came back.

    None where it moves cost between two accounts that the grant allows, or gives money back on one
    that it does not.
    """
    side = claiming.cost_side(row.debit, row.credit, row.cents, terms.accounts or COSTS)
    account, cents = side or (row.debit, row.cents)
    if side is None and not (row.debit in COSTS and row.credit not in COSTS):
        return None
    return Cost(
        id=row.pk,
        entry=row.entry_id,
        on=row.entry.on,
        account=account,
        fund=row.fund_id,
        cents=cents,
        restricted=row.fund.name if row.fund.restricted else "",
        reverses=row.entry.reverses_id,
        claimed=claimed,
        refused_in=refused_in,
        spends=() if claimed else _spends(row, account),
        what=row.entry.what,
        case=row.case.number if row.case else "",
        paid_from=row.fund.name,
    )


def _spends(row: Transfer, account: str) -> tuple[Spend, ...]:
    return tuple(
        spend_of_line(
            what=row.entry.what,
            on=row.entry.on,
            cents=row.cents,
            kind=load()[account].spend,
            case=row.case,
            item=row.item,
        )
    )
