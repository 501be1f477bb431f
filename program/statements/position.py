"""The statement of financial position: what the program owns, owes, and what is left of it.

Source: ASC 958-205-45-2, ASU 2016-14 (seen second-hand): net assets stand in two classes, with
and without donor restrictions; what the board set aside stays “without” and is named there.

>>> from program.ledger.chart import load
>>> from program.ledger.ledger import Balances
>>> from program.ledger.restrictions import Fund
>>> owned = Balances(cells={("GEN", "1010"): 9000, ("GEN", "4010"): -9000})
>>> found = position(owned, load(), {"GEN": Fund(code="GEN", name="general fund")}, reserve=2000)
>>> (found.net_assets, found.designated, found.undesignated)
(9000, 2000, 7000)
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import TYPE_CHECKING

from program.ledger.chart import Kind, Role
from program.statements.rows import Row, Sheet, capital, held, line, over, plain, summed
from shared.money import usd

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from program.ledger.chart import Account
    from program.ledger.ledger import Balances
    from program.ledger.restrictions import Fund
    from program.statements.statements import Books


@dataclass(frozen=True, kw_only=True)
class Position:
    """Cents by account code, assets debit positive and liabilities credit positive.

    Restricted funds stand in `purpose` or in `time` by their code.
    """

    assets: Mapping[str, int]
    liabilities: Mapping[str, int]
    without: int
    designated: int
    purpose: Mapping[str, int]
    time: Mapping[str, int]

    @property
    def undesignated(self) -> int:
        return self.without - self.designated

    @property
    def with_(self) -> int:
        """Net assets with donor restrictions."""
        return sum(self.purpose.values()) + sum(self.time.values())

    @property
    def net_assets(self) -> int:
        return self.without + self.with_


def position(
    owned: Balances, chart: Mapping[str, Account], funds: Mapping[str, Fund], *, reserve: int = 0
) -> Position:
    """Return the position; `reserve` cents of what is unrestricted are the board's designation."""
    kinds = {Kind.ASSET: Counter[str](), Kind.LIABILITY: Counter[str]()}
    bound: Counter[str] = Counter()
    without = 0
    for (fund, code), cents in owned.cells.items():
        account = chart[code]
        if account.kind in kinds:
            kinds[account.kind][code] += cents if account.kind == Kind.ASSET else -cents
            without += cents
        # What was released is bound no more, though its fund may still hold what it bought.
        spent = account.kind == Kind.EXPENSE or account.role == Role.RELEASED_TO
        if funds[fund].restricted and (spent or account.kind in kinds):
            bound[fund] += cents
    restricted = {fund: bound[fund] for fund in sorted(bound)}
    without -= bound.total()
    return Position(
        assets=_listed(kinds[Kind.ASSET]),
        liabilities=_listed(kinds[Kind.LIABILITY]),
        without=without,
        designated=max(0, min(reserve, without)),
        purpose={fund: n for fund, n in restricted.items() if n and not for_a_time(funds[fund])},
        time={fund: n for fund, n in restricted.items() if n and for_a_time(funds[fund])},
    )


def for_a_time(fund: Fund) -> bool:
    """Return whether the donor named only days, and nothing that the money is for."""
    limits = fund.rule
    purposes = (
        limits.systems,
        limits.jobs,
        limits.part_kinds,
        limits.kinds,
        limits.counties,
        limits.household_kinds,
    )
    return not any(purposes) and bool(limits.from_on or limits.until_on)


def _listed(cents: Counter[str]) -> dict[str, int]:
    return {code: cents[code] for code in sorted(cents) if cents[code]}


def position_sheet(books: Books, found: Position, earlier: Position) -> Sheet:
    """Return the statement of financial position, with the same day a year before."""
    names = {code: account.name for code, account in books.chart.items()}
    funds = {code: capital(fund.name) for code, fund in books.funds.items()}
    both = (found, earlier)
    owned = sum(found.assets.values())
    owed = [sum(one.liabilities.values()) for one in both]
    rows = [
        over("What it owns", 2),
        *_beside(books, names, [one.assets for one in both], "account"),
        summed("Assets", [sum(one.assets.values()) for one in both]),
        over("What it owes", 2),
        *_beside(books, names, [one.liabilities for one in both], "account"),
        summed("Liabilities", owed),
        *_without(both),
        over("With donor restriction, for a purpose", 2),
        *_beside(books, funds, [one.purpose for one in both], "fund"),
        summed("For a purpose together", [sum(one.purpose.values()) for one in both]),
        *_for_a_time(books, funds, both),
        summed("With donor restriction together", [one.with_ for one in both]),
        summed("Net assets", [one.net_assets for one in both]),
        summed(
            "Liabilities and net assets",
            [cents + one.net_assets for cents, one in zip(owed, both, strict=True)],
        ),
    ]
    return Sheet(
        name="position",
        title="Financial position",
        lead="What the program owns and owes at the end of the last day.",
        sum=f"Owns {usd(owned)}, owes {usd(owed[0])}: net assets of {usd(found.net_assets)}.",
        first="Line",
        columns=("This year", "Year before"),
        rows=tuple(rows),
        notes=(
            "The board’s reserve is the policy “reserve floor”; it is no donor’s restriction.",
            "A fund “for a time” is one whose donor named days and no purpose.",
        ),
    )


def _without(both: Sequence[Position]) -> list[Row]:
    """Return what no donor restricts, with the board's reserve named apart."""
    return [
        over("Without donor restriction", 2),
        line("Kept by the board as a reserve", [plain(one.designated) for one in both]),
        line("For any purpose", [plain(one.undesignated) for one in both]),
        summed("Without donor restriction together", [one.without for one in both]),
    ]


def _for_a_time(books: Books, names: Mapping[str, str], both: Sequence[Position]) -> list[Row]:
    """Return the funds whose donors named days alone; most programs have none."""
    rows = [*_beside(books, names, [one.time for one in both], "fund")]
    if not rows:
        return []
    together = summed("For a time together", [sum(one.time.values()) for one in both])
    return [over("With donor restriction, for a time", 2), *rows, together]


def _beside(
    books: Books,
    names: Mapping[str, str],
    both: Sequence[Mapping[str, int]],
    of: str,
) -> Iterable[Row]:
    """Return a row for each code that has a figure now or had one a year before."""
    this, last = both
    for code in sorted({*this, *last}):
        now = held(books, this.get(code, 0), **{of: code})
        yield line(names[code], [now, plain(last.get(code, 0))], code=code)
