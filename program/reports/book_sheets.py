"""The books as sheets that the importer reads back: funds, what they held, every transfer since.

Money set aside by plans is left out: a plan that is not there can't have set money aside.

>>> from datetime import date
>>> from program.ledger.chart import load
>>> from program.ledger.ledger import Balances
>>> held = Balances(cells={("GEN", "1010"): 5000, ("GEN", "4010"): -5000})
>>> [(move.debit, move.credit, move.cents)
...     for move in opening_moves(held, {"GEN": False}, load(), on=date(2026, 1, 1))]
[('1010', '3010', 5000)]
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from program.ledger.chart import Account, Kind, Role
from program.ledger.csv_text import Cell, amount

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Iterable, Iterator, Mapping

    from program.ledger.ledger import Balances

#: What a fund holds or owes; the rest of a year's accounts begins again at nothing.
HELD: Final = frozenset({Kind.ASSET, Kind.LIABILITY})

#: What the importer writes before the key of an entry that it makes.
IMPORTED: Final = "import:"

FUND_COLUMNS: Final = (
    "ref", "code", "name", "restricted", "purpose", "systems", "jobs", "part_kinds", "counties",
    "household_kinds", "spend_kinds", "two_over_usd", "from", "until", "opened", "lapses", "closed",
)  # fmt: skip
ENTRY_COLUMNS: Final = (
    "ref", "entry", "on", "what", "debit", "credit", "amount_usd", "fund", "function",
    "case_number", "memo", "fact",
)  # fmt: skip


@dataclass(frozen=True, kw_only=True)
class Moved:
    """One transfer as the database holds it, with the words of its entry."""

    entry: str
    on: dt.date
    what: str
    debit: str
    credit: str
    cents: int
    fund: str
    function: str = ""
    case: str = ""
    memo: str = ""
    fact: bool = False


EntryRow = tuple["Cell", ...]


def opening_moves(
    held: Balances, funds: Mapping[str, bool], accounts: Mapping[str, Account], *, on: dt.date
) -> list[Moved]:
    """Return the transfers that bring what each fund held and owed, against its net assets.

    `funds` says by code whether a fund is restricted.
    """
    opening = [code for code, one in accounts.items() if one.role == Role.OPENING]
    moves: list[Moved] = []
    for (fund, code), cents in sorted(held.cells.items()):
        if accounts[code].kind not in HELD:
            continue
        assets = opening[-1] if funds[fund] else opening[0]
        moves.append(
            Moved(
                entry=f"opening {on}",
                on=on,
                what=f"Held on {on}",
                debit=code if cents > 0 else assets,
                credit=assets if cents > 0 else code,
                cents=abs(cents),
                fund=fund,
                fact=True,  # a fund may have stood below zero
            )
        )
    return moves


def entry_rows(
    moved: Iterable[Moved], refs: Mapping[str, str], accounts: Mapping[str, Account]
) -> Iterator[EntryRow]:
    """Yield the rows of the sheet `ledger_entries`, numbered in the order in which they come.

    `refs` names the row of each fund by its code.
    """
    number = 0
    for one in moved:
        if accounts[one.debit].kind == Kind.MEMO:
            continue
        number += 1
        yield (
            f"t-{number}",
            one.entry.removeprefix(IMPORTED),
            one.on,
            one.what,
            one.debit,
            one.credit,
            amount(one.cents),
            refs[one.fund],
            one.function,
            one.case,
            one.memo,
            "yes" if one.fact else "",
        )
