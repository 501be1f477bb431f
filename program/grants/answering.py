"""What a funder answers to a claim, in parts: it pays, it refuses; a slip is taken back."""

from __future__ import annotations

from typing import TYPE_CHECKING

from django.core.exceptions import ValidationError
from django.db import transaction

from program.grants.claiming import is_carried, split_open
from program.grants.duties import standing
from program.grants.models import Claim, ClaimAnswer, ClaimLine
from program.grants.queries import answered, book_of, open_by_fund, standing_answers
from program.grants.schedules import span_name
from program.grants.sheet import cost_lines
from program.grants.states import Answer, ClaimState
from program.ledger.actions import Event, Line, post_entry, reverse_entry
from program.ledger.models import Entry, Fund
from program.ledger.queries import shut_on
from program.ledger.writing import lock
from shared.audit.actions import log_event
from shared.dates import full_date
from shared.money import usd

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Collection

    from shared.accounts.models import User

CASH, RECEIVABLE, INCOME = "1010", "1110", "4030"
DEBITS = {Answer.PAID: CASH, Answer.REFUSED: INCOME}
NOW = {
    ClaimState.DRAFT: "a draft and was not sent",
    ClaimState.SENT: "sent already",
    ClaimState.PAID: "answered already",
    ClaimState.WITHDRAWN: "withdrawn already",
}


@transaction.atomic
def pay_claim(*, claim: Claim, version: int, on: dt.date, cents: int, by: User) -> Claim:
    """Book what a funder paid of a claim, on the day the bank shows.

    Raises:
        ValidationError: the claim was not sent, nothing or less is open of it, it changed
            meanwhile, its money came ahead, or the day is not possible.
    """
    found = open_claim(claim, version, ClaimState.SENT)
    _answer(found, Answer.PAID, cents, on=on, by=by)
    return _settle(found, on, f"The funder paid {usd(cents)}.", by)


@transaction.atomic
def refuse_part(  # noqa: PLR0913  # what was refused, why, when, and which costs
    *,
    claim: Claim,
    version: int,
    on: dt.date,
    cents: int,
    reason: str,
    freed: Collection[int] = (),
    by: User,
) -> Claim:
    """Book what a funder refused of a claim: it is owed no more, and no income.

    `freed` are transfers whose cost was refused: they leave the claim, so that another grant may
    claim them. The same grant may not.

    Raises:
        ValidationError: as `pay_claim`; the reason is missing, a cost does not stand in the claim,
            or so many are freed that the others don't carry what is still asked.
    """
    if not reason.strip():
        raise ValidationError({"reason": "Say why the funder refuses it."})
    found = open_claim(claim, version, ClaimState.SENT)
    _answer(found, Answer.REFUSED, cents, on=on, by=by, reason=reason.strip())
    _free(found, freed)
    return _settle(found, on, f"The funder refused {usd(cents)}.", by, reason)


@transaction.atomic
def take_back(*, claim: Claim, version: int, answer: int, reason: str, by: User) -> Claim:
    """Reverse an answer that was booked by mistake, on its day; its amount is open again.

    The costs that refusals freed stand in the claim again once what stays refused does not cover
    them.

    Raises:
        ValidationError: the reason is missing, the claim changed meanwhile, the answer is void
            already, or a later claim has the room or a cost that would come back.
    """
    if not reason.strip():
        raise ValidationError({"reason": "Say why the answer is taken back."})
    found = open_claim(claim, version, ClaimState.SENT, ClaimState.PAID)
    row = standing_answers([found]).select_related("entry").filter(pk=answer).first()
    if row is None:
        raise ValidationError("This answer was taken back already.")
    undo(row.entry, reason=reason, by=by)
    if row.kind == Answer.REFUSED:
        _refuse_no_room(found)
        _bring_back(found)
    found.state, found.paid_on = ClaimState.SENT, None
    what = f"The answer of {full_date(row.on)} was taken back: {usd(row.cents)} {row.kind}."
    return written(found, ["state", "paid_on"], what, by, reason.strip())


def open_claim(claim: Claim, version: int, *states: ClaimState) -> Claim:
    """Return the claim, the books locked, if it is as the person saw it.

    Raises:
        ValidationError: it stands elsewhere, or changed meanwhile.
    """
    lock(claim.program)
    rows = Claim.objects.select_related("grant__fund", "grant__program", "program", "entry")
    found = rows.get(pk=claim.pk)
    if found.state not in states:
        raise ValidationError(f"Claim {found.number} is {NOW[ClaimState(found.state)]}.")
    if found.version != version:
        raise ValidationError("Somebody else changed this claim. Open the page again.")
    return found


def written(claim: Claim, fields: list[str], what: str, by: User, reason: str = "") -> Claim:
    """Return the claim, saved as its next version and with its line in the log."""
    claim.version += 1
    claim.full_clean()
    claim.save(update_fields=[*fields, "version"])
    log_event(claim, what, by=by, reason=reason, fields=fields)
    return claim


def undo(entry: Entry, *, reason: str, by: User) -> None:
    """Reverse an entry on its own day, so that its month shows neither; today if that is shut.

    Raises:
        ValidationError: today's month is shut too.
    """
    program = entry.program
    on = program.today() if shut_on(program, entry.on) else entry.on
    reverse_entry(entry=entry, on=on, reason=reason, by=by)


def what_of(claim: Claim, verb: str, *, part: bool = False) -> str:
    """Return the words of an entry, such as `Claim 2 for October 2026 to Orrin County`."""
    span = span_name(claim.from_on, claim.until_on)
    begin = "Part of claim" if part else "Claim"
    return f"{begin} {claim.number} for {span} {verb} {claim.grant.funder}"[:200]


def _answer(  # an answer: whose, what, how much, when, by whom, why
    claim: Claim, kind: Answer, cents: int, *, on: dt.date, by: User, reason: str = ""
) -> None:
    """Write one answer and its entry, shared over the funds by what is open in each."""
    _refuse_day(claim, on)
    left = open_by_fund(claim)
    _refuse_cents(cents, sum(left.values()))
    funds = Fund.objects.in_bulk(left)
    lines = [
        Line(debit=DEBITS[kind], credit=RECEIVABLE, cents=part, fund=funds[fund])
        for fund, part in split_open(cents, left).items()
    ]
    number = claim.answers.count() + 1
    event = Event(
        key=f"claim-{kind}:{claim.pk}:{number}",
        on=on,
        what=what_of(claim, f"{kind} by", part=cents < claim.cents),
    )
    # A refusal has happened, whatever its fund holds; money that comes in is always booked.
    fact = kind == Answer.REFUSED
    entry = post_entry(program=claim.program, event=event, lines=lines, by=by, fact=fact)
    row = ClaimAnswer(
        program=claim.program,
        claim=claim,
        kind=kind,
        on=on,
        cents=cents,
        reason=reason,
        by=by,
        entry=entry,
    )
    row.full_clean()
    row.save()


def _refuse_day(claim: Claim, on: dt.date) -> None:
    if claim.entry is None or claim.sent_on is None:
        raise ValidationError("The money of this grant came ahead: its report is not answered.")
    if Entry.objects.filter(reverses=claim.entry).exists():
        raise ValidationError("The entry of this claim was reversed. Withdraw the claim.")
    if not claim.sent_on <= on <= claim.program.today():
        sent = full_date(claim.sent_on)
        raise ValidationError({"on": f"It was sent on {sent}; an answer comes after, by today."})


def _refuse_cents(cents: int, left: int) -> None:
    if cents <= 0:
        raise ValidationError({"cents": "Type an amount above zero."})
    if cents > left:
        sentence = f"{usd(left)} is open of this claim. {usd(cents)} is {usd(cents - left)} more."
        raise ValidationError({"cents": sentence})


def _settle(claim: Claim, on: dt.date, what: str, by: User, reason: str = "") -> Claim:
    """Close a claim of which nothing is open any more, on the day of its last answer."""
    if not open_by_fund(claim):
        days = standing_answers([claim]).order_by("-on").values_list("on", flat=True)
        claim.state, claim.paid_on = ClaimState.PAID, days.first() or on
    return written(claim, ["state", "paid_on"], what, by, reason.strip())


# ---- the costs of what was refused ----


def _free(claim: Claim, transfers: Collection[int]) -> None:
    """Let refused costs leave the claim, if those that stay carry what is still asked."""
    lines = ClaimLine.objects.filter(claim=claim, freed=False, transfer__in=transfers)
    if lines.count() != len(set(transfers)):
        raise ValidationError({"freed": "One of these costs does not stand in this claim."})
    if not transfers:
        return
    lines.update(freed=True)
    if not _carried(claim):
        raise ValidationError(
            {
                "freed": "The other costs don't carry what is still asked of the funder. Leave a"
                " cost in, or refuse more."
            }
        )


def _carried(claim: Claim) -> bool:
    answers = answered([claim]).get(claim.pk)
    asked = claim.cents - (answers.refused if answers else 0)
    costs = [cost.cents for cost in cost_lines(claim) if not cost.freed]
    return is_carried(asked, costs, claim.grant.own_percent)


def _refuse_no_room(claim: Claim) -> None:
    """Refuse what would let the claims that were sent ask for more than the award."""
    left = standing(book_of(claim.grant, claim.program.today())).left
    if left < 0:
        raise ValidationError(
            f"A later claim has taken its room: {usd(-left)} more than the award would be claimed."
            " Withdraw that claim first."
        )


def _bring_back(claim: Claim) -> None:
    """Put freed costs into the claim again, where what stays refused does not cover them."""
    lines = ClaimLine.objects.filter(claim=claim, freed=True)
    refused = standing_answers([claim]).filter(kind=Answer.REFUSED)
    if refused.exists() and _carried(claim):
        return
    elsewhere = ClaimLine.objects.filter(
        program=claim.program, freed=False, transfer__in=lines.values("transfer")
    )
    taken = elsewhere.select_related("claim__grant__fund", "transfer__entry").first()
    if taken:
        raise ValidationError(
            f"“{taken.transfer.entry}” was refused here and stands in {taken.claim} by now. Take it"
            " out there first."
        )
    lines.update(freed=False)
