"""The chart of accounts: what each account is, and what its balance counts toward.

A balance is debit positive everywhere. `spendable` accounts add up to a fund's free money: cash,
less what is owed, less what is set aside. Commitments are memo accounts, outside the statements.

A debit of an account that has a `spend` is a spend of that kind: a fund's rule is asked about it.
A debit of one that `releases` meets the purpose of restricted money: an expense when it is booked,
tools when they are placed in service, bought parts when they leave the shelf (not depreciation, as
the tool was released whole). Source: ASC 958-205-45, ASU 2016-14 (both seen second-hand).

>>> load()["1010"].name
'Checking account'
>>> load()["4030"].normal
<Side.CREDIT: 'credit'>
"""

from __future__ import annotations

import csv
from dataclasses import dataclass
from enum import StrEnum
from functools import cache
from pathlib import Path
from types import MappingProxyType
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

ACCOUNTS_FILE = Path(__file__).resolve().parents[2] / "fixtures" / "catalogue" / "accounts.csv"


class Side(StrEnum):
    """The side on which an account usually stands."""

    DEBIT = "debit"
    CREDIT = "credit"


class Kind(StrEnum):
    """Where an account stands in the statements; memo accounts stand in none."""

    ASSET = "asset"
    LIABILITY = "liability"
    NET_ASSETS = "net_assets"
    INCOME = "income"
    EXPENSE = "expense"
    MEMO = "memo"


class Role(StrEnum):
    """What the ledger does with an account beyond adding it up."""

    PLAIN = ""
    CASH = "cash"
    CONTRA = "contra"
    OPENING = "opening"
    INTERFUND = "interfund"
    RELEASED_FROM = "released_from"
    RELEASED_TO = "released_to"
    IN_KIND = "in_kind"
    COMMITMENT = "commitment"
    RESERVE = "reserve"


class Function(StrEnum):
    """What an expense is for. Source: ASC 958-720-45 (seen second-hand)."""

    NONE = ""
    PROGRAM = "program"
    MANAGEMENT = "management"
    FUNDRAISING = "fundraising"


DEBIT_KINDS = frozenset({Kind.ASSET, Kind.EXPENSE})
DEBIT_ROLES = frozenset({Role.COMMITMENT, Role.RELEASED_FROM})


@dataclass(frozen=True, kw_only=True)
class Account:
    """One account. `spendable`: its balance counts toward the free money of a fund.

    `spend` is a code of `rules.SpendKind`, or empty where a debit is no spend.
    """

    code: str
    name: str
    kind: Kind
    role: Role = Role.PLAIN
    function: Function = Function.NONE
    spend: str = ""
    releases: bool = False
    spendable: bool = False
    source: str = ""
    mark: str = ""

    @property
    def normal(self) -> Side:
        """The side on which the account usually stands."""
        if self.role == Role.CONTRA:
            return Side.CREDIT
        debit = self.kind in DEBIT_KINDS or self.role in DEBIT_ROLES
        return Side.DEBIT if debit else Side.CREDIT


Chart = MappingProxyType[str, Account]


def chart(accounts: Iterable[Account]) -> Chart:
    """Return the accounts by code, in the order of their codes.

    Raises:
        ValueError: two accounts have one code.
    """
    by_code: dict[str, Account] = {}
    for account in sorted(accounts, key=lambda account: account.code):
        if account.code in by_code:
            raise ValueError(f"Account {account.code} is there twice.")
        by_code[account.code] = account
    return MappingProxyType(by_code)


def with_role(accounts: Mapping[str, Account], role: Role) -> str:
    """Return the code of the first account that has `role`.

    Raises:
        ValueError: the chart has no such account.
    """
    for account in accounts.values():
        if account.role == role:
            return account.code
    raise ValueError(f"The chart of accounts has no account for “{role.value}”.")


@cache
def load() -> Chart:
    """Return the chart that the program ships (`fixtures/catalogue/accounts.csv`)."""
    with ACCOUNTS_FILE.open(encoding="utf-8", newline="") as file:
        return chart(
            Account(
                code=row["code"],
                name=row["name"],
                kind=Kind(row["kind"]),
                role=Role(row["role"]),
                function=Function(row["function"]),
                spend=row["spend"],
                releases=row["releases"] == "yes",
                spendable=row["spendable"] == "yes",
                source=row["source"],
                mark=row["mark"],
            )
            for row in csv.DictReader(file)
        )
