"""Gifts in kind by category: what came, what was used, what is on hand, and how it is valued.

Source: ASU 2020-07 (text-seen): gifts of things and of recognized work stand apart from gifts of
money, by category, with their use, their restrictions and how they are valued. Which work may be
recognized: ASC 958-605-25-16 (seen second-hand).

>>> [category.name for category in CATEGORIES]
['Parts', 'Vehicles', 'Skilled work']
>>> Gift(category=CATEGORIES[0], opening=100, received=900, used=300, closing=650).other
50
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, Final

from program.statements.functional import NAMES
from program.statements.rows import Sheet, held, line, moved, plain, summed
from shared.money import usd

if TYPE_CHECKING:
    from collections.abc import Mapping

    from program.ledger.ledger import Balances
    from program.statements.statements import Books


@dataclass(frozen=True, kw_only=True)
class Category:
    """One kind of gift with its accounts; work is used as it is given and is never on hand."""

    name: str
    income: str
    used: str
    held: str = ""
    valued: str


CATEGORIES: Final = (
    Category(
        name="Parts",
        income="4110",
        used="6020",
        held="1210",
        valued="At fair value on arrival: the price of the same part in the same condition nearby.",
    ),
    Category(
        name="Vehicles",
        income="4120",
        used="6120",
        held="1310",
        valued="At fair value on arrival, by a published guide for its condition and miles; a sale"
        " that brings more or less corrects the gift.",
    ),
    Category(
        name="Skilled work",
        income="4130",
        used="6110",
        valued="Hours of certified people at the rate the program would have paid for them. General"
        " helpers’ hours are counted and not booked.",
    ),
)


@dataclass(frozen=True, kw_only=True)
class Gift:
    """One category over a span: `opening + received - used - other == closing`.

    `restricted` is the part of what was received that came with a donor's restriction;
    `functions` says by class what was used for what.
    """

    category: Category
    opening: int
    received: int
    used: int
    closing: int
    restricted: int = 0
    functions: Mapping[str, int] = field(default_factory=dict)

    @property
    def other(self) -> int:
        """What was sold, written off or bought in."""
        return self.opening + self.received - self.used - self.closing


def gifts(books: Books) -> tuple[Gift, ...]:
    """Return each category of gifts in kind over the span."""
    span = books.span
    return tuple(_gift(books, span, category) for category in CATEGORIES)


def _gift(books: Books, span: Balances, category: Category) -> Gift:
    used: dict[str, int] = {}
    for (_fund, account, function), cents in sorted(books.functions.items()):
        if account == category.used:
            used[function] = used.get(function, 0) + cents
    return Gift(
        category=category,
        opening=books.before.account(category.held),
        received=-span.account(category.income),
        used=span.account(category.used),
        closing=books.now.account(category.held),
        restricted=-sum(
            cents
            for (fund, account), cents in span.cells.items()
            if account == category.income and books.funds[fund].restricted
        ),
        functions={function: cents for function, cents in used.items() if cents},
    )


def gifts_sheet(books: Books) -> Sheet:
    """Return the disclosure of gifts in kind by category."""
    found = gifts(books)
    rows = [
        line(
            gift.category.name,
            [
                plain(gift.opening),
                moved(books, gift.received, account=gift.category.income),
                moved(books, gift.used, account=gift.category.used),
                plain(gift.other),
                held(books, gift.closing, account=gift.category.held),
                plain(gift.restricted),
            ],
        )
        for gift in found
    ]
    parts = ("opening", "received", "used", "other", "closing", "restricted")
    together = [sum(getattr(gift, part) for gift in found) for part in parts]
    return Sheet(
        name="in-kind",
        title="Gifts in kind",
        lead="Gifts of parts, vehicles and skilled work: received, used and on hand.",
        sum=f"{usd(together[1])} received, {usd(together[4])} on hand.",
        first="Category",
        columns=(
            *("At the start", "Received", "Used", "Sold or written off", "On hand"),
            "Received with restriction",
        ),
        rows=(
            *rows,
            summed("Together", together),
        ),
        notes=tuple(
            f"{gift.category.name}: {gift.category.valued} {_used_for(gift.functions)}"
            for gift in found
        ),
    )


def _used_for(functions: Mapping[str, int]) -> str:
    """Return what gifts were used for as a sentence."""
    if not functions:
        return "Nothing was used."
    parts = (f"{NAMES[name].lower()} {usd(functions[name])}" for name in NAMES if name in functions)
    return f"Used for {', '.join(parts)}."
