"""The statement of activities as rows: income, gifts in kind, releases, expenses by function.

Source: ASU 2020-07 (text-seen): gifts in kind stand on lines of their own. ASC 958-205-45 (seen
second-hand): a release moves between the columns, and all expenses stand without restriction.

>>> from datetime import date
>>> from program.ledger.chart import load
>>> from program.ledger.ledger import Balances
>>> from program.ledger.restrictions import Fund
>>> from program.statements.statements import Books
>>> books = Books(
...     chart=load(),
...     funds={"GEN": Fund(code="GEN", name="general fund")},
...     from_on=date(2026, 1, 1),
...     until_on=date(2026, 12, 31),
...     before=Balances(),
...     now=Balances(cells={("GEN", "1010"): 9000, ("GEN", "4010"): -9000}),
... )
>>> sheet = activities_sheet(books, books)
>>> [row.name for row in sheet.rows][:3]
['Revenue', '4010 Gifts of money from people', 'Revenue together']
>>> [figure.cents for figure in sheet.rows[-1].figures if figure]
[9000, 0, 9000, 9000]
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from program.ledger.chart import Kind, Role
from program.statements.functional import NAMES, classes, expenses, totals
from program.statements.rows import Row, Sheet, line, moved, over, plain, summed
from program.statements.statements import ActivityLine, activities, added
from shared.money import usd

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from program.statements.statements import Activities, Books

COLUMNS: Final = ("Without restriction", "With restriction", "Total", "Year before")
NOTE: Final = (
    "All expenses stand without restriction; restricted money moves there when what it is for is"
    " met, in the same entry as the spend."
)
NOTHING: Final = ActivityLine(account="", without=0, with_=0)


@dataclass(frozen=True, kw_only=True)
class _Years:
    """The lines of this span and of the same days a year before, by account."""

    books: Books
    this: Activities
    last: Activities
    now: Mapping[str, ActivityLine]
    then: Mapping[str, ActivityLine]

    def income(self, *, in_kind: bool) -> list[str]:
        """Return the accounts of income that moved in either year."""
        chart = self.books.chart
        return [
            code
            for code in sorted({*self.now, *self.then})
            if chart[code].kind == Kind.INCOME and (chart[code].role == Role.IN_KIND) == in_kind
        ]

    def of_roles(self, *roles: Role) -> tuple[ActivityLine, int]:
        """Return what accounts of some roles changed, this year and the year before."""
        chart = self.books.chart
        now = added(one for one in self.this.lines if chart[one.account].role in roles)
        then = added(one for one in self.last.lines if chart[one.account].role in roles)
        return now, then.total


def activities_sheet(books: Books, earlier: Books) -> Sheet:
    """Return the statement of activities, with the total of the same days a year before."""
    this, last = activities(books), activities(earlier)
    years = _Years(
        books=books,
        this=this,
        last=last,
        now={one.account: one for one in this.lines},
        then={one.account: one for one in last.lines},
    )
    return Sheet(
        name="activities",
        title="Activities",
        lead="What changed the net assets, with and without donor restriction.",
        sum=f"Changed by {usd(this.change.total)} to {usd(this.closing.total)}.",
        first="Line",
        columns=COLUMNS,
        rows=(
            *_revenue(years),
            *_between(years),
            *_expenses(books, earlier),
            _sum("Change in net assets", this.change, last.change.total),
            _sum("Net assets at the start", this.opening, last.opening.total),
            _sum("Net assets at the end", this.closing, last.closing.total),
        ),
        notes=(NOTE,),
    )


def _revenue(years: _Years) -> Iterable[Row]:
    """Return what came in: money first, then gifts in kind on lines of their own."""
    for title, in_kind in (("Revenue", False), ("Gifts in kind", True)):
        codes = years.income(in_kind=in_kind)
        if not codes:
            continue
        yield over(title, len(COLUMNS))
        for code in codes:
            yield _income(years, code)
        now = added(years.now[code] for code in codes if code in years.now)
        then = sum(years.then[code].total for code in codes if code in years.then)
        yield _sum(f"{title} together", now, then)


def _income(years: _Years, code: str) -> Row:
    now, then = years.now.get(code, NOTHING), years.then.get(code, NOTHING)
    total = moved(years.books, now.total, account=code)
    # The journal knows no column: a part of the account is no list of transfers.
    parts = [total if one == now.total else plain(one) for one in (now.without, now.with_)]
    return line(years.books.chart[code].name, [*parts, total, plain(then.total)], code=code)


def _between(years: _Years) -> Iterable[Row]:
    """Return what moved between the columns: releases, moves between funds, what is left."""
    pairs = (
        ("Released from restriction", (Role.RELEASED_FROM, Role.RELEASED_TO)),
        ("Moved between funds", (Role.INTERFUND,)),
    )
    for title, roles in pairs:
        now, then = years.of_roles(*roles)
        if now.without or now.with_ or then:
            yield line(title, [*map(plain, (now.without, now.with_, now.total, then))])


def _expenses(books: Books, earlier: Books) -> Iterable[Row]:
    """Return the expenses by function, as the figures that are taken off."""
    now, then = totals(expenses(books)), totals(expenses(earlier))
    yield over("Expenses", len(COLUMNS))
    for name in classes(expenses(books)):
        cents = now.get(name, 0)
        spent = moved(books, cents, function=name)
        figures = [spent, None, spent, plain(then.get(name, 0))]
        yield line(NAMES[name], figures)
    total = sum(now.values())
    yield summed("Expenses together", [total, None, total, sum(then.values())])


def _sum(label: str, one: ActivityLine, then: int) -> Row:
    return summed(label, [one.without, one.with_, one.total, then])
