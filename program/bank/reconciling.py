"""Whether the books and the bank agree at the end of a statement, and what lies between them.

>>> from datetime import date
>>> check = Item(id=1, on=date(2026, 10, 28), cents=-4480, what="Stamps")
>>> fee = Item(id=9, on=date(2026, 10, 30), cents=-1500, what="Fee")
>>> found = reconcile(Facts(on=date(2026, 10, 31), bank_cents=100_000, book_cents=97_020,
...     outstanding=(check,), unbooked=(fee,)))
>>> found.adjusted_bank, found.adjusted_book, found.differs, found.ready
(95520, 95520, 0, False)
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date, timedelta
from typing import TYPE_CHECKING, Final

from program.bank.hints import hints
from program.bank.splitting import only_sum
from shared.money import usd
from shared.say import say

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from shared.say import Say

STALE_DAYS: Final = 90  # common practice, no source: ask who holds the check


@dataclass(frozen=True, kw_only=True)
class Item:
    """One movement that only one side knows; money in above zero."""

    id: int
    on: date
    cents: int
    what: str

    def stale(self, on: date) -> bool:
        """Return whether it has been outstanding for more than 90 days."""
        return on - self.on > timedelta(days=STALE_DAYS)


@dataclass(frozen=True, kw_only=True)
class Facts:
    """What both sides say at the end of one day, and what only one of them knows.

    `outstanding`: entries that are on no statement yet. `unbooked`: lines without an entry.
    `late`: entries of a later day that are on a statement by now.
    """

    on: date
    bank_cents: int
    book_cents: int
    outstanding: tuple[Item, ...] = ()
    unbooked: tuple[Item, ...] = ()
    late: tuple[Item, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Reconciliation:
    """Both sides with what the other knows added, and what they still differ by."""

    facts: Facts
    outstanding: tuple[Item, ...]  # oldest first
    adjusted_bank: int
    adjusted_book: int
    hints: tuple[Say, ...]

    @property
    def checks(self) -> tuple[Item, ...]:
        """What was paid and not cashed yet."""
        return tuple(item for item in self.outstanding if item.cents < 0)

    @property
    def deposits(self) -> tuple[Item, ...]:
        """What was received and isn't at the bank yet."""
        return tuple(item for item in self.outstanding if item.cents > 0)

    @property
    def bank_adds(self) -> int:
        """What the books know and the bank hasn't seen."""
        return _sum(self.outstanding)

    @property
    def book_adds(self) -> int:
        """What the bank knows and the books lack."""
        return _sum(self.facts.unbooked) + _sum(self.facts.late)

    @property
    def differs(self) -> int:
        """The cents by which the books are above the bank when all that is known is added."""
        return self.adjusted_book - self.adjusted_bank

    @property
    def left(self) -> int:
        """The cents by which the books, as they are, are above the bank and what it will see."""
        return self.facts.book_cents + _sum(self.facts.late) - self.adjusted_bank

    @property
    def ready(self) -> bool:
        """Whether it ends in zero: both sides agree, and each line has its entry."""
        return not self.differs and not self.facts.unbooked

    @property
    def stale(self) -> tuple[Item, ...]:
        """What has been outstanding for more than 90 days."""
        return tuple(item for item in self.outstanding if item.stale(self.facts.on))

    @property
    def verdict(self) -> Say:
        """One sentence of how it stands."""
        if self.ready:
            return say("The books and the bank agree at {usd}.", usd=usd(self.adjusted_bank))
        if self.differs:
            return say(
                "The books and the bank differ by {usd}, and nothing explains it yet.",
                usd=usd(self.differs),
            )
        if len(self.facts.unbooked) == 1:
            return say("One line has no entry yet; with it both sides agree.")
        return say(
            "{count} lines have no entry yet; with them both sides agree.",
            count=len(self.facts.unbooked),
        )


def reconcile(facts: Facts) -> Reconciliation:
    """Return both sides adjusted: the bank by what it hasn't seen, the books by what they lack.

    Source: OpenStax Principles of Accounting Vol. 1 sec. 8.6 (text-seen).
    """
    adjusted_bank = facts.bank_cents + _sum(facts.outstanding)
    adjusted_book = facts.book_cents + _sum(facts.unbooked) + _sum(facts.late)
    all_items = (*facts.outstanding, *facts.unbooked, *facts.late)
    return Reconciliation(
        facts=facts,
        outstanding=tuple(sorted(facts.outstanding, key=lambda item: (item.on, item.id))),
        adjusted_bank=adjusted_bank,
        adjusted_book=adjusted_book,
        hints=tuple(hints(adjusted_book - adjusted_bank, [item.cents for item in all_items])),
    )


def _sum(items: Iterable[Item]) -> int:
    return sum(item.cents for item in items)


def standing(items: Sequence[Item], reversals: Iterable[tuple[int, int]]) -> tuple[Item, ...]:
    """Return the items without those that a reversal among them took back.

    `reversals` are pairs of ids, the entry and the one that reversed it. A check that was voided
    before it was cashed never reaches the bank.

    >>> from datetime import date
    >>> void = [Item(id=n, on=date(2026, 1, n), cents=(-1) ** n * 500, what="") for n in (1, 2)]
    >>> standing(void, [(1, 2)])
    ()
    """
    there = {item.id: item.cents for item in items}
    gone = {
        pk
        for pair in reversals
        if all(pk in there for pk in pair) and sum(there[pk] for pk in pair) == 0
        for pk in pair
    }
    return tuple(item for item in items if item.id not in gone)


def explain_start(gap: int, early: Sequence[Item]) -> tuple[Item, ...]:
    """Return the entries from before the first statement that the bank had not seen by then.

    `gap` is what the books held more than the bank when the first statement began, less what was
    found since. Only one choice of entries that adds up to it exactly explains it.
    """
    places = only_sum([item.cents for item in early], gap) if gap else None
    return tuple(early[place] for place in places or ())
