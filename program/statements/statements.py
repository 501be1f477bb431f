"""The statements that follow from what the funds held before a span and at its end.

Nothing here reads a transfer: kept balances are enough, however many transfers stand behind them.

>>> from datetime import date
>>> from program.ledger.chart import load
>>> from program.ledger.ledger import Balances
>>> from program.ledger.restrictions import Fund
>>> books = Books(
...     chart=load(),
...     funds={"GEN": Fund(code="GEN", name="general fund")},
...     from_on=date(2026, 1, 1),
...     until_on=date(2026, 12, 31),
...     before=Balances(),
...     now=Balances(cells={("GEN", "1010"): 9000, ("GEN", "4010"): -9000}),
... )
>>> [(line.account, line.debit, line.credit) for line in trial_balance(books)]
[('1010', 9000, 0), ('4010', 0, 9000)]
>>> activities(books).change.total
9000
"""

from __future__ import annotations

from collections import Counter, defaultdict
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from program.ledger.chart import Kind, Role
from program.ledger.ledger import Balances

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping
    from datetime import date

    from program.ledger.chart import Account
    from program.ledger.restrictions import Fund

FLOW_KINDS = frozenset({Kind.NET_ASSETS, Kind.INCOME, Kind.EXPENSE})
RELEASES = frozenset({Role.RELEASED_FROM, Role.RELEASED_TO})
_PART = {Kind.INCOME: "income", Kind.EXPENSE: "spending", Kind.NET_ASSETS: "moved"}


@dataclass(frozen=True, kw_only=True)
class Books:
    """What the statements of a span are computed from, in cents, debit positive.

    `before` is what the funds held when the span began, `now` at its end; `functions` what moved
    within it by fund, account and functional class.
    """

    chart: Mapping[str, Account]
    funds: Mapping[str, Fund]
    from_on: date
    until_on: date
    before: Balances
    now: Balances
    functions: Mapping[tuple[str, str, str], int] = field(default_factory=dict)

    @property
    def span(self) -> Balances:
        """What the span changed."""
        cells = Counter(dict(self.now.cells))
        cells.subtract(dict(self.before.cells))
        return Balances(cells={cell: cents for cell, cents in sorted(cells.items()) if cents})


@dataclass(frozen=True, kw_only=True)
class TrialLine:
    """One account in the trial balance: its balance stands on one side, the other is zero."""

    account: str
    debit: int
    credit: int


@dataclass(frozen=True, kw_only=True)
class FundLine:
    """One fund over a span: `opening + income - spending + moved == closing`.

    `released` is what left its restriction; `free` is cash, less what is owed, less `committed`.
    """

    fund: str
    opening: int
    income: int
    spending: int
    moved: int
    closing: int
    released: int
    committed: int
    free: int


@dataclass(frozen=True, kw_only=True)
class ActivityLine:
    """One account in the statement of activities, credit positive, by donor restriction."""

    account: str
    without: int
    with_: int

    @property
    def total(self) -> int:
        return self.without + self.with_


@dataclass(frozen=True, kw_only=True)
class Activities:
    """The statement of activities: net assets at the start, what changed them, at the end.

    Source: ASC 958-205-45, 958-605-45 (seen second-hand): all expenses stand in “without”, and
    restricted money moves there when it is released.
    """

    opening: ActivityLine
    lines: tuple[ActivityLine, ...]

    @property
    def change(self) -> ActivityLine:
        return added(self.lines)

    @property
    def closing(self) -> ActivityLine:
        return added((self.opening, self.change))


def trial_balance(books: Books) -> tuple[TrialLine, ...]:
    """Return each account that has a balance at the end of the span, by code."""
    return tuple(
        TrialLine(account=code, debit=max(cents, 0), credit=max(-cents, 0))
        for code, cents in books.now.accounts().items()
    )


def activities(books: Books) -> Activities:
    """Return the statement of activities; opening balances count as there at the start.

    Raises:
        KeyError: a balance is of an account or fund that isn't given.
    """
    opening, lines = _activity_lines(books, books.before), _activity_lines(books, books.span)
    opened = [line for line in lines if books.chart[line.account].role == Role.OPENING]
    changes = [line for line in lines if books.chart[line.account].role != Role.OPENING]
    return Activities(opening=added((*opening, *opened)), lines=tuple(changes))


def fund_lines(books: Books) -> tuple[FundLine, ...]:
    """Return how each fund came from its opening to its closing balance, by code."""
    earlier, changes = _by_fund(books.before), _by_fund(books.span)
    return tuple(
        _fund_line(books, code, earlier.get(code, {}), changes.get(code, {}))
        for code in sorted(books.funds)
    )


def unreleased(books: Books) -> dict[str, int]:
    """Return what each restricted fund has spent and not yet released, by code, without zeros.

    A fund may have released more: its time had come before it spent anything.
    """
    open_: Counter[str] = Counter()
    for (fund, code), cents in books.now.cells.items():
        account = books.chart[code]
        if books.funds[fund].restricted and (account.role == Role.RELEASED_TO or account.releases):
            open_[fund] += cents
    return {code: open_[code] for code in sorted(open_) if open_[code] > 0}


def added(lines: Iterable[ActivityLine]) -> ActivityLine:
    """Return the sum of lines, of no account."""
    without = with_ = 0
    for line in lines:
        without, with_ = without + line.without, with_ + line.with_
    return ActivityLine(account="", without=without, with_=with_)


def _activity_lines(books: Books, held: Balances) -> list[ActivityLine]:
    """Return what each account adds to net assets, by the column in which it stands."""
    columns: defaultdict[str, dict[bool, int]] = defaultdict(lambda: {False: 0, True: 0})
    for (fund, code), cents in held.cells.items():
        account = books.chart[code]
        if account.kind in FLOW_KINDS:
            spent = account.kind == Kind.EXPENSE or account.role == Role.RELEASED_TO
            columns[code][books.funds[fund].restricted and not spent] -= cents
    return [
        ActivityLine(account=code, without=column[False], with_=column[True])
        for code, column in sorted(columns.items())
    ]


def _by_fund(held: Balances) -> dict[str, dict[str, int]]:
    """Return the balances of each fund by account; one pass over all of them."""
    found: defaultdict[str, dict[str, int]] = defaultdict(dict)
    for (fund, code), cents in held.cells.items():
        found[fund][code] = cents
    return found


def _fund_line(
    books: Books, fund: str, earlier: Mapping[str, int], changes: Mapping[str, int]
) -> FundLine:
    """Return how one fund came from its opening to its closing balance."""
    chart = books.chart
    parts = Counter(
        opening=-sum(cents for code, cents in earlier.items() if chart[code].kind in FLOW_KINDS)
    )
    for code, cents in changes.items():
        account = chart[code]
        if account.kind in FLOW_KINDS:
            parts["opening" if account.role == Role.OPENING else _PART[account.kind]] -= cents
    now = Counter(dict(earlier))
    now.update(dict(changes))
    return FundLine(
        fund=fund,
        opening=parts["opening"],
        income=parts["income"],
        spending=-parts["spending"],
        moved=parts["moved"],
        closing=parts.total(),
        released=-_of_role(changes, chart, Role.RELEASED_TO),
        committed=-_of_role(now, chart, Role.RESERVE),
        free=sum(cents for code, cents in now.items() if chart[code].spendable),
    )


def _of_role(held: Mapping[str, int], chart: Mapping[str, Account], role: Role) -> int:
    return sum(cents for code, cents in held.items() if chart[code].role == role)
