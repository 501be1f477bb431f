"""What each fund holds, may pay for, and has to be spent by."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from program.ledger import restrictions
from program.ledger.chart import Role, load, with_role
from program.ledger.models import Fund, Transfer
from program.ledger.posting import overdrawn
from program.ledger.queries import free_cents, pure_funds

if TYPE_CHECKING:
    import datetime as dt

    from program.ledger import ledger
    from shared.accounts.models import Program
    from shared.problems import Problem


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
    reserve = with_role(load(), Role.RESERVE)
    rows = []
    for fund in funds:
        set_aside = -balances.account(reserve, fund.code)
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


def money_lines(fund: Fund) -> list[MoneyLine]:
    """Return a fund's transfers, newest first, with the free money after each; one query."""
    spendable = {code for code, account in load().items() if account.spendable}
    rows = Transfer.objects.filter(fund=fund).order_by("entry__on", "entry_id", "pk")
    free, lines = 0, []
    for row in rows.select_related("entry"):
        change = row.cents * ((row.debit in spendable) - (row.credit in spendable))
        free += change
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
    return lines[::-1]
