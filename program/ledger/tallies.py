"""Whether the books add up: what is kept against the sum, and what must hold besides.

Every sum is made by the database from the transfers themselves, never from what is kept.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from dataclasses import dataclass
from typing import TYPE_CHECKING, Any

from django.db.models import Case as Choose
from django.db.models import Count, F, Q, Sum, When
from django.db.models.functions import TruncMonth

from program.ledger.chart import Role, load
from program.ledger.kept_models import Balance, DayBalance, Turnover
from program.ledger.models import Commitment, Fund, Transfer
from shared.money import usd

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping
    from datetime import date

    from django.db.models import QuerySet

    from shared.accounts.models import Program


@dataclass(frozen=True, kw_only=True)
class Tally:
    """One check: what holds if nothing is `wrong`, of how many; a sentence for each that fails."""

    holds: str
    count: int
    wrong: tuple[str, ...]


def tallies(program: Program) -> list[Tally]:
    """Return every check of one program's books, in the order in which they are read."""
    return [
        _balances(program),
        _day_balances(program),
        _turnovers(program),
        _sides(program),
        _moves(program),
        _own(program),
        _set_aside(program),
        _released(program),
    ]


def _balances(program: Program) -> Tally:
    sums: Counter[tuple[str, str]] = Counter()
    for side, sign in (("debit", 1), ("credit", -1)):
        rows = _transfers(program).values_list("fund__code", side)
        for fund, code, cents in rows.annotate(sum=Sum("cents")):
            sums[fund, code] += sign * cents
    kept = Balance.objects.filter(program=program).values_list("fund__code", "account", "cents")
    found = {(fund, code): cents for fund, code, cents in kept}
    wrong = (
        f"{fund}, account {code}: {usd(found.get((fund, code), 0))} is kept, "
        f"the transfers add up to {usd(sums[fund, code])}."
        for fund, code in sorted(sums.keys() | found)
        if sums[fund, code] != found.get((fund, code), 0)
    )
    return Tally(
        holds="Each balance that is kept equals the sum of its transfers.",
        count=len(sums.keys() | found),
        wrong=tuple(wrong),
    )


def _day_balances(program: Program) -> Tally:
    moved: Counter[tuple[str, str, date]] = Counter()
    for side, sign in (("debit", 1), ("credit", -1)):
        rows = _transfers(program).values_list("fund__code", side, "entry__on")
        for *cell, cents in rows.annotate(sum=Sum("cents")):
            moved[_cell(*cell)] += sign * cents
    sums: dict[tuple[str, str, date], int] = {}
    held: Counter[tuple[str, str]] = Counter()
    for fund, code, on in sorted(moved):
        held[fund, code] += moved[fund, code, on]
        sums[fund, code, on] = held[fund, code]
    kept = DayBalance.objects.filter(program=program)
    fields = ("fund__code", "account", "on", "cents")
    found = {_cell(*cell): cents for *cell, cents in kept.values_list(*fields)}
    wrong = (
        f"{fund}, account {code}, {on}: {usd(found.get((fund, code, on), 0))} is kept, "
        f"the transfers add up to {usd(sums.get((fund, code, on), 0))}."
        for fund, code, on in sorted(sums.keys() | found)
        if sums.get((fund, code, on)) != found.get((fund, code, on))
    )
    return Tally(
        holds="Each day's balance that is kept equals the sum of the transfers up to then.",
        count=len(sums.keys() | found),
        wrong=tuple(wrong),
    )


def _cell(fund: str, code: str, on: date) -> tuple[str, str, date]:
    return fund, code, on


def _turnovers(program: Program) -> Tally:
    sums: defaultdict[tuple[Any, ...], list[int]] = defaultdict(lambda: [0, 0, 0])
    for side in ("debit", "credit"):
        cells = _transfers(program).annotate(month=TruncMonth("entry__on"))
        rows = cells.values_list("month", "fund__code", side, "function")
        for *cell, cents, count in rows.annotate(sum=Sum("cents"), count=Count("pk")):
            sums[tuple(cell)][side == "credit"] += cents
            sums[tuple(cell)][2] += count
    fields = ("month", "fund__code", "account", "function", "debits", "credits", "count")
    kept = Turnover.objects.filter(program=program).values_list(*fields)
    found = {row[:4]: list(row[4:]) for row in kept}
    wrong = (
        f"{month:%Y-%m}, {fund}, account {code}{', ' if function else ''}{function}: "
        f"{_turned(found.get((month, fund, code, function), [0, 0, 0]))} is kept, "
        f"the transfers add up to {_turned(sums[month, fund, code, function])}."
        for month, fund, code, function in sorted(sums.keys() | found)
        if sums.get((month, fund, code, function)) != found.get((month, fund, code, function))
    )
    return Tally(
        holds="Each month's turnover that is kept equals the sum of its transfers.",
        count=len(sums.keys() | found),
        wrong=tuple(wrong),
    )


def _turned(sums: Iterable[int]) -> str:
    debits, credits_, count = sums
    return f"debits {usd(debits)}, credits {usd(credits_)} on {count:,} sides"


def _sides(program: Program) -> Tally:
    rows = Balance.objects.filter(program=program).order_by("fund__code").values_list("fund__code")
    sums = list(rows.annotate(sum=Sum("cents")))
    return Tally(
        holds="In each fund, debits equal credits.",
        count=len(sums),
        wrong=tuple(f"{fund} is off by {usd(cents)}." for fund, cents in sums if cents),
    )


def _moves(program: Program) -> Tally:
    between = [code for code, account in load().items() if account.role == Role.INTERFUND]
    rows = _transfers(program).filter(Q(debit__in=between) | Q(credit__in=between))
    cents = Choose(When(debit__in=between, then=F("cents")), default=-F("cents"))
    sums = rows.values_list("entry_id").annotate(sum=Sum(cents)).order_by("entry_id")
    off = [(entry, cents) for entry, cents in sums if cents]
    return Tally(
        holds="What an entry moves between funds comes out of one as it goes into another.",
        count=len(sums),
        wrong=tuple(f"Entry {entry} is off by {usd(cents)}." for entry, cents in off),
    )


def _own(program: Program) -> Tally:
    rows = _transfers(program)
    strange = rows.exclude(entry__program=program, fund__program=program).order_by("pk")
    return Tally(
        holds="Each transfer is of its own program's entry and fund.",
        count=rows.count(),
        wrong=tuple(f"Transfer {pk} is not." for pk in strange.values_list("pk", flat=True)),
    )


def _set_aside(program: Program) -> Tally:
    """Compare the reserve of each fund, from its transfers, with its standing commitments."""
    rows = Commitment.objects.filter(program=program, released_by=None)
    standing = _by(rows.values_list("fund__code").annotate(sum=Sum("cents")))
    reserve = _memo(_transfers(program), "fund__code")
    funds = Fund.objects.filter(program=program).order_by("code").values_list("code", flat=True)
    return _compared(
        "In each fund, the reserve equals the commitments that stand.",
        {fund: (reserve[fund], standing[fund]) for fund in funds},
        "{cell}: {ledger} is in reserve, the commitments that stand add up to {rows}.",
    )


def _released(program: Program) -> Tally:
    """Compare what entries set aside and freed with the commitments that name them.

    A commitment names one entry that freed it: one freed twice has an entry that nothing names.
    """
    made = Commitment.objects.filter(program=program).order_by()
    added = _by(made.values_list("entry_id").annotate(sum=Sum("cents")))
    freed = made.exclude(released_by=None).values_list("released_by_id")
    added.subtract(_by(freed.annotate(sum=Sum("cents"))))
    reserve = _memo(_transfers(program), "entry_id")
    return _compared(
        "Each entry set aside or freed what its commitments say, and no commitment twice.",
        {entry: (reserve[entry], added[entry]) for entry in sorted(reserve.keys() | added.keys())},
        "Entry {cell}: {ledger} went into reserve, its commitments say {rows}.",
    )


def _compared(holds: str, cells: Mapping[Any, tuple[int, int]], sentence: str) -> Tally:
    wrong = (
        sentence.format(cell=cell, ledger=usd(ledger), rows=usd(rows))
        for cell, (ledger, rows) in cells.items()
        if ledger != rows
    )
    return Tally(holds=holds, count=len(cells), wrong=tuple(wrong))


def _transfers(program: Program) -> QuerySet[Transfer]:
    return Transfer.objects.filter(program=program).order_by()


def _memo(rows: QuerySet[Transfer], by: str) -> Counter[Any]:
    """Return what went into reserve less what came out of it, by one field of the transfers."""
    reserve = [code for code, account in load().items() if account.role == Role.RESERVE]
    inside = rows.filter(Q(debit__in=reserve) | Q(credit__in=reserve))
    cents = Choose(When(credit__in=reserve, then=F("cents")), default=-F("cents"))
    return _by(inside.values_list(by).annotate(sum=Sum(cents)))


def _by(rows: Iterable[tuple[Any, int]]) -> Counter[Any]:
    return Counter(dict(rows))
