"""Booking: an entry posts its transfers whole or not at all, and is never changed afterwards."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from django.core.exceptions import ValidationError
from django.db import transaction

from program.ledger import ledger, posting
from program.ledger.chart import Role, load, with_role
from program.ledger.models import Commitment, Entry, Fund, Transfer
from program.ledger.queries import free_cents, held, pure_fund, pure_funds
from shared.accounts.models import Program
from shared.audit.actions import log_event

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Iterable, Sequence
    from uuid import UUID

    from program.cases.models import Case
    from shared.accounts.models import User
    from shared.problems import Problem


@dataclass(frozen=True, kw_only=True)
class Line:
    """One transfer to be booked, and the case it is for."""

    debit: str
    credit: str
    cents: int
    fund: Fund
    case: Case | None = None
    memo: str = ""


@dataclass(frozen=True, kw_only=True)
class SetAside:
    """Money of one fund to be set aside for one item of one case."""

    fund: Fund
    case: Case
    item_id: int
    cents: int


@dataclass(frozen=True, kw_only=True)
class Event:
    """What is booked: the key of its cause, its day and its words."""

    key: str
    on: dt.date
    what: str
    reverses: Entry | None = None


@transaction.atomic
def post_entry(
    *, program: Program, event: Event, lines: Sequence[Line], by: User | None, fact: bool = False
) -> Entry:
    """Check an event and write it with all its transfers.

    A choice that would take a fund below zero is refused; a `fact` (a bounced check) is booked.

    Raises:
        ValidationError: a line is impossible, a fund lacks the money, or the key was booked before.
    """
    # Locks the books: two people may not spend the same dollar.
    Program.objects.select_for_update(no_key=True).get(pk=program.pk)
    rows = [_pure(line, event) for line in lines]
    funds = list(Fund.objects.filter(program=program))
    problems = posting.check_entry(rows, load(), pure_funds(funds))
    if not problems and not fact:
        problems = _overdrafts(program, funds, rows)
    if problems:
        raise ValidationError([str(problem.sentence) for problem in problems])
    entry = Entry(
        program=program,
        key=event.key,
        on=event.on,
        what=event.what,
        by=by,
        reverses=event.reverses,
    )
    entry.full_clean()
    entry.save()
    Transfer.objects.bulk_create([_row(entry, line) for line in lines])
    log_event(entry, "An entry was booked.", by=by)
    return entry


def book(
    *, lines: Sequence[Line], on: dt.date, what: str, key: UUID, fact: bool, by: User
) -> Entry:
    """Book what a person typed; `key` is the form's, so that sending it twice books it once.

    Raises:
        ValidationError: as `post_entry`.
    """
    if by.program is None:
        raise ValidationError("Only somebody of a program can book.")
    event = Event(key=f"form:{key}", on=on, what=what)
    return post_entry(program=by.program, event=event, lines=lines, by=by, fact=fact)


def _pure(line: Line, event: Event) -> ledger.Transfer:
    return ledger.Transfer(
        entry=event.key,
        on=event.on,
        debit=line.debit,
        credit=line.credit,
        cents=line.cents,
        fund=line.fund.code,
    )


def _row(entry: Entry, line: Line) -> Transfer:
    return Transfer(
        program_id=entry.program_id,
        entry=entry,
        debit=line.debit,
        credit=line.credit,
        cents=line.cents,
        fund=line.fund,
        case=line.case,
        memo=line.memo,
    )


def _overdrafts(
    program: Program, funds: Sequence[Fund], rows: Sequence[ledger.Transfer]
) -> list[Problem]:
    """Return a problem for each fund that the entry takes more from than is free."""
    free = free_cents(funds, held(program))
    change = free_cents(funds, ledger.balances(rows))
    problems = (
        posting.refuse_overdraft(pure_fund(fund), free[fund.code], -change[fund.code])
        for fund in funds
        if change[fund.code] < 0
    )
    return [problem for problem in problems if problem]


@transaction.atomic
def reverse_entry(*, entry: Entry, on: dt.date, reason: str, by: User) -> Entry:
    """Book the opposite of an entry, naming it; a correction changes nothing that was written.

    Raises:
        ValidationError: the entry was reversed before, a plan's money hangs on it, or the reason
            is missing.
    """
    if not reason.strip():
        raise ValidationError("Say why the entry is reversed.")
    if Entry.objects.filter(reverses=entry).exists():
        raise ValidationError("This entry was reversed already.")
    if entry.commitments.exists() or entry.released.exists():
        raise ValidationError("A plan set this money aside or freed it; the next plan changes it.")
    lines = [
        Line(
            debit=row.credit,
            credit=row.debit,
            cents=row.cents,
            fund=row.fund,
            case=row.case,
            memo=row.memo,
        )
        for row in entry.transfers.select_related("fund", "case")
    ]
    event = Event(
        key=f"reversal:{entry.pk}", on=on, what=f"Reversed: {entry.what}"[:200], reverses=entry
    )
    written = post_entry(program=entry.program, event=event, lines=lines, by=by, fact=True)
    log_event(entry, "The entry was reversed.", by=by, reason=reason)
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
    chart = load()
    debit, credit = with_role(chart, Role.COMMITMENT), with_role(chart, Role.RESERVE)
    lines = [
        Line(debit=debit, credit=credit, cents=row.cents, fund=row.fund, case=row.case)
        for row in rows
    ]
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
    # Locks the books before looking, as `post_entry` does.
    Program.objects.select_for_update(no_key=True).get(pk=program.pk)
    asked = [row.pk for row in commitments]
    standing = Commitment.objects.filter(pk__in=asked, released_by=None)
    rows = list(standing.select_related("fund", "case"))
    if not rows:
        return None
    chart = load()
    debit, credit = with_role(chart, Role.RESERVE), with_role(chart, Role.COMMITMENT)
    lines = [
        Line(debit=debit, credit=credit, cents=row.cents, fund=row.fund, case=row.case)
        for row in rows
    ]
    entry = post_entry(program=program, event=event, lines=lines, by=by)
    for row in rows:
        row.released_by = entry
    Commitment.objects.bulk_update(rows, ["released_by"])
    return entry
