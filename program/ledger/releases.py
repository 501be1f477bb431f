"""Releases from restriction: what an entry's spend frees of a donor's restriction.

A restriction is met when the money is spent for its purpose: the same cents move from 3210 to 3220
inside the fund. What an entry releases by itself is not released again; a refund takes it back.

Source: ASC 958-205-45 and ASU 2016-14 (both seen second-hand).

>>> from program.ledger.chart import load
>>> tires = Part(debit="6010", credit="1010", cents=31800, fund="PRU", case=7)
>>> owed([tires], load(), {"PRU"})
[Part(debit='3210', credit='3220', cents=31800, fund='PRU', case=7)]
>>> owed([tires], load(), set())
[]
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import TYPE_CHECKING

from program.ledger.chart import Kind, Role, with_role

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Mapping

    from program.ledger.chart import Account


@dataclass(frozen=True, kw_only=True)
class Part:
    """One transfer of an entry, as a release looks at it. `case` is the key of its case."""

    debit: str
    credit: str
    cents: int
    fund: str
    case: int | None = None


def owed(
    parts: Iterable[Part], chart: Mapping[str, Account], restricted: Collection[str]
) -> list[Part]:
    """Return the transfers that release what these spend in the `restricted` funds, by code.

    Empty when nothing is spent there or the entry releases it itself.
    """
    spent: Counter[tuple[str, int | None]] = Counter()
    freed: Counter[tuple[str, int | None]] = Counter()
    for part in parts:
        if part.fund in restricted:
            spent[part.fund, part.case] += spent_by(part, chart)
            freed[part.fund, part.case] += _freed_by(part, chart)
    found = []
    for fund in dict.fromkeys(code for code, _ in spent):
        cells = {
            case: (cents, freed[fund, case])
            for (code, case), cents in spent.items()
            if code == fund
        }
        for case, cents in _left(cells).items():
            found.append(_release(fund, case, cents, chart))
    return found


def spent_by(part: Part, chart: Mapping[str, Account]) -> int:
    """Return the cents of a transfer that meet a purpose; negative for a refund.

    What is sold or written off from the tools frees nothing again: it was released in service.
    """
    debit, credit = chart[part.debit], chart[part.credit]
    gained = debit.releases and credit.role != Role.OPENING
    undone = credit.releases and (credit.kind == Kind.EXPENSE or debit.releases)
    return part.cents * (gained - undone)


def _freed_by(part: Part, chart: Mapping[str, Account]) -> int:
    """Return the cents that a transfer releases; negative where it takes a release back."""
    role = Role.RELEASED_FROM
    return part.cents * ((chart[part.debit].role == role) - (chart[part.credit].role == role))


def _left(cells: Mapping[int | None, tuple[int, int]]) -> dict[int | None, int]:
    """Return by case what is spent and not released; releases of no spent case count for any."""
    left: dict[int | None, int] = {}
    loose = 0
    for case, (spent, freed) in cells.items():
        rest = spent - freed
        covered = spent == 0 or (spent > 0) != (rest > 0)
        loose -= rest if covered else 0
        left[case] = 0 if covered else rest
    for case, rest in left.items():
        if rest and (rest > 0) == (loose > 0):
            cut = min(rest, loose) if rest > 0 else max(rest, loose)
            left[case], loose = rest - cut, loose - cut
    return {case: rest for case, rest in left.items() if rest}


def _release(fund: str, case: int | None, cents: int, chart: Mapping[str, Account]) -> Part:
    pair = with_role(chart, Role.RELEASED_FROM), with_role(chart, Role.RELEASED_TO)
    debit, credit = pair if cents > 0 else pair[::-1]
    return Part(debit=debit, credit=credit, cents=abs(cents), fund=fund, case=case)
