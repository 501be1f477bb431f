"""What the rows of a budget must hold, before anything is written.

>>> from datetime import date
>>> from program.importing.known import Facts, World
>>> from program.importing.rows import Row
>>> row = Row(sheet=SHEET, number=2, ref="bl1", values={
...     "year_of": date(2026, 1, 1), "account": "1010", "amount_usd": 120_00})
>>> [fault.sentence for fault in check([row], World(rows={}, facts=Facts()))]
['Account 1010 Checking account is neither income nor a cost.']
>>> months(row)[0]
1000

A row names its year by a day of it, so that a sheet that is moved in time keeps its meaning.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from program.budget.variance import Months, spread
from program.ledger.chart import Kind, load
from program.ledger.fiscal import fiscal_span, fiscal_year
from shared.money import LIMIT_CENTS, usd

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from program.importing.known import World
    from program.importing.rows import Fault, Row
    from program.ledger.restrictions import Fund

SHEET: Final = "budget_lines"
EACH: Final = tuple(f"m{number:02}_usd" for number in range(1, 13))


def months(row: Row) -> Months:
    """Return a row's twelve amounts: as they stand, or the year's amount spread evenly."""
    if _has_months(row):
        return tuple(row[name] or 0 for name in EACH)
    return spread(row["amount_usd"] or 0)


def check(rows: Iterable[Row], world: World) -> list[Fault]:
    """Return every fault of the new rows of a budget."""
    faults: list[Fault] = []
    seen: dict[tuple[int, str, str, str], Row] = {}
    for row in rows:
        found = [*_account(row), *_amounts(row)]
        if row["year_of"] and row["account"]:
            found += _of_year(row, world, seen)
        faults += [fault for fault in found if fault.column not in row.broken]
    return faults


def _account(row: Row) -> Iterator[Fault]:
    account = load().get(row["account"] or "")
    if account is None:
        return
    if account.kind not in (Kind.INCOME, Kind.EXPENSE):
        yield row.fault(
            "account",
            f"Account {account.code} {account.name} is neither income nor a cost.",
            "Give an account from 4010 on.",
        )
    elif row["function"] and account.kind == Kind.INCOME:
        yield row.fault(
            "function",
            f"Account {account.code} {account.name} is income; only costs have a function.",
            "Empty function.",
        )


def _amounts(row: Row) -> Iterator[Fault]:
    """Refuse a row without an amount, with two that differ, or with one that can't be kept."""
    if row.broken & {"amount_usd", *EACH}:
        return
    annual = row["amount_usd"]
    if annual is None and not _has_months(row):
        yield row.fault(
            "amount_usd", "The row has no amount.", "Fill amount_usd, or a month at least."
        )
        return
    total = sum(months(row))
    if annual is not None and annual != total:
        yield row.fault(
            "amount_usd",
            f"The months make {usd(total)}, amount_usd is {usd(annual)}.",
            "Correct a month, or empty amount_usd.",
        )
    if total >= LIMIT_CENTS:
        yield row.fault(
            "amount_usd", f"{usd(total)} is more than this ledger can hold.", "Correct the amounts."
        )


def _of_year(row: Row, world: World, seen: dict[tuple[int, str, str, str], Row]) -> Iterator[Fault]:
    """Refuse a line that the year has already, and one of a fund that was closed before it."""
    first_month = world.facts.first_month
    year = fiscal_year(row["year_of"], first_month=first_month)
    fund = world.fund(row["fund"]) if row["fund"] else None
    if row["fund"] and fund is None:
        return
    key = (year, row["account"], fund.code if fund else "", row["function"] or "")
    if key in seen:
        yield row.fault(
            "account",
            f"Row {seen[key].number} is of the same year, account, fund and function.",
            "Take one of the two rows out, or correct it.",
        )
    elif key in world.facts.budget:
        yield row.fault(
            "account",
            f"The budget of {year} has a line of this account, fund and function already.",
            "Take the row out, or change the line on its page.",
        )
    seen.setdefault(key, row)
    if fund:
        yield from _closed(row, fund, year, first_month)


def _closed(row: Row, fund: Fund, year: int, first_month: int) -> Iterator[Fault]:
    first_on, _ = fiscal_span(year, first_month=first_month)
    if fund.closed_on and fund.closed_on < first_on:
        yield row.fault(
            "fund",
            f"The {fund.name} was closed on {fund.closed_on}, before the year.",
            "Name another fund, or none.",
        )


def _has_months(row: Row) -> bool:
    return any(row[name] is not None for name in EACH)
