"""What each fund holds, may pay for, and has to be spent by."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, overload

from django.db.models import BigIntegerField, Case, F, Sum, Value, When

from program.funds.lapsing import will_lapse
from program.ledger import restrictions
from program.ledger.chart import Kind, Role, load, with_role
from program.ledger.kept_models import Turnover
from program.ledger.models import Fund, Transfer
from program.ledger.posting import overdrawn
from program.ledger.queries import free_cents, pure_funds
from shared.money import usd

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Iterator

    from django.db.models import QuerySet
    from django.db.models.expressions import CombinedExpression

    from program.ledger import ledger
    from shared.accounts.models import Program
    from shared.problems import Problem

CHUNK = 2_000  # transfers read at a time for a spreadsheet


@dataclass(frozen=True, kw_only=True)
class FundRow:
    """One fund as a list shows it: what is there, of that set aside, and what is free."""

    pk: int
    name: str
    limits: str
    lapses_on: dt.date | None
    closed_on: dt.date | None
    there: int
    set_aside: int
    free: int


def fund_rows(program: Program, balances: ledger.Balances) -> list[FundRow]:
    """Return every fund with its money: cash less debts, what is set aside of it, the rest."""
    funds = list(Fund.objects.filter(program=program))
    free = free_cents(funds, balances)
    rows = []
    for fund in funds:
        set_aside = set_aside_cents(fund, balances)
        rows.append(
            FundRow(
                pk=fund.pk,
                name=fund.name[:1].upper() + fund.name[1:],
                limits=limits_in_words(fund),
                lapses_on=None if "until_on" in fund.rule else fund.lapses_on,
                closed_on=fund.closed_on,
                there=free[fund.code] + set_aside,
                set_aside=set_aside,
                free=free[fund.code],
            )
        )
    return rows


def set_aside_cents(fund: Fund, balances: ledger.Balances) -> int:
    """Return what approved plans have set aside in a fund."""
    return -balances.account(with_role(load(), Role.RESERVE), fund.code)


def deadline(fund: Fund) -> dt.date | None:
    """Return the last day on which a fund pays: its lapse or the end of its rule, the earlier."""
    days = (fund.lapses_on, restrictions.from_dict(fund.rule).until_on)
    return min((day for day in days if day), default=None)


def lapse_flags(program: Program, balances: ledger.Balances, today: dt.date) -> list[Problem]:
    """Return what to say of each open fund whose unspent money lapses soon, the next first.

    What is set aside counts too: it is not spent yet.
    """
    funds = list(Fund.objects.filter(program=program, closed_on=None))
    free = free_cents(funds, balances)
    dated = sorted((day, fund.pk, fund) for fund in funds if (day := deadline(fund)))
    flags = (
        will_lapse(fund.name, free[fund.code] + set_aside_cents(fund, balances), day, today)
        for day, _pk, fund in dated
    )
    return [flag for flag in flags if flag]


def fund_flags(program: Program, balances: ledger.Balances) -> list[Problem]:
    """Return a flag for each fund that a recorded fact has taken below zero."""
    funds = pure_funds(Fund.objects.filter(program=program))
    return overdrawn(funds.values(), balances, load())


def limits_in_words(fund: Fund) -> str:
    """Return what a fund may pay for, in sentences."""
    sentences = [str(one) for one in restrictions.in_words(restrictions.from_dict(fund.rule))]
    if sentences:
        return " ".join(sentences)
    return fund.purpose or ("For a purpose." if fund.restricted else "Anything the program does.")


def left_in(fund: Fund, balances: ledger.Balances) -> list[str]:
    """Return what keeps a fund from being closed: each asset, debt and commitment it still has."""
    chart = load()
    kinds = (Kind.ASSET, Kind.LIABILITY)
    found = [
        f"{usd(abs(cents))} on {code} {chart[code].name}"
        for code, cents in sorted(balances.accounts(fund.code).items())
        if cents and chart[code].kind in kinds
    ]
    if aside := set_aside_cents(fund, balances):
        found.append(f"{usd(aside)} set aside by approved plans")
    return found


def count_of_transfers(program: Program, fund: Fund | None = None) -> int:
    """Return how many transfers there are, of all funds or of one, from the kept turnovers."""
    rows = Turnover.objects.filter(program=program)
    sides = rows.filter(fund=fund) if fund else rows
    # Each transfer has two sides, and both stand in its fund.
    return (sides.aggregate(sides=Sum("count"))["sides"] or 0) // 2


@dataclass(frozen=True, kw_only=True)
class MoneyLine:
    """One transfer of a fund: what it does to the free money, and what is free after it."""

    entry_id: int
    on: dt.date
    what: str
    debit: str
    credit: str
    cents: int
    change: int
    free: int


class Book:
    """A fund's transfers, newest first, with the free money after each.

    Only the page that is asked for is read: from what is free now, backwards. A page is two
    queries however many transfers the fund has.
    """

    def __init__(self, fund: Fund, free: int) -> None:
        self.fund, self.free = fund, free

    @cached_property
    def _count(self) -> int:
        return count_of_transfers(self.fund.program, self.fund)

    def __len__(self) -> int:
        return self._count

    def __iter__(self) -> Iterator[MoneyLine]:
        free = self.free
        for start in range(0, len(self), CHUNK):
            lines = self._lines(start, start + CHUNK, free)
            yield from lines
            free = lines[-1].free - lines[-1].change if lines else free

    @overload
    def __getitem__(self, key: int) -> MoneyLine: ...

    @overload
    def __getitem__(self, key: slice) -> list[MoneyLine]: ...

    def __getitem__(self, key: int | slice) -> MoneyLine | list[MoneyLine]:
        if isinstance(key, int):
            return self[slice(key, key + 1)][0]
        start, stop, _step = key.indices(len(self))
        newer = (
            self._rows()
            .values("debit", "credit", "cents")[:start]
            .aggregate(sum=Sum(_change()))["sum"]
            if start
            else 0
        )
        return self._lines(start, stop, self.free - newer)

    def _rows(self) -> QuerySet[Transfer]:
        rows = Transfer.objects.filter(fund=self.fund)
        return rows.order_by("-entry__on", "-entry_id", "-pk")

    def _lines(self, start: int, stop: int, free: int) -> list[MoneyLine]:
        lines, spendable = [], _spendable()
        for row in self._rows().select_related("entry")[start:stop]:
            change = row.cents * ((row.debit in spendable) - (row.credit in spendable))
            lines.append(
                MoneyLine(
                    entry_id=row.entry_id,
                    on=row.entry.on,
                    what=row.entry.what,
                    debit=row.debit,
                    credit=row.credit,
                    cents=row.cents,
                    change=change,
                    free=free,
                )
            )
            free -= change
        return lines


def _spendable() -> frozenset[str]:
    """Return the accounts that count toward free money."""
    return frozenset(code for code, account in load().items() if account.spendable)


def _change() -> CombinedExpression:
    """Return what a transfer does to the free money of its fund, for the database."""
    nothing, spendable = Value(0, output_field=BigIntegerField()), _spendable()
    into = Case(When(debit__in=spendable, then=F("cents")), default=nothing)
    out = Case(When(credit__in=spendable, then=F("cents")), default=nothing)
    return into - out
