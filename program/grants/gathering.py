"""Grants, costs and claims as pages list them."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import TYPE_CHECKING

from django.db.models import Case, F, Sum, When

from program.grants import claiming, duties
from program.grants.models import ClaimLine, Grant
from program.grants.queries import COSTS, answered, books_of
from program.grants.sheet import cost_lines
from shared.jobs.models import Job

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Collection

    from program.grants.claiming import Cost, Share
    from program.grants.duties import Book
    from program.grants.models import Claim
    from shared.accounts.models import Program
    from shared.problems import Problem
    from shared.say import Say


@dataclass(frozen=True, kw_only=True)
class GrantRow:
    """One grant as the list shows it."""

    pk: int
    name: str
    funder: str
    award: int
    claimed: int
    paid: int
    left: int
    ends_on: dt.date
    due_on: dt.date | None
    warning: Say | None


@dataclass(frozen=True, kw_only=True)
class CostRow:
    """One cost as a list shows it; `why` says what stands against it, `ticked` that it is in.

    `freed` says that the funder refused it, so that it left its claim.
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
    ticked: bool = False
    why: Say | None = None


@dataclass(frozen=True, kw_only=True)
class Barred:
    """How many costs one reason stands against, and their sum."""

    why: Say
    count: int
    cents: int


def grant_rows(program: Program, today: dt.date) -> tuple[list[GrantRow], list[Problem]]:
    """Return every grant, and what the treasurer has to know of them all."""
    grants = list(Grant.objects.filter(program=program).select_related("fund"))
    books = books_of(program, grants, today)
    rows, found = [], []
    for grant, book in zip(grants, books, strict=True):
        problems = duties.problems(book, today)
        found += problems
        rows.append(_row(grant, book, today, problems))
    return rows, found


def _row(grant: Grant, book: Book, today: dt.date, problems: list[Problem]) -> GrantRow:
    at, cycle = duties.standing(book), duties.next_due(book, today)
    return GrantRow(
        pk=grant.pk,
        name=capital(grant.fund.name),
        funder=grant.funder,
        award=at.award,
        claimed=at.claimed,
        paid=at.paid,
        left=at.left,
        ends_on=grant.ends_on,
        due_on=cycle.due_on if cycle else None,
        warning=problems[0].sentence if problems else None,
    )


def allowed_rows(book: Book) -> list[CostRow]:
    """Return the costs that can be claimed now."""
    return [_cost(cost) for cost in book.allowed]


def other_rows(book: Book) -> list[CostRow]:
    """Return the costs of the grant's days that it does not pay for, each with why."""
    return [_cost(cost, why=why) for cost, why in book.others]


def draft_rows(book: Book, claim: Claim) -> list[CostRow]:
    """Return what a draft may take, ticked where it stands in it; `book` was read for the draft."""
    taken = lines_of(claim)
    return [
        _cost(cost, ticked=cost.id in taken, earlier=cost.on < claim.from_on)
        for cost in claiming.until(book.allowed, claim.until_on)
    ]


def draft_share(book: Book, claim: Claim) -> tuple[Share | None, int]:
    """Return the share of a draft as it is now, and how many of its costs can't be claimed now.

    None where in one fund more came back than was spent.
    """
    taken = lines_of(claim)
    costs = [cost for cost in claiming.until(book.allowed, claim.until_on) if cost.id in taken]
    try:
        share = claiming.share(costs, book.terms.own_percent, book.room)
    except ValueError:
        return None, len(taken) - len(costs)
    return share, len(taken) - len(costs)


@dataclass(frozen=True, kw_only=True)
class ClaimSums:
    """How the amount of a claim follows from its costs.

    `gone` counts costs of a draft that can't be claimed any more; `beyond` is what the award lacks.
    """

    total: int
    own: int
    cents: int
    count: int
    beyond: int = 0
    gone: int = 0
    stuck: bool = False


def claim_sums(claim: Claim, book: Book | None) -> ClaimSums:
    """Return the sums of a claim: of a draft as they are now, with the book read for it."""
    if book is None:
        rows = claimed_rows(claim)
        total = sum(row.cents for row in rows)
        return ClaimSums(total=total, own=total - claim.cents, cents=claim.cents, count=len(rows))
    share, gone = draft_share(book, claim)
    count = len(lines_of(claim))
    if share is None:
        return ClaimSums(total=0, own=0, cents=0, count=count, gone=gone, stuck=True)
    return ClaimSums(
        total=share.total,
        own=share.own,
        cents=share.cents,
        count=count,
        beyond=share.beyond,
        gone=gone,
    )


def claimed_rows(claim: Claim) -> list[CostRow]:
    """Return the costs of a claim that is no draft any more; one query."""
    return [
        CostRow(
            id=cost.id,
            entry=cost.entry,
            on=cost.on,
            what=cost.what,
            case=cost.case,
            account=cost.account,
            fund=capital(cost.fund),
            cents=cost.cents,
            earlier=cost.earlier,
            freed=cost.freed and claim.state in duties.SENT,
        )
        for cost in cost_lines(claim)
    ]


def lines_of(claim: Claim) -> Collection[int]:
    """Return the transfers that stand in a claim, by id."""
    return set(claim.lines.filter(freed=False).values_list("transfer_id", flat=True))


def _cost(
    cost: Cost, *, why: Say | None = None, ticked: bool = False, earlier: bool = False
) -> CostRow:
    return CostRow(
        id=cost.id,
        entry=cost.entry,
        on=cost.on,
        what=cost.what,
        case=cost.case,
        account=claiming.account_name(cost.account),
        fund=capital(cost.paid_from),
        cents=cost.cents,
        earlier=earlier,
        ticked=ticked,
        why=why,
    )


def barred(book: Book) -> list[Barred]:
    """Return each reason why costs don't qualify, the dearest first."""
    counts: Counter[Say] = Counter()
    sums: Counter[Say] = Counter()
    for cost, why in book.others:
        counts[why] += 1
        sums[why] += cost.cents
    return [
        Barred(why=why, count=counts[why], cents=cents)
        for why, cents in sorted(sums.items(), key=lambda pair: (-pair[1], str(pair[0])))
    ]


def own_share_met(grant: Grant) -> int:
    """Return the cents of claimed costs that the claims which were sent did not ask for.

    What the funder refused is no allowed cost, and neither is the own share that goes with it.
    """
    sent = grant.claims.filter(state__in=duties.SENT)
    signed = Case(
        When(transfer__debit__in=COSTS, then=F("transfer__cents")),
        default=-F("transfer__cents"),
    )
    lines = ClaimLine.objects.filter(claim__in=sent)
    costs = lines.aggregate(cents=Sum(signed, default=0))["cents"]
    asked = sent.aggregate(cents=Sum("cents", default=0))["cents"]
    refused = sum(one.refused for one in answered(sent).values())
    return int(costs) - int(asked) - claiming.matched(refused, grant.own_percent)


def papers_job(claim: Claim, kind: str) -> Job | None:
    """Return the job that puts the papers of a claim together."""
    return Job.objects.filter(program_id=claim.program_id, key=f"{kind}:{claim.pk}").first()


def capital(name: str) -> str:
    """Return a fund's name as it opens a line."""
    return name[:1].upper() + name[1:]
