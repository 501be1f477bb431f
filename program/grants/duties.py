"""Where a grant stands today: what may be claimed, what is due, what would lapse.

>>> from datetime import date
>>> from program.grants.schedules import cycles
>>> from program.ledger.restrictions import Fund
>>> terms = Terms(
...     cents=500_00, fund=Fund(code="COM", name="commuter grant"), fund_id=3,
...     begins_on=date(2026, 10, 1), ends_on=date(2026, 12, 31), own_percent=20,
... )
>>> cost = Cost(id=1, entry=1, on=date(2026, 10, 9), account="6010", fund=1, cents=100_00)
>>> october, *later = cycles("monthly", terms.begins_on, terms.ends_on, due_days=30)
>>> book = Book(id=1, name="commuter grant", terms=terms, allowed=(cost,), cycles=(october, *later))
>>> standing(book).claimable, standing(book).at_risk
(8000, 42000)
>>> [(one.cycle.name, one.cents) for one in due(book, date(2026, 11, 25))]
[('October 2026', 8000)]
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from program.funds.lapsing import will_lapse
from program.grants.claiming import Cost, Terms, funder_part, until
from program.grants.schedules import Cycle, overlaps
from program.grants.states import ClaimState
from shared.dates import full_date
from shared.money import usd
from shared.problems import Level, Problem
from shared.say import say

if TYPE_CHECKING:
    from datetime import date

    from shared.say import Say

SENT = frozenset({ClaimState.SENT, ClaimState.PAID})
SOON_DAYS = 10
_TO_BEGIN = say("Begin it from the costs of its cycle, look at them, and send it.")
_DRAFTED = say("Its draft is there: look at its costs, and send it.")


@dataclass(frozen=True, kw_only=True)
class Claimed:
    """One claim of a grant, as far as the next one has to know it; what the funder answered."""

    id: int
    number: int
    from_on: date
    until_on: date
    state: str
    cents: int
    paid: int = 0
    refused: int = 0

    @property
    def stands(self) -> int:
        """The part of the claim that the funder did not refuse."""
        return self.cents - self.refused


@dataclass(frozen=True, kw_only=True)
class Book:
    """One grant read whole: costs that can be claimed now, others with why not, its claims."""

    id: int
    name: str
    terms: Terms
    cycles: tuple[Cycle, ...]
    allowed: tuple[Cost, ...] = ()
    others: tuple[tuple[Cost, Say], ...] = ()
    claims: tuple[Claimed, ...] = ()

    @property
    def room(self) -> int:
        """The part of the award that stands in no claim, not even in a draft.

        What the funder refused is room again.
        """
        held = (one.stands for one in self.claims if one.state != ClaimState.WITHDRAWN)
        return max(self.terms.cents - sum(held), 0)


@dataclass(frozen=True, kw_only=True)
class Standing:
    """Where the money of a grant stands. `claimed` was sent and not `refused`; `paid` is of that.

    `claimable` could be claimed now beside what stands in drafts; `owed_back` was claimed for costs
    that were reversed afterwards.
    """

    award: int
    claimed: int
    paid: int
    refused: int
    drafted: int
    claimable: int
    owed_back: int

    @property
    def left(self) -> int:
        """The part of the award for which no claim stands."""
        return self.award - self.claimed

    @property
    def at_risk(self) -> int:
        """The part of the award for which there is no cost yet."""
        return self.left - self.drafted - self.claimable


@dataclass(frozen=True, kw_only=True)
class Due:
    """A claim, or a report where the money came ahead, that has to be sent by `due_on`."""

    grant_id: int
    name: str
    cycle: Cycle
    report: bool
    cents: int
    draft: int | None = None

    @property
    def due_on(self) -> date:
        """The day by which the funder has to have it."""
        return self.cycle.due_on

    @property
    def what(self) -> str:
        """What is due, as it opens a sentence."""
        return "Report" if self.report else "Claim"


def standing(book: Book) -> Standing:
    """Return where the money of a grant stands."""
    sent = [one for one in book.claims if one.state in SENT]
    drafts = (one.cents for one in book.claims if one.state == ClaimState.DRAFT)
    costs = sum(cost.cents for cost in book.allowed)
    owed = -sum(cost.cents for cost in book.allowed if cost.reverses is not None)
    own = book.terms.own_percent
    return Standing(
        award=book.terms.cents,
        claimed=sum(one.stands for one in sent),
        paid=sum(one.paid for one in sent),
        refused=sum(one.refused for one in sent),
        drafted=sum(drafts),
        claimable=min(funder_part(max(costs, 0), own), book.room),
        owed_back=funder_part(max(owed, 0), own),
    )


def open_cycles(book: Book, today: date) -> list[Cycle]:
    """Return the cycles that have ended and that no sent claim covers."""
    sent = [one for one in book.claims if one.state in SENT]
    return [
        cycle
        for cycle in book.cycles
        if cycle.until_on <= today
        and not any(overlaps(cycle, one.from_on, one.until_on) for one in sent)
    ]


def due(book: Book, today: date) -> list[Due]:
    """Return the claims that a grant owes for cycles that have ended.

    A claim is due where there is a cost to claim and award left; a report also where nothing was
    spent.
    """
    found: list[Due] = []
    drafts = {one.until_on: one for one in book.claims if one.state == ClaimState.DRAFT}
    rest, room = list(book.allowed), book.room
    for cycle in open_cycles(book, today):
        taken = until(rest, cycle.until_on)
        ids = {cost.id for cost in taken}
        rest = [cost for cost in rest if cost.id not in ids]
        cents = funder_part(max(sum(cost.cents for cost in taken), 0), book.terms.own_percent)
        cents = min(cents, room)
        room -= cents
        one = _due(book, cycle, cents)
        draft = drafts.get(cycle.until_on)
        if draft:
            one = replace(one, cents=draft.cents + cents, draft=draft.id)
        if draft or cents or one.report:
            found.append(one)
    return found


def _due(book: Book, cycle: Cycle, cents: int) -> Due:
    return Due(grant_id=book.id, name=book.name, cycle=cycle, report=book.terms.ahead, cents=cents)


def next_due(book: Book, today: date) -> Cycle | None:
    """Return the cycle whose claim comes next: one that is due, else the one that runs."""
    owed = due(book, today)
    if owed:
        return owed[0].cycle
    return next((cycle for cycle in book.cycles if cycle.until_on > today), None)


def problems(book: Book, today: date) -> list[Problem]:
    """Return what the treasurer has to know: claims due, money that lapses or is owed back."""
    found = [problem for one in due(book, today) if (problem := _due_problem(one, today))]
    at = standing(book)
    over = book.cycles and today > book.cycles[-1].due_on
    lost = will_lapse(book.name, at.at_risk, book.terms.ends_on, today)
    if lost and not over:
        found.append(lost)
    if at.owed_back:
        text = say(
            "{cents} of the {name} was claimed for costs reversed since: it is owed back.",
            cents=usd(at.owed_back),
            name=book.name,
        )
        remedy = say("The next claim takes it off. Without one, it is paid back.")
        found.append(Problem(text, remedy=remedy, level=Level.WARNING))
    return found


def _due_problem(one: Due, today: date) -> Problem | None:
    """Return that a claim is late or due soon; None where there is time."""
    days = (one.due_on - today).days
    if days > SOON_DAYS:
        return None
    sentence = (
        "{what} for {cycle} of the {name} was due on {day}: {cents}."
        if days < 0
        else "{what} for {cycle} of the {name} is due on {day}: {cents}."
    )
    return Problem(
        say(
            sentence,
            what=one.what,
            cycle=one.cycle.name,
            name=one.name,
            day=full_date(one.due_on),
            cents=usd(one.cents),
        ),
        remedy=_DRAFTED if one.draft else _TO_BEGIN,
        level=Level.BLOCKER if days < 0 else Level.WARNING,
    )
