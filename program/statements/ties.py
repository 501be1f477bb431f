"""Whether the statements of a span agree with each other, to the cent.

>>> tie = Tie(what=say("Debits equal credits."), left=900, right=700)
>>> tie.holds, tie.out
(False, 200)
>>> str(tie.sentence)
'Out by $2.00: $9.00 and $7.00.'
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from program.ledger.chart import Kind, Role
from program.statements.functional import expenses, totals
from shared.money import usd
from shared.say import Say, say

if TYPE_CHECKING:
    from collections.abc import Sequence

    from program.statements.disclosure import Gift
    from program.statements.outlays import Outlays
    from program.statements.position import Position
    from program.statements.statements import Activities, Books, FundLine, TrialLine


@dataclass(frozen=True, kw_only=True)
class Tie:
    """Two figures that have to be the same; `what` says which."""

    what: Say
    left: int
    right: int
    where: str = ""

    @property
    def holds(self) -> bool:
        return self.left == self.right

    @property
    def out(self) -> int:
        """By how many cents the first figure is above the second."""
        return self.left - self.right

    @property
    def sentence(self) -> Say:
        """Both figures, and by how much they differ if they do."""
        if self.holds:
            return say("Both are {both}.", both=usd(self.left))
        return say(
            "Out by {out}: {left} and {right}.",
            out=usd(abs(self.out)),
            left=usd(self.left),
            right=usd(self.right),
        )


@dataclass(frozen=True, kw_only=True)
class Found:
    """Everything that has to agree. `standing` is the sum of the commitments that stand."""

    books: Books
    trial: Sequence[TrialLine]
    activities: Activities
    position: Position
    funds: Sequence[FundLine]
    gifts: Sequence[Gift]
    unreleased: dict[str, int]
    outlays: Outlays | None = None
    standing: int | None = None


def ties(found: Found) -> list[Tie]:
    """Return every check with both of its figures, those that fail first."""
    checks = [*_balanced(found), *_net_assets(found), *_spending(found), *_set_aside(found)]
    return sorted(checks, key=lambda tie: tie.holds)


def _balanced(found: Found) -> list[Tie]:
    chart = found.books.chart
    held = found.books.now.accounts()
    moved = sum(cents for code, cents in held.items() if chart[code].role == Role.INTERFUND)
    return [
        Tie(
            what=say("Debits equal credits in the trial balance."),
            left=sum(line.debit for line in found.trial),
            right=sum(line.credit for line in found.trial),
        ),
        Tie(what=say("Moves between funds come to zero."), left=moved, right=0),
    ]


def _net_assets(found: Found) -> list[Tie]:
    closing, position = found.activities.closing, found.position
    return [
        Tie(
            what=say("Net assets without restriction: activities and position."),
            left=closing.without,
            right=position.without,
        ),
        Tie(
            what=say("Net assets with donor restriction: activities and position."),
            left=closing.with_,
            right=position.with_,
        ),
        Tie(
            what=say("Net assets: position and all funds together."),
            left=position.net_assets,
            right=sum(line.closing for line in found.funds),
        ),
    ]


def _spending(found: Found) -> list[Tie]:
    chart = found.books.chart
    of_role: dict[Role, int] = dict.fromkeys(Role, 0)
    for line in found.activities.lines:
        of_role[chart[line.account].role] += line.total
    spent = _spent(found)
    gifts_booked = sum(
        line.total
        for line in found.activities.lines
        if chart[line.account].role == Role.IN_KIND and chart[line.account].kind == Kind.INCOME
    )
    checks = [
        Tie(
            what=say("Expenses: activities and the table by function."),
            left=spent,
            right=sum(totals(expenses(found.books)).values()),
        ),
        Tie(
            what=say("What left restriction arrived without it."),
            left=-of_role[Role.RELEASED_FROM],
            right=of_role[Role.RELEASED_TO],
        ),
        Tie(
            what=say("Gifts in kind: activities and the disclosure."),
            left=gifts_booked,
            right=sum(gift.received for gift in found.gifts),
        ),
        _released(found),
    ]
    if found.outlays is not None:
        what = say("Expenses: activities, and cases with what has no case.")
        checks.append(Tie(what=what, left=spent, right=found.outlays.total))
    return checks


def _spent(found: Found) -> int:
    chart = found.books.chart
    lines = found.activities.lines
    return -sum(line.total for line in lines if chart[line.account].kind == Kind.EXPENSE)


def _released(found: Found) -> Tie:
    names = ", ".join(found.books.funds[code].name for code in found.unreleased)
    return Tie(
        what=say("Restricted money spent and not released."),
        left=sum(found.unreleased.values()),
        right=0,
        where=names,
    )


def _set_aside(found: Found) -> list[Tie]:
    if found.standing is None:
        return []
    what = say("Set aside: the ledger and the commitments that stand.")
    reserve = sum(line.committed for line in found.funds)
    return [Tie(what=what, left=reserve, right=found.standing)]
