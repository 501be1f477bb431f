"""The ledger: what transfers add up to.

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

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping
    from datetime import date

Cell = tuple[str, str]  # fund code, account code


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


def _amount(transfer: Transfer, account: str) -> int:
    """Return what the transfer adds to the account, debit positive."""
    return transfer.cents * ((transfer.debit == account) - (transfer.credit == account))


def _summed(pairs: Iterable[tuple[str, int]]) -> dict[str, int]:
    """Return the sum for each code, by code, without zeros."""
    sums: Counter[str] = Counter()
    for code, cents in pairs:
        sums[code] += cents
    return {code: sums[code] for code in sorted(sums) if sums[code]}
