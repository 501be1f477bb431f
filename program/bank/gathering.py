"""What a statement's pages show, gathered from the books and the bank."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from program.bank import pairing
from program.bank.models import BankLine, BankMatch
from program.bank.queries import (
    ONE_DAY,
    began,
    book_cents,
    items,
    nets,
    not_found,
    reversals,
    standing_matches,
    without_match,
)
from program.bank.reconciling import (
    STALE_DAYS,
    Facts,
    Item,
    Reconciliation,
    explain_start,
    reconcile,
    standing,
)
from program.ledger.models import Entry

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from program.bank.models import BankStatement
    from shared.accounts.models import Program

BEFORE, AFTER = dt.timedelta(days=pairing.BEFORE), dt.timedelta(days=pairing.AFTER)
EARLY = dt.timedelta(days=STALE_DAYS)
CHOICE_DAYS, MOST_CHOICES = 45, 40  # entries that a person chooses from
BOUNCE_DAYS = dt.timedelta(days=60)  # common practice, no source


@dataclass(frozen=True, kw_only=True)
class LineView:
    """One line as a page shows it: what it was found to be, else what it is proposed to be."""

    line: BankLine
    matches: tuple[BankMatch, ...] = ()
    proposed: pairing.Proposed | None = None
    entries: tuple[Entry, ...] = ()  # that are proposed

    @property
    def pk(self) -> int:
        """The line's own key."""
        return self.line.pk

    @property
    def on(self) -> dt.date:
        """The bank's day."""
        return self.line.on

    @property
    def cents(self) -> int:
        """Money in above zero."""
        return self.line.cents

    @property
    def acceptable(self) -> bool:
        """Whether the proposal can be accepted as it is; a slip is only told."""
        return self.proposed is not None and self.proposed.sure != pairing.Sure.SLIP


def line_movement(line: BankLine) -> pairing.Movement:
    """Return a line as it is paired."""
    words = f"{line.words} {line.reference}"
    return pairing.Movement(id=line.pk, on=line.on, cents=line.cents, words=words)


def candidates(
    program: Program, account: str, from_on: dt.date, until_on: dt.date
) -> list[pairing.Movement]:
    """Return the entries of the account near these days that are on no statement yet.

    What stood in the books before the first statement is in its opening balance, unless the two
    differed then: only what explains that may still come on a line.
    """
    since, start = from_on - BEFORE, began(program, account)
    rows = not_found(nets(program, account, since, until_on + AFTER), account)
    there = {row["entry_id"]: row for row in rows}
    if start and since < start[0]:
        early = _waiting_early(program, account, start, there.values())
        there = {
            pk: row for pk, row in there.items() if row["entry__on"] >= start[0] or pk in early
        }
    kept = standing(items(there.values()), reversals(there))
    return [
        pairing.Movement(
            id=item.id,
            on=item.on,
            cents=item.cents,
            words=f"{item.what} {there[item.id]['note']}",
        )
        for item in kept
    ]


def proposals(statement: BankStatement) -> dict[int, pairing.Proposed]:
    """Return what each line without an entry is proposed to be, by the line's id."""
    lines = [line_movement(line) for line in without_match(statement.lines.all())]
    if not lines or statement.reconciled_at:
        return {}
    days = [line.on for line in lines]
    entries = candidates(statement.program, statement.account, min(days), max(days))
    return pairing.propose(lines, entries)


def line_views(statement: BankStatement) -> list[LineView]:
    """Return every line of a statement with what it is or may be; as many queries for any count."""
    lines = list(statement.lines.all())
    matches = standing_matches(lines)
    proposed = proposals(statement)
    ids = {pk for one in proposed.values() for pk in one.entries}
    entries = Entry.objects.in_bulk(ids) if ids else {}
    return [
        LineView(
            line=line,
            matches=tuple(matches.get(line.pk, ())),
            proposed=proposed.get(line.pk),
            entries=tuple(entries[pk] for pk in proposed[line.pk].entries)
            if line.pk in proposed
            else (),
        )
        for line in lines
    ]


def choices(line: BankLine) -> list[tuple[Entry, int]]:
    """Return the entries a person may choose from for a line, with what each moves.

    Those of its amount stand first, then those of its sign, the nearest in days before others.
    """
    there = [
        row
        for row in candidates(line.program, line.account, line.on, line.on)
        if row.cents == line.cents or abs((line.on - row.on).days) <= CHOICE_DAYS
    ]
    there.sort(
        key=lambda row: (
            row.cents != line.cents,
            row.cents * line.cents < 0,
            abs((line.on - row.on).days),
            row.id,
        )
    )
    kept = there[:MOST_CHOICES]
    entries = Entry.objects.in_bulk([row.id for row in kept])
    return [(entries[row.id], row.cents) for row in kept]


def reconciliation(statement: BankStatement) -> Reconciliation:
    """Return how books and bank stand at the statement's last day."""
    program, account, on = statement.program, statement.account, statement.until_on
    start = began(program, account) or (statement.from_on, statement.opening_cents)
    rows = not_found(nets(program, account, start[0], on), account, until=on)
    outstanding = items(rows)
    gap = _start_gap(program, account, start, on)
    early = _early(statement, start[0], gap) if gap else ()
    outstanding = (*early, *standing(outstanding, reversals(item.id for item in outstanding)))
    lines = BankLine.objects.filter(program=program, account=account, on__lte=on)
    return reconcile(
        Facts(
            on=on,
            bank_cents=statement.closing_cents,
            book_cents=book_cents(program, account, on),
            outstanding=outstanding,
            unbooked=tuple(
                Item(id=line.pk, on=line.on, cents=line.cents, what=str(line))
                for line in without_match(lines)
            ),
            late=_late(program, account, on),
        )
    )


def _start_gap(
    program: Program, account: str, start: tuple[dt.date, int], until: dt.date | None
) -> int:
    """Return what the books held above the bank before the first statement, less what was found."""
    first_on, opening = start
    before = first_on - ONE_DAY
    gap = book_cents(program, account, before) - opening
    if not gap:
        return 0
    found = BankMatch.objects.filter(
        program=program, account=account, undone_at=None, entry__on__lt=first_on
    )
    if until:
        found = found.filter(line__on__lte=until)
    ids = set(found.values_list("entry_id", flat=True))
    rows = nets(program, account, None, before).filter(entry_id__in=ids)
    found_cents: int = sum(row["cents"] for row in rows)
    return gap - found_cents


def _early(statement: BankStatement, first_on: dt.date, gap: int) -> tuple[Item, ...]:
    """Return the entries from before the first statement that explain what is left of the gap."""
    program, account, before = statement.program, statement.account, first_on - ONE_DAY
    rows = nets(program, account, before - EARLY, before)
    return explain_start(gap, items(not_found(rows, account, until=statement.until_on)))


def _waiting_early(
    program: Program,
    account: str,
    start: tuple[dt.date, int],
    rows: Iterable[dict[str, Any]],
) -> set[int]:
    """Return which entries from before the first statement may still come: those that explain it.

    Where no one choice explains the difference, each of them may.
    """
    gap = _start_gap(program, account, start, None)
    early = items(row for row in rows if row["entry__on"] < start[0]) if gap else ()
    near = [item for item in early if item.on >= start[0] - ONE_DAY - EARLY]
    return {item.id for item in explain_start(gap, near) or early}


def _late(program: Program, account: str, on: dt.date) -> tuple[Item, ...]:
    """Return the entries of later days that lines up to this day stand for."""
    found = BankMatch.objects.filter(
        program=program, account=account, undone_at=None, line__on__lte=on, entry__on__gt=on
    )
    ids = list(found.values_list("entry_id", flat=True))
    return items(nets(program, account, on + ONE_DAY, None).filter(entry_id__in=ids)) if ids else ()


def bounced_gifts(line: BankLine) -> Sequence[Entry]:
    """Return the deposits that a line may take back: as much money, not long ago, not reversed."""
    if line.cents >= 0:
        return []
    rows = nets(line.program, line.account, line.on - BOUNCE_DAYS, line.on)
    ids = [row["entry_id"] for row in rows.filter(cents=-line.cents)]
    entries = Entry.objects.filter(pk__in=ids, reversed_by=None, transfers__credit__startswith="4")
    return list(entries.distinct().order_by("-on", "-pk"))
