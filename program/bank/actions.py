"""Finding entries on a statement, booking what only the bank knew, and finishing it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from django.core.exceptions import ValidationError
from django.db import transaction
from django.db.models import Q
from django.utils import timezone

from program.bank import gathering
from program.bank.models import (
    BankLine,
    BankMatch,
    BankStatement,
    BankStatementQuerySet,
)
from program.bank.pairing import Sure
from program.bank.queries import nets, without_match
from program.ledger.actions import Event, Line, post_entry
from program.ledger.chart import load
from program.ledger.models import Entry
from shared.accounts.models import Program
from shared.audit.actions import log_event
from shared.dates import full_date
from shared.money import usd

if TYPE_CHECKING:
    from collections.abc import Sequence

    from program.ledger.models import Fund
    from shared.accounts.models import User

REASON = 200
FINISHED = "This statement is finished. Open it again first."
STALE = "Somebody else changed this statement. Open the page again."


@dataclass(frozen=True, kw_only=True)
class Booking:
    """What a line of the bank is in the books: the other account, a fund, and words."""

    account: str
    fund: Fund
    what: str


def _locked(statement: BankStatement, version: int | None = None) -> BankStatement:
    """Return the statement as it stands, while nobody else decides on it.

    Raises:
        ValidationError: it is no longer as the person saw it.
    """
    # Entries of one account are found on lines of several statements: one at a time for all.
    Program.objects.select_for_update(no_key=True).get(pk=statement.program_id)
    row = BankStatement.objects.select_related("program").get(pk=statement.pk)
    if version is not None and row.version != version:
        raise ValidationError(STALE)
    return row


@transaction.atomic
def match_line(
    *, line: BankLine, entries: Sequence[Entry], by: User, reason: str = ""
) -> list[BankMatch]:
    """Say which entries a line is; together they have to be exactly its amount.

    Raises:
        ValidationError: the statement is finished, the line or an entry is taken, or the sums
            differ.
    """
    statement = _locked(line.statement)
    _refuse_finished(statement)
    if not without_match(BankLine.objects.filter(pk=line.pk)).exists():
        raise ValidationError("This line has its entry already. Undo that first.")
    _refuse_sum(line, entries)
    text = (reason or f"Chosen by {by}.")[:REASON]
    found = []
    for entry in entries:
        match = BankMatch(
            program=statement.program,
            line=line,
            entry=entry,
            account=line.account,
            reason=text,
            by=by,
        )
        match.full_clean()
        match.save()
        found.append(match)
    log_event(line, "A line of the bank was found in the books.", by=by)
    return found


def _refuse_finished(statement: BankStatement) -> None:
    if statement.reconciled_at:
        raise ValidationError(FINISHED)


def _refuse_sum(line: BankLine, entries: Sequence[Entry]) -> None:
    if not entries:
        raise ValidationError({"entries": "Choose at least one entry."})
    ids = {entry.pk for entry in entries}
    if len(ids) != len(entries):
        raise ValidationError({"entries": "An entry was chosen twice."})
    rows = nets(line.program, line.account, None, None).filter(entry_id__in=ids)
    moved = {row["entry_id"]: row["cents"] for row in rows}
    if set(moved) != ids:
        raise ValidationError({"entries": "An entry moves nothing on this account."})
    total = sum(moved.values())
    if total != line.cents:
        raise ValidationError(
            {
                "entries": f"The line is {usd(line.cents)}, what was chosen adds up to"
                f" {usd(total)}: {usd(abs(total - line.cents))}"
                f" {'more' if total > line.cents else 'less'}."
            }
        )


@transaction.atomic
def match_sure(*, statement: BankStatement, by: User) -> int:
    """Accept every proposal that is sure, and return how many lines that were.

    They are proposed anew, from what is in the books now.

    Raises:
        ValidationError: the statement is finished.
    """
    row = _locked(statement)
    _refuse_finished(row)
    sure = {
        pk: proposed
        for pk, proposed in gathering.proposals(row).items()
        if proposed.sure == Sure.SURE
    }
    BankMatch.objects.bulk_create(
        BankMatch(
            program=row.program,
            line_id=pk,
            entry_id=entry,
            account=row.account,
            reason=str(proposed.reason)[:REASON],
            by=by,
        )
        for pk, proposed in sure.items()
        for entry in proposed.entries
    )
    if sure:
        log_event(row, f"Lines of the bank found in the books: {len(sure)}.", by=by)
    return len(sure)


@transaction.atomic
def undo_match(*, line: BankLine, by: User) -> int:
    """Take back which entries a line is, and return how many those were.

    Raises:
        ValidationError: the statement is finished.
    """
    _refuse_finished(_locked(line.statement))
    rows = BankMatch.objects.filter(line=line, undone_at=None)
    count = rows.update(undone_at=timezone.now())
    if count:
        log_event(line, "What a line of the bank is was taken back.", by=by)
    return count


@transaction.atomic
def book_line(*, line: BankLine, booking: Booking, by: User) -> Entry:
    """Book what only the bank knew, such as a fee or interest, and find it on its line.

    Raises:
        ValidationError: as `post_entry` and `match_line`; the fund has a donor's restriction.
    """
    if booking.fund.restricted:
        raise ValidationError(
            {"fund": "Money with a donor’s restriction is booked by the form of entries."}
        )
    _locked(line.statement)
    came = line.cents > 0
    row = Line(
        debit=line.account if came else booking.account,
        credit=booking.account if came else line.account,
        cents=abs(line.cents),
        fund=booking.fund,
        memo=line.reference,
    )
    event = Event(key=_key(line), on=line.on, what=booking.what)
    # The bank has taken a fee, whatever the fund holds: a fact.
    entry = post_entry(program=line.program, event=event, lines=[row], by=by, fact=not came)
    match_line(line=line, entries=[entry], by=by, reason=f"Booked from this line by {by}.")
    return entry


def _key(line: BankLine) -> str:
    """Return whose an entry of a line is: numbered once the one before was reversed."""
    key = f"bank:{line.pk}"
    mine = Q(key=key) | Q(key__startswith=f"{key}:")
    rows = Entry.objects.filter(mine, program=line.program_id, reversed_by__isnull=False)
    before = rows.count()
    return f"{key}:{before + 1}" if before else key


@transaction.atomic
def book_bounced(*, line: BankLine, deposit: Entry, by: User) -> Entry:
    """Book that the bank returned a deposit: its opposite, in its fund, as a fact.

    Raises:
        ValidationError: the deposit isn't one that this line may take back, or as `post_entry`.
    """
    _locked(line.statement)
    if deposit not in gathering.bounced_gifts(line):
        raise ValidationError("This line doesn’t take that deposit back.")
    lines = [
        Line(
            debit=row.credit,
            credit=row.debit,
            cents=row.cents,
            fund=row.fund,
            case=row.case,
            memo="Returned by the bank",
        )
        for row in deposit.transfers.select_related("fund", "case")
    ]
    what = f"Returned by the bank: {deposit.what}"[:200]
    event = Event(key=_key(line), on=line.on, what=what, reverses=deposit)
    entry = post_entry(program=line.program, event=event, lines=lines, by=by, fact=True)
    match_line(line=line, entries=[entry], by=by, reason=f"Entry {deposit.pk} was returned.")
    return entry


@transaction.atomic
def finish(*, statement: BankStatement, version: int, note: str, by: User) -> BankStatement:
    """Finish a statement: at zero, or with what it differs by and a person's note.

    Raises:
        ValidationError: it was changed or finished meanwhile, one before it is open, or it doesn't
            end in zero and nobody says why.
    """
    row = _locked(statement, version)
    _refuse_finished(row)
    before = _of_account(row).filter(until_on__lt=row.until_on, reconciled_at=None).last()
    if before:
        raise ValidationError(f"Finish the statement to {full_date(before.until_on)} first.")
    found = gathering.reconciliation(row)
    if not found.ready and not note.strip():
        raise ValidationError({"note": f"{found.verdict} Say why it is finished all the same."})
    row.differs_cents = found.left
    row.note = "" if found.ready else note.strip()
    row.reconciled_by, row.reconciled_at = by, timezone.now()
    _save(row, "differs_cents", "note", "reconciled_by", "reconciled_at")
    log_event(row, "A bank statement was reconciled.", by=by, reason=row.note)
    return row


@transaction.atomic
def reopen(*, statement: BankStatement, version: int, reason: str, by: User) -> BankStatement:
    """Open a finished statement again.

    Raises:
        ValidationError: it was changed meanwhile, isn't finished, a later one is, or the reason is
            missing.
    """
    row = _locked(statement, version)
    if not reason.strip():
        raise ValidationError({"reason": "Say why it is opened again."})
    if not row.reconciled_at:
        raise ValidationError("This statement is open.")
    later = _of_account(row).filter(until_on__gt=row.until_on, reconciled_at__isnull=False).first()
    if later:
        raise ValidationError(f"Open the statement to {full_date(later.until_on)} first.")
    row.reconciled_by = row.reconciled_at = None
    row.differs_cents, row.note = 0, ""
    _save(row, "differs_cents", "note", "reconciled_by", "reconciled_at")
    log_event(row, "A bank statement was opened again.", by=by, reason=reason)
    return row


def _of_account(row: BankStatement) -> BankStatementQuerySet:
    return BankStatement.objects.filter(program=row.program, account=row.account)


def _save(row: BankStatement, *fields: str) -> None:
    row.version += 1
    row.full_clean()
    row.save(update_fields=[*fields, "version"])


def may_book(code: str, *, came: bool) -> bool:
    """Return whether the short form of a line offers an account: income in, expenses out."""
    account = load()[code]
    wanted = ("income",) if came else ("expense", "liability")
    return account.kind in wanted and not account.role
