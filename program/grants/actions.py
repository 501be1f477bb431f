"""Claims: begun for a cycle, chosen, sent, withdrawn. What the funder answers is `answering`."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.core.exceptions import ValidationError
from django.db import transaction
from django.db.models import Max

from program.grants import claiming
from program.grants.answering import INCOME, RECEIVABLE, open_claim, undo, what_of, written
from program.grants.models import Claim, ClaimLine, Grant
from program.grants.queries import book_of, standing_answers
from program.grants.schedules import overlaps
from program.grants.states import ClaimState, GrantPays
from program.ledger.actions import Event, Line, post_entry
from program.ledger.models import Entry, Fund
from program.ledger.queries import shut_on
from program.ledger.writing import lock
from shared.audit.actions import log_event
from shared.dates import full_date
from shared.jobs.actions import ask, ask_again
from shared.money import usd

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Collection, Sequence

    from program.grants.claiming import Cost, Share
    from program.grants.duties import Book
    from program.grants.schedules import Cycle
    from shared.accounts.models import User
    from shared.jobs.models import Job

CLAIM_PAPERS = "claim_papers"


@transaction.atomic
def draft_claim(*, grant: Grant, until_on: dt.date, by: User) -> Claim:
    """Begin the claim for the cycle that ends on a day, with every cost the grant allows.

    A draft of that cycle that is there already is returned as it is.

    Raises:
        ValidationError: no cycle ends then, it still runs, it was claimed, or there is no cost.
    """
    found = _locked(grant)
    today = found.program.today()
    book = book_of(found, today)
    cycle = next((one for one in book.cycles if one.until_on == until_on), None)
    if cycle is None:
        raise ValidationError(f"No cycle of this grant ends on {full_date(until_on)}.")
    there = _standing(found, cycle)
    if there and there.state == ClaimState.DRAFT:
        return there
    if there:
        raise ValidationError(f"Claim {there.number} covers {cycle.name} already.")
    if until_on > today:
        raise ValidationError(f"{cycle.name} is not over: it ends on {full_date(until_on)}.")
    costs = claiming.until(book.allowed, until_on)
    if not costs and not book.terms.ahead:
        raise ValidationError(f"There is no cost to claim for {cycle.name}.")
    claim = Claim(
        program=found.program,
        grant=found,
        number=(Claim.objects.filter(grant=found).aggregate(last=Max("number"))["last"] or 0) + 1,
        from_on=cycle.from_on,
        until_on=cycle.until_on,
        cents=_share(book, costs).cents,
        by=by,
    )
    claim.full_clean()
    claim.save()
    _add_lines(claim, costs)
    log_event(claim, "A claim was begun.", by=by)
    return claim


@transaction.atomic
def choose_costs(
    *, claim: Claim, version: int, shown: Collection[int], chosen: Collection[int], by: User
) -> Claim:
    """Take the chosen costs of those shown into a draft and leave the others out.

    Both are ids of transfers. What is not shown stays as it is, but for costs that can't be claimed
    any more: those leave.

    Raises:
        ValidationError: the claim is no draft, changed meanwhile, or a cost can't be claimed.
    """
    found = open_claim(claim, version, ClaimState.DRAFT)
    costs = open_costs(found)
    by_id = {cost.id: cost for cost in costs}
    if not by_id.keys() >= set(chosen):
        raise ValidationError("One of these costs can't be claimed any more. Look again.")
    lines = dict(found.lines.filter(freed=False).values_list("transfer_id", "pk"))
    taken = ((lines.keys() & by_id.keys()) - set(shown)) | set(chosen)
    share = _share(
        book_of(found.grant, found.program.today(), draft=found),
        [by_id[one] for one in sorted(taken)],
    )
    gone = [pk for transfer, pk in lines.items() if transfer not in taken]
    ClaimLine.objects.filter(pk__in=gone).delete()  # a draft has no history
    _add_lines(found, [by_id[one] for one in sorted(taken - lines.keys())])
    found.cents = share.cents
    return written(found, ["cents"], "The costs of a claim were chosen.", by)


@transaction.atomic
def send_claim(*, claim: Claim, version: int, on: dt.date, by: User) -> Claim:
    """Say that a claim was sent. Where the grant pays after, each fund books the funder's share.

    It is booked on the last day of its cycle, so that the income stands beside its costs, and in a
    month that is shut on the day it was sent.

    Raises:
        ValidationError: the claim is no draft, changed meanwhile, its day is not possible, it asks
            for nothing, or one of its costs can't be claimed any more.
    """
    found = open_claim(claim, version, ClaimState.DRAFT)
    if not found.until_on <= on <= found.program.today():
        raise ValidationError(
            {"on": f"A claim is sent after {full_date(found.until_on)}, and not later than today."}
        )
    share = _checked(found)
    if found.grant.pays == GrantPays.AFTER:
        found.entry = _book_claim(found, share, on, by)
    found.state, found.sent_on, found.by = ClaimState.SENT, on, by
    sent = written(found, ["state", "sent_on", "by", "entry"], "The claim was sent.", by)
    ask_papers(sent)
    return sent


@transaction.atomic
def withdraw_claim(*, claim: Claim, version: int, reason: str, by: User) -> Claim:
    """Withdraw a draft or a sent claim: what it booked is reversed, its costs are free again.

    Raises:
        ValidationError: the reason is missing, the funder answered it, or it changed meanwhile.
    """
    if not reason.strip():
        raise ValidationError({"reason": "Say why the claim is withdrawn."})
    found = open_claim(claim, version, ClaimState.DRAFT, ClaimState.SENT)
    if standing_answers([found]).exists():
        raise ValidationError("The funder answered this claim. Take its answers back first.")
    entry = found.entry
    if entry and not Entry.objects.filter(reverses=entry).exists():
        undo(entry, reason=reason, by=by)
    found.lines.update(freed=True)
    found.state, found.reason = ClaimState.WITHDRAWN, reason.strip()
    return written(found, ["state", "reason"], "The claim was withdrawn.", by, found.reason)


def ask_papers(claim: Claim) -> Job:
    """Ask for the claim's paper and its papers to be put together, again if they were before."""
    key = f"{CLAIM_PAPERS}:{claim.pk}"
    job = ask(program=claim.program, key=key, kind=CLAIM_PAPERS, payload={"claim": claim.pk})
    return ask_again(job)


def open_costs(claim: Claim) -> list[Cost]:
    """Return the costs that a draft may take, those that stand in it included."""
    book = book_of(claim.grant, claim.program.today(), draft=claim)
    return claiming.until(book.allowed, claim.until_on)


def _locked(grant: Grant) -> Grant:
    """Return the grant, the books locked: no cost is claimed twice at the same moment."""
    lock(grant.program)
    return Grant.objects.select_related("fund", "program").get(pk=grant.pk)


def _standing(grant: Grant, cycle: Cycle) -> Claim | None:
    """Return the claim that covers a day of the cycle, if one stands."""
    rows = Claim.objects.filter(grant=grant).exclude(state=ClaimState.WITHDRAWN)
    return next((row for row in rows if overlaps(cycle, row.from_on, row.until_on)), None)


def _share(book: Book, costs: Sequence[Cost]) -> Share:
    try:
        return claiming.share(costs, book.terms.own_percent, book.room)
    except ValueError as error:
        raise ValidationError(str(error)) from error


def _checked(claim: Claim) -> Share:
    """Return the share of a draft's costs, if each may be claimed and the sum is as it was seen."""
    book = book_of(claim.grant, claim.program.today(), draft=claim)
    by_id = {cost.id: cost for cost in claiming.until(book.allowed, claim.until_on)}
    ids = list(claim.lines.filter(freed=False).values_list("transfer_id", flat=True))
    gone = [one for one in ids if one not in by_id]
    if gone:
        count = f"{len(gone)} cost{'' if len(gone) == 1 else 's'}"
        raise ValidationError(
            f"{count} of this claim can't be claimed any more. Record the choice of costs again."
        )
    share = _share(book, [by_id[one] for one in ids])
    if share.cents != claim.cents:
        raise ValidationError(
            f"This claim would now be {usd(share.cents)}, not {usd(claim.cents)}. Record the choice"
            " of costs again."
        )
    if not share.cents and not book.terms.ahead:
        raise ValidationError("This claim asks for nothing.")
    return share


def _book_claim(claim: Claim, share: Share, sent_on: dt.date, by: User) -> Entry:
    """Book the receivable and the income in each fund in which the costs stand."""
    funds = Fund.objects.in_bulk([fund for fund, _ in share.by_fund])
    lines = [
        Line(debit=RECEIVABLE, credit=INCOME, cents=cents, fund=funds[fund])
        for fund, cents in share.by_fund
    ]
    event = Event(
        key=f"claim:{claim.pk}",
        on=sent_on if shut_on(claim.program, claim.until_on) else claim.until_on,
        what=what_of(claim, "to"),
    )
    return post_entry(program=claim.program, event=event, lines=lines, by=by)


def _add_lines(claim: Claim, costs: Sequence[Cost]) -> None:
    ClaimLine.objects.bulk_create(
        [ClaimLine(program_id=claim.program_id, claim=claim, transfer_id=cost.id) for cost in costs]
    )
