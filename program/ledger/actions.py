"""Booking: an entry posts its transfers whole or not at all, and is never changed afterwards."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from django.core.exceptions import ValidationError
from django.db import transaction
from django.utils import timezone

from program.ledger.chart import Role, load, with_role
from program.ledger.itemizing import Event, Line, lines_of, opposite, stored, two_needed
from program.ledger.models import Commitment, Entry, Proposal
from program.ledger.owners import owner_of
from program.ledger.queries import pure_fund
from program.ledger.restrictions import gift_first
from program.ledger.states import ProposalState
from program.ledger.writing import (
    RefusedError,
    lock,
    post_entry,
    refuse,
    shut_problems,
    with_remedy,
    write,
)
from shared.audit.actions import log_event
from shared.dates import full_date

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Iterable, Sequence
    from uuid import UUID

    from program.cases.models import Case
    from program.ledger.models import Fund
    from shared.accounts.models import Program, User

__all__ = [
    "Event",
    "Line",
    "RefusedError",
    "SetAside",
    "agree",
    "book",
    "decline",
    "lines_of",
    "post_entry",
    "release",
    "reverse_by_hand",
    "reverse_entry",
    "set_aside",
    "take_back",
]


@dataclass(frozen=True, kw_only=True)
class SetAside:
    """Money of one fund to be set aside for one item of one case."""

    fund: Fund
    case: Case
    item_id: int
    cents: int


@transaction.atomic
def book(
    *, lines: Sequence[Line], on: dt.date, what: str, key: UUID, fact: bool, by: User
) -> Entry | Proposal:
    """Book what a person typed, or let it wait for a second person where a rule asks for two.

    `key` is the form's: sent twice, it gives what was made of it the first time.

    Raises:
        ValidationError: as `post_entry`, and for a gift to a restricted fund, which is tested
            first.
    """
    if by.program is None:
        raise ValidationError("Only somebody of a program can book.")
    program, event = by.program, Event(key=f"form:{key}", on=on, what=what)
    lock(program)
    if made := _made(program, event.key):
        return made
    why = None if fact else two_needed(program, event, lines)
    if not fact:
        _refuse_untested(lines)
    if why is None:
        return post_entry(program=program, event=event, lines=lines, by=by, fact=fact)
    refuse(program=program, event=event, lines=lines, fact=False)
    kept = [stored(line) for line in lines]
    proposal = Proposal(
        program=program, key=event.key, on=on, what=what, lines=kept, why=str(why), by=by
    )
    proposal.full_clean()
    proposal.save()
    log_event(proposal, "A spend was asked for that needs two people.", by=by)
    return proposal


def _made(program: Program, key: str) -> Entry | Proposal | None:
    """Return what was made of a form before."""
    made = {"program": program, "key": key}
    return Entry.objects.filter(**made).first() or Proposal.objects.filter(**made).first()


def _refuse_untested(lines: Sequence[Line]) -> None:
    """Refuse a gift to a restricted fund: it is tested and accepted under gifts."""
    chart = load()
    for number, line in enumerate(lines, start=1):
        if line.credit in chart and (
            problem := gift_first(pure_fund(line.fund), chart[line.credit])
        ):
            raise RefusedError([with_remedy(problem, where=f"{number}.fund")])


@transaction.atomic
def agree(*, proposal: Proposal, by: User) -> Entry:
    """Book what another person asked for, checked anew; sent twice, it gives the same entry.

    Raises:
        ValidationError: the same person, it was declined or taken back, or as `post_entry`.
    """
    lock(proposal.program)
    proposal.refresh_from_db()
    if proposal.state == ProposalState.BOOKED and proposal.entry:
        return proposal.entry
    _refuse_decided(proposal, by)
    event = Event(key=proposal.key, on=proposal.on, what=proposal.what)
    entry = proposal.entry = post_entry(
        program=proposal.program, event=event, lines=lines_of(proposal), by=proposal.by, second=by
    )
    _decide(proposal, ProposalState.BOOKED, by)
    log_event(proposal, "A second person agreed, and it was booked.", by=by)
    return entry


@transaction.atomic
def decline(*, proposal: Proposal, reason: str, by: User) -> Proposal:
    """Decline what another person asked for; nothing is booked.

    Raises:
        ValidationError: the same person, the reason is missing, or it was decided already.
    """
    lock(proposal.program)
    proposal.refresh_from_db()
    _refuse_decided(proposal, by)
    if not reason.strip():
        raise ValidationError({"reason": "Say why it is declined."})
    proposal.reason = reason.strip()
    _decide(proposal, ProposalState.DECLINED, by)
    log_event(proposal, "A second person declined it.", by=by, reason=proposal.reason)
    return proposal


@transaction.atomic
def take_back(*, proposal: Proposal, reason: str, by: User) -> Proposal:
    """Take back what one asked for oneself while nobody has answered; a reason may be given.

    Raises:
        ValidationError: somebody else asked for it, or it waits no longer.
    """
    lock(proposal.program)
    proposal.refresh_from_db()
    _refuse_over(proposal)
    if proposal.by_id != by.pk:
        raise ValidationError("Only the one who asked takes it back. You can decline it.")
    proposal.reason = reason.strip()
    _decide(proposal, ProposalState.WITHDRAWN, None)
    log_event(proposal, "The one who asked took it back.", by=by, reason=proposal.reason)
    return proposal


def _refuse_over(proposal: Proposal) -> None:
    if proposal.state == ProposalState.WITHDRAWN:
        raise ValidationError(f"{proposal.by} took this back. Nothing was booked.")
    if proposal.state != ProposalState.WAITING:
        raise ValidationError("This was decided already.")


def _refuse_decided(proposal: Proposal, by: User) -> None:
    _refuse_over(proposal)
    if proposal.by_id == by.pk:
        raise ValidationError("A second person has to agree, not the one who asks.")


def _decide(proposal: Proposal, state: ProposalState, by: User | None) -> None:
    proposal.state, proposal.decided_by, proposal.decided_at = state, by, timezone.now()
    proposal.full_clean()
    proposal.save()


@transaction.atomic
def reverse_by_hand(*, entry: Entry, on: dt.date, reason: str, by: User) -> Entry:
    """Reverse an entry in the journal, if no room would be left believing that it stands.

    Raises:
        ValidationError: as `reverse_entry`, a room takes it back itself, or `on` is too early.
    """
    lock(entry.program)
    if owner := owner_of(entry):
        raise ValidationError(owner.sentence)
    if on < entry.on:
        sentence = f"It was booked for {full_date(entry.on)}; it is reversed then or later."
        raise ValidationError({"on": sentence})
    return reverse_entry(entry=entry, on=on, reason=reason, by=by)


@transaction.atomic
def reverse_entry(*, entry: Entry, on: dt.date, reason: str, by: User) -> Entry:
    """Book the opposite of an entry, its releases too; nothing that was written is changed.

    For the room that booked it, which sets itself right too; people reverse by `reverse_by_hand`.

    Raises:
        ValidationError: the entry was reversed before, a plan's money hangs on it, the month of
            `on` is shut, or the reason is missing.
    """
    if not reason.strip():
        raise ValidationError("Say why the entry is reversed.")
    lock(entry.program)
    if Entry.objects.filter(reverses=entry).exists():
        raise ValidationError("This entry was reversed already.")
    if entry.commitments.exists() or entry.released.exists():
        raise ValidationError("A plan set this money aside or freed it; the next plan changes it.")
    event = Event(
        key=f"reversal:{entry.pk}", on=on, what=f"Reversed: {entry.what}"[:200], reverses=entry
    )
    if problems := shut_problems(entry.program, on):
        raise ValidationError({"on": [str(problem.sentence) for problem in problems]})
    # What was booked rightly once can be turned round whatever a fund holds or allows now.
    written = write(entry.program, event, opposite(entry), by=by)
    log_event(entry, "The entry was reversed.", by=by, reason=reason)
    log_event(written, "It reverses another entry.", by=by, reason=reason)
    return written


@transaction.atomic
def set_aside(
    *, program: Program, event: Event, rows: Sequence[SetAside], by: User
) -> Entry | None:
    """Commit money to items of an approved plan: one entry, a transfer and a row for each.

    Raises:
        ValidationError: a fund has less free than is asked of it.
    """
    if not rows:
        return None
    lines = _moved(rows, into=Role.COMMITMENT, out_of=Role.RESERVE)
    entry = post_entry(program=program, event=event, lines=lines, by=by)
    Commitment.objects.bulk_create(
        [
            Commitment(
                program=program,
                cause=event.key,
                case=row.case,
                item_id=row.item_id,
                fund=row.fund,
                cents=row.cents,
                entry=entry,
            )
            for row in rows
        ]
    )
    return entry


@transaction.atomic
def release(
    *, program: Program, event: Event, commitments: Iterable[Commitment], by: User | None
) -> Entry | None:
    """Free money that was set aside: one entry with the opposite transfers.

    What was freed meanwhile is left out, whatever the caller knew; a closed fund gives free too.
    """
    lock(program)  # before looking, as `post_entry` does
    asked = [row.pk for row in commitments]
    standing = Commitment.objects.filter(pk__in=asked, released_by=None)
    rows = list(standing.select_related("fund", "case"))
    if not rows:
        return None
    lines = _moved(rows, into=Role.RESERVE, out_of=Role.COMMITMENT)
    entry = post_entry(program=program, event=event, lines=lines, by=by)
    for row in rows:
        row.released_by = entry
    Commitment.objects.bulk_update(rows, ["released_by"])
    return entry


def _moved(rows: Sequence[SetAside | Commitment], *, into: Role, out_of: Role) -> list[Line]:
    """Return the lines that move the money of each row from one side of a promise to the other."""
    debit, credit = (with_role(load(), role) for role in (into, out_of))
    return [
        Line(debit=debit, credit=credit, cents=row.cents, fund=row.fund, case=row.case)
        for row in rows
    ]
