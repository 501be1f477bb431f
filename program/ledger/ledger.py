"""The ledger: what transfers add up to, and the statements that follow from them.

A transfer moves whole cents from one account to another inside one fund, so that nothing can be
out of balance. Balances are debit positive. What an entry may hold is asked in `posting`.

>>> from datetime import date
>>> gift = Transfer(
...     entry="g1", on=date(2026, 11, 2), debit="1010", credit="4010", cents=9000, fund="GEN"
... )
>>> balances([gift]).account("1010"), balances([gift]).account("4010")
(9000, -9000)
>>> [line.cents for line in running([gift], "1010")]
[9000]
"""

from __future__ import annotations

from collections import Counter, defaultdict
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from program.ledger.chart import Account, Kind, Role

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping
    from datetime import date

    from program.ledger.restrictions import Fund

Cell = tuple[str, str]  # fund code, account code

FLOW_KINDS = frozenset({Kind.NET_ASSETS, Kind.INCOME, Kind.EXPENSE})
_PART = {Kind.INCOME: "income", Kind.EXPENSE: "spending", Kind.NET_ASSETS: "moved"}


@dataclass(frozen=True, kw_only=True)
class Transfer:
    """One movement: `cents` from the account `credit` to the account `debit`, in one fund."""

    entry: str
    on: date
    debit: str
    credit: str
    cents: int
    fund: str


@dataclass(frozen=True, kw_only=True)
class Entry:
    """One event with all its transfers, in the order in which they were written."""

    key: str
    on: date
    transfers: tuple[Transfer, ...]


@dataclass(frozen=True, kw_only=True)
class Balances:
    """What each fund holds on each account, in cents, debit positive; zeros are left out."""

    cells: Mapping[Cell, int] = field(default_factory=dict)

    def account(self, code: str, fund: str | None = None) -> int:
        """Return the balance of an account, over all funds or in one."""
        return sum(
            cents
            for (of, account), cents in self.cells.items()
            if account == code and fund in (None, of)
        )

    def accounts(self, fund: str | None = None) -> dict[str, int]:
        """Return the balance of each account by code, over all funds or in one."""
        return _summed(
            (code, cents) for (of, code), cents in self.cells.items() if fund in (None, of)
        )


@dataclass(frozen=True, kw_only=True)
class TrialLine:
    """One account in the trial balance: its balance stands on one side, the other is zero."""

    account: str
    debit: int
    credit: int


@dataclass(frozen=True, kw_only=True)
class FundLine:
    """One fund over a span: `opening + income - spending + moved == closing`.

    `free` is cash, less what is owed, less `committed`.
    """

    fund: str
    opening: int
    income: int
    spending: int
    moved: int
    closing: int
    committed: int
    free: int


@dataclass(frozen=True, kw_only=True)
class ActivityLine:
    """One account in the statement of activities, credit positive, by donor restriction."""

    account: str
    without: int
    with_: int


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
        return _added(self.lines)

    @property
    def closing(self) -> ActivityLine:
        return _added((self.opening, self.change))


@dataclass(frozen=True, kw_only=True)
class Statements:
    """The statements of one span.

    `unreleased`: by restricted fund, the cents spent for which no release is booked yet.
    """

    trial_balance: tuple[TrialLine, ...]
    funds: tuple[FundLine, ...]
    activities: Activities
    unreleased: Mapping[str, int]

    @property
    def total_debits(self) -> int:
        return sum(line.debit for line in self.trial_balance)

    @property
    def total_credits(self) -> int:
        return sum(line.credit for line in self.trial_balance)


@dataclass(frozen=True, kw_only=True)
class RunningLine:
    """One transfer as an account's book shows it: its signed amount and the balance after it."""

    transfer: Transfer
    amount: int
    cents: int


def entries(transfers: Iterable[Transfer]) -> list[Entry]:
    """Return the transfers grouped by entry, by day and then by key."""
    groups: defaultdict[str, list[Transfer]] = defaultdict(list)
    for transfer in transfers:
        groups[transfer.entry].append(transfer)
    grouped = (
        Entry(key=key, on=group[0].on, transfers=tuple(group)) for key, group in groups.items()
    )
    return sorted(grouped, key=lambda entry: (entry.on, entry.key))


def balances(transfers: Iterable[Transfer]) -> Balances:
    """Return what the transfers add up to, by fund and account, in any order of them."""
    cells: defaultdict[Cell, int] = defaultdict(int)
    for transfer in transfers:
        cells[transfer.fund, transfer.debit] += transfer.cents
        cells[transfer.fund, transfer.credit] -= transfer.cents
    return Balances(cells={cell: cents for cell, cents in sorted(cells.items()) if cents})


def running(
    transfers: Iterable[Transfer], account: str, fund: str | None = None
) -> list[RunningLine]:
    """Return an account's book: each transfer that touches it, with the balance after it."""
    lines: list[RunningLine] = []
    cents = 0
    for transfer in sorted(transfers, key=lambda transfer: (transfer.on, transfer.entry)):
        amount = _amount(transfer, account)
        if amount and fund in (None, transfer.fund):
            cents += amount
            lines.append(RunningLine(transfer=transfer, amount=amount, cents=cents))
    return lines


def statements(
    transfers: Iterable[Transfer],
    chart: Mapping[str, Account],
    funds: Mapping[str, Fund],
    *,
    from_on: date,
    until_on: date,
) -> Statements:
    """Return the statements for the span; both days belong to it, later transfers are left out.

    Raises:
        KeyError: a transfer names an account or fund that isn't given.
    """
    upto = [transfer for transfer in transfers if transfer.on <= until_on]
    now = balances(upto)
    before = balances(transfer for transfer in upto if transfer.on < from_on)
    span = balances(transfer for transfer in upto if transfer.on >= from_on)
    opening, lines = _activity_lines(before, chart, funds), _activity_lines(span, chart, funds)
    opened = [line for line in lines if chart[line.account].role == Role.OPENING]
    changes = [line for line in lines if chart[line.account].role != Role.OPENING]
    return Statements(
        trial_balance=tuple(
            TrialLine(account=code, debit=max(cents, 0), credit=max(-cents, 0))
            for code, cents in now.accounts().items()
        ),
        funds=tuple(_fund_line(code, before, span, chart) for code in sorted(funds)),
        activities=Activities(opening=_added((*opening, *opened)), lines=tuple(changes)),
        unreleased={
            code: _unreleased(now.accounts(code), chart)
            for code in sorted(funds)
            if funds[code].restricted
        },
    )


def _activity_lines(
    held: Balances, chart: Mapping[str, Account], funds: Mapping[str, Fund]
) -> list[ActivityLine]:
    """Return what each account adds to net assets, by the column in which it stands."""
    columns: defaultdict[str, dict[bool, int]] = defaultdict(lambda: {False: 0, True: 0})
    for (fund, code), cents in held.cells.items():
        account = chart[code]
        if account.kind in FLOW_KINDS:
            spent = account.kind == Kind.EXPENSE or account.role == Role.RELEASED_TO
            columns[code][funds[fund].restricted and not spent] -= cents
    return [
        ActivityLine(account=code, without=column[False], with_=column[True])
        for code, column in sorted(columns.items())
    ]


def _fund_line(
    fund: str, before: Balances, span: Balances, chart: Mapping[str, Account]
) -> FundLine:
    """Return how one fund came from its opening to its closing balance."""
    earlier, changes = before.accounts(fund), span.accounts(fund)
    parts: Counter[str] = Counter()
    parts["opening"] = -sum(
        cents for code, cents in earlier.items() if chart[code].kind in FLOW_KINDS
    )
    for code, cents in changes.items():
        account = chart[code]
        if account.kind in FLOW_KINDS:
            parts["opening" if account.role == Role.OPENING else _PART[account.kind]] -= cents
    now = _summed([*earlier.items(), *changes.items()])
    return FundLine(
        fund=fund,
        opening=parts["opening"],
        income=parts["income"],
        spending=-parts["spending"],
        moved=parts["moved"],
        closing=parts.total(),
        committed=-sum(cents for code, cents in now.items() if chart[code].role == Role.RESERVE),
        free=sum(cents for code, cents in now.items() if chart[code].spendable),
    )


def _unreleased(held: Mapping[str, int], chart: Mapping[str, Account]) -> int:
    """Return what a fund has spent and not yet released; a release stands on the credit side."""
    return sum(
        cents
        for code, cents in held.items()
        if chart[code].kind == Kind.EXPENSE or chart[code].role == Role.RELEASED_TO
    )


def _added(lines: Iterable[ActivityLine]) -> ActivityLine:
    without = with_ = 0
    for line in lines:
        without, with_ = without + line.without, with_ + line.with_
    return ActivityLine(account="", without=without, with_=with_)


def _amount(transfer: Transfer, account: str) -> int:
    """Return what the transfer adds to the account, debit positive."""
    return transfer.cents * ((transfer.debit == account) - (transfer.credit == account))


def _summed(pairs: Iterable[tuple[str, int]]) -> dict[str, int]:
    """Return the sum for each code, by code, without zeros."""
    sums: Counter[str] = Counter()
    for code, cents in pairs:
        sums[code] += cents
    return {code: sums[code] for code in sorted(sums) if sums[code]}
