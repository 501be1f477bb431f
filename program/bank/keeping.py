"""Reading a bank's file into a statement: whole or not at all."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from typing import TYPE_CHECKING

from django.core.exceptions import ValidationError
from django.db import transaction

from program.bank.check import Checked, Given, Known, check
from program.bank.layout import Hold, Layout, guess
from program.bank.layout import check as check_layout
from program.bank.models import BankLayout, BankLine, BankStatement
from program.bank.queries import ONE_DAY, cash_accounts, last_statement, layout_of
from program.bank.statement_file import ends, in_order, lacking, read_lines, read_table
from program.bank.values import DayOrder
from program.ledger.fiscal import first_of, last_of
from shared.accounts.models import Program
from shared.audit.actions import log_event
from shared.dates import full_date

if TYPE_CHECKING:
    import datetime as dt

    from shared.accounts.models import User


NEAR_END = 7  # days of a month's start or end in which a month without lines is still whole


@dataclass(frozen=True, kw_only=True)
class Upload:
    """A file for one cash account, as it came."""

    account: str
    name: str
    content: bytes

    @property
    def sha256(self) -> str:
        """What tells this file from every other."""
        return hashlib.sha256(self.content).hexdigest()


def remembered(program: Program, upload: Upload) -> tuple[Layout, bool]:
    """Return the layout for a file, and whether it is the one that was remembered.

    A file without the remembered headings is guessed anew.

    Raises:
        ValueError: the file can't be read.
    """
    table = read_table(upload.content)
    row = layout_of(program, upload.account)
    if row:
        known = {name: Hold(hold) for name, hold in row.columns.items()}
        layout = Layout(columns=known, days=DayOrder(row.days), flipped=row.flipped)
        if not lacking(table, layout):
            columns = {name: known.get(name, Hold.NOTHING) for name in table.headings}
            return Layout(columns=columns, days=layout.days, flipped=layout.flipped), True
    return guess(table), False


def suggested(program: Program, upload: Upload, layout: Layout) -> dict[str, object]:
    """Return the days and balances of a statement as far as the file and the last one tell them.

    The closing balance is left to the person where the file has no balances that chain: typed from
    the bank's paper it proves that no line is missing.
    """
    lines = in_order(read_lines(read_table(upload.content), layout).lines)
    last = last_statement(program, upload.account)
    both = ends(read_lines(read_table(upload.content), layout).lines)
    found: dict[str, object] = {}
    if lines:
        first_on, until_on = _whole_months(lines[0].on, lines[-1].on, program.today())
        found |= {"from_on": first_on, "until_on": until_on}
    if both:
        found |= {"opening": both[0], "closing": both[1]}
    if last and (not lines or lines[0].on > last.until_on):
        found |= {"from_on": last.until_on + ONE_DAY, "opening": last.closing_cents}
    return found


def _whole_months(first: dt.date, last: dt.date, today: dt.date) -> tuple[dt.date, dt.date]:
    """Return the days of whole months where lines come near their ends, as most statements have."""
    start = first_of(first) if first.day <= NEAR_END else first
    end = last_of(last)
    near = (end - last).days < NEAR_END and end < today
    return start, end if near else last


def known_lines(program: Program, account: str) -> Known:
    """Return what the statements of an account hold already."""
    last = last_statement(program, account)
    if last is None:
        return Known()
    prints = BankLine.objects.filter(program=program, account=account)
    return Known(
        until_on=last.until_on,
        closing=last.closing_cents,
        prints=frozenset(prints.values_list("fingerprint", flat=True)),
    )


@transaction.atomic
def read_statement(
    *, program: Program, upload: Upload, layout: Layout, given: Given, by: User
) -> BankStatement:
    """Write a statement with its new lines, and remember the columns of its account.

    The same statement sent twice is written once, and returned.

    Raises:
        ValidationError: a cell can't be read, the lines don't add up, the statement doesn't follow
            the last one, or the file was read before.
    """
    # Two uploads at one moment may not both follow the same statement.
    Program.objects.select_for_update(no_key=True).get(pk=program.pk)
    if upload.account not in cash_accounts():
        raise ValidationError("Choose an account that holds cash.")
    if same := _same_file(program, upload, given):
        return same
    checked = checked_file(program, upload, layout, given)
    if checked.problems:
        raise ValidationError([str(problem.sentence) for problem in checked.problems])
    statement = _write(program, upload, checked, by)
    remember(program, upload.account, layout, by)
    log_event(statement, f"A bank statement was read. New lines: {len(checked.lines)}.", by=by)
    return statement


def refuse_same_file(program: Program, upload: Upload) -> None:
    """Refuse a file that was read before.

    Raises:
        ValidationError: it was, for this account.
    """
    row = _with_file(program, upload)
    if row:
        raise ValidationError(
            f"This file was read already: the statement to {full_date(row.until_on)}."
        )


def _with_file(program: Program, upload: Upload) -> BankStatement | None:
    return BankStatement.objects.filter(
        program=program, account=upload.account, sha256=upload.sha256
    ).first()


def _same_file(program: Program, upload: Upload, given: Given) -> BankStatement | None:
    """Return the statement that this very form wrote before, if it did."""
    row = _with_file(program, upload)
    if row and (row.until_on, row.closing_cents) != (given.until_on, given.closing):
        refuse_same_file(program, upload)
    return row


def checked_file(program: Program, upload: Upload, layout: Layout, given: Given) -> Checked:
    """Return what of a file would be written, or everything that speaks against it."""
    wrong = check_layout(layout)
    if wrong:
        return Checked(given=given, problems=tuple(wrong))
    try:
        reading = read_lines(read_table(upload.content), layout)
    except ValueError as error:
        raise ValidationError(str(error)) from error
    if reading.faults:
        return Checked(given=given, problems=reading.faults)
    if given.until_on >= program.today():
        raise ValidationError(
            {"until_on": "A statement ends on a day that is over; ask the bank up to yesterday."}
        )
    return check(given, in_order(reading.lines), known_lines(program, upload.account))


def _write(program: Program, upload: Upload, checked: Checked, by: User) -> BankStatement:
    statement = BankStatement(
        program=program,
        account=upload.account,
        from_on=checked.given.from_on,
        until_on=checked.given.until_on,
        opening_cents=checked.given.opening,
        closing_cents=checked.given.closing,
        file_name=upload.name[-120:],
        sha256=upload.sha256,
        by=by,
    )
    statement.full_clean()
    statement.save()
    BankLine.objects.bulk_create(
        BankLine(
            program=program,
            statement=statement,
            account=upload.account,
            number=line.row,
            on=line.on,
            cents=line.cents,
            words=line.words,
            reference=line.reference,
            fingerprint=fingerprint,
        )
        for fingerprint, line in checked.lines
    )
    return statement


def remember(program: Program, account: str, layout: Layout, by: User) -> BankLayout:
    """Keep which column of an account's files holds what."""
    row = layout_of(program, account) or BankLayout(program=program, account=account, version=0)
    columns = {name: str(hold) for name, hold in layout.columns.items()}
    values = {"columns": columns, "days": str(layout.days), "flipped": layout.flipped}
    if all(getattr(row, name) == value for name, value in values.items()):
        return row
    for name, value in values.items():
        setattr(row, name, value)
    row.version += 1
    row.full_clean()
    row.save()
    log_event(row, "The columns of a bank's file were noted.", by=by, fields=list(values))
    return row
