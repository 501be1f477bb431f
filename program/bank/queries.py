"""Statements, their lines, and the entries of an account read into what the pure modules take."""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from django.db.models import (
    Case,
    Count,
    Exists,
    F,
    IntegerField,
    Max,
    OuterRef,
    Q,
    Subquery,
    Sum,
    Value,
    When,
)
from django.db.models.functions import Coalesce

from program.bank.models import BankLayout, BankLine, BankMatch, BankStatement
from program.bank.reconciling import Item
from program.ledger.chart import Role, load
from program.ledger.models import Entry, Transfer
from program.ledger.queries import held_on
from shared.dates import full_date
from shared.money import usd
from shared.say import say

if TYPE_CHECKING:
    from collections.abc import Iterable

    from django.db.models import QuerySet

    from shared.accounts.models import Program
    from shared.say import Say

ONE_DAY = dt.timedelta(days=1)


@dataclass(frozen=True, kw_only=True)
class BankState:
    """How far one cash account is reconciled, for the list of a month's close.

    `done`: everything to the month's last day is reconciled to zero.
    """

    account: str
    name: str
    reconciled_until: dt.date | None
    differs_cents: int
    done: bool
    sentence: Say


def cash_accounts() -> dict[str, str]:
    """Return the codes and names of the accounts that hold cash."""
    return {code: one.name for code, one in load().items() if one.role == Role.CASH}


def last_statement(program: Program, account: str) -> BankStatement | None:
    """Return the newest statement of an account."""
    return BankStatement.objects.filter(program=program, account=account).first()


def layout_of(program: Program, account: str) -> BankLayout | None:
    """Return the columns remembered for an account."""
    return BankLayout.objects.filter(program=program, account=account).first()


def statements(program: Program) -> QuerySet[BankStatement]:
    """Return the statements with the count of their lines and of those without an entry."""
    lines = BankLine.objects.filter(statement=OuterRef("pk")).order_by()
    return BankStatement.objects.filter(program=program).annotate(
        lines_count=_count(lines), open_count=_count(without_match(lines))
    )


def _count(lines: QuerySet[BankLine]) -> Any:

    counted = lines.values("statement").annotate(count=Count("pk")).values("count")
    return Coalesce(Subquery(counted, output_field=IntegerField()), 0)


def without_match(lines: QuerySet[BankLine]) -> QuerySet[BankLine]:
    """Return the lines that no entry stands for."""
    standing = BankMatch.objects.filter(line=OuterRef("pk"), undone_at=None)
    return lines.filter(~Exists(standing))


def standing_matches(lines: Iterable[BankLine]) -> dict[int, list[BankMatch]]:
    """Return the matches of lines with their entries, by the line's id; one query."""
    found: dict[int, list[BankMatch]] = {}
    rows = BankMatch.objects.filter(line__in=lines, undone_at=None).select_related("entry", "by")
    for match in rows:
        found.setdefault(match.line_id, []).append(match)
    return found


def book_cents(program: Program, account: str, on: dt.date) -> int:
    """Return what the books hold on an account at the end of a day, in all funds."""
    return held_on(program, on).account(account)


def nets(
    program: Program, account: str, since: dt.date | None, until: dt.date | None
) -> QuerySet[Transfer, Any]:
    """Return each entry of a span with what it moves on the account, money in above zero.

    Rows have `entry_id`, `entry__on`, `entry__what`, `cents` and a `memo`; entries that move
    nothing on the account, such as one between two funds, are left out.
    """
    rows = Transfer.objects.filter(Q(debit=account) | Q(credit=account), program=program)
    if since:
        rows = rows.filter(entry__on__gte=since)
    if until:
        rows = rows.filter(entry__on__lte=until)
    signed = Sum(Case(When(debit=Value(account), then=F("cents")), default=-F("cents")))
    return (
        rows.values("entry_id", "entry__on", "entry__what")
        .annotate(cents=signed, note=Max("memo"))
        .exclude(cents=0)
        .order_by("entry__on", "entry_id")
    )


def not_found(
    rows: QuerySet[Transfer, Any], account: str, until: dt.date | None = None
) -> QuerySet[Transfer, Any]:
    """Return those entries that no line up to a day stands for (no line at all without one)."""
    found = BankMatch.objects.filter(entry=OuterRef("entry_id"), account=account, undone_at=None)
    if until:
        found = found.filter(line__on__lte=until)
    return rows.filter(~Exists(found))


def items(rows: Iterable[dict[str, Any]]) -> tuple[Item, ...]:
    """Return entries as the reconciliation reads them."""
    return tuple(
        Item(id=row["entry_id"], on=row["entry__on"], cents=row["cents"], what=row["entry__what"])
        for row in rows
    )


def reversals(ids: Iterable[int]) -> list[tuple[int, int]]:
    """Return pairs of an entry and the one that reversed it, where the first is among the ids."""
    pairs = Entry.objects.filter(reverses__in=list(ids)).values_list("reverses_id", "pk")
    return [(first, second) for first, second in pairs if first]


def began(program: Program, account: str) -> tuple[dt.date, int] | None:
    """Return the first day that statements of an account cover and the balance before it."""
    first = BankStatement.objects.filter(program=program, account=account).order_by("until_on")
    row = first.values_list("from_on", "opening_cents").first()
    return (row[0], row[1]) if row else None


def reconciled_until(program: Program, account: str) -> dt.date | None:
    """Return the last day to which an account is reconciled; statements are finished in order."""
    done = BankStatement.objects.filter(
        program=program, account=account, reconciled_at__isnull=False
    )
    found: dt.date | None = done.aggregate(last=Max("until_on"))["last"]
    return found


def bank_state(program: Program, month_last_day: dt.date) -> list[BankState]:
    """Return how each cash account stands that has a statement or holds money at the month's end.

    The number of queries doesn't grow with the statements.
    """
    balances = held_on(program, month_last_day)
    found = []
    done = _finished(program)
    of_program = BankStatement.objects.filter(program=program).order_by()
    begun = set(of_program.values_list("account", flat=True).distinct())
    for code, name in cash_accounts().items():
        if code in begun or balances.account(code):
            found.append(_state((code, name), done.get(code, []), month_last_day))
    return found


def _finished(program: Program) -> dict[str, list[BankStatement]]:
    """Return the finished statements of each account, newest first."""
    found: dict[str, list[BankStatement]] = {}
    rows = BankStatement.objects.filter(program=program, reconciled_at__isnull=False)
    for row in rows.select_related("reconciled_by"):
        found.setdefault(row.account, []).append(row)
    return found


def _state(account: tuple[str, str], finished: list[BankStatement], on: dt.date) -> BankState:
    """Return the state of one account at a month's last day."""
    code, name = account
    until = finished[0].until_on if finished else None
    reaching = [row for row in finished if row.until_on >= on]
    # The oldest statement that reaches the month's end is the one that counts for it.
    differs = reaching[-1].differs_cents if reaching else 0
    return BankState(
        account=code,
        name=name,
        reconciled_until=until,
        differs_cents=differs,
        done=bool(reaching) and not reaching[-1].note,
        sentence=_sentence(f"{code} {name}", until, reaching),
    )


def _sentence(name: str, until: dt.date | None, reaching: list[BankStatement]) -> Say:
    if reaching and reaching[-1].note:
        return say(
            "{name} was finished by {who} differing by {usd}: {note}",
            name=name,
            who=str(reaching[-1].reconciled_by),
            usd=usd(reaching[-1].differs_cents),
            note=reaching[-1].note,
        )
    if until is None:
        return say("{name} has not been reconciled yet.", name=name)
    return say("{name} is reconciled to {day}.", name=name, day=full_date(until))
