"""How a gift with a purpose is booked: when it is income, and what it is until then.

A gift is conditional where there is a barrier and the money goes back if it is not reached; both.
Then nothing is income before the barrier is reached, and money received early is a refundable
advance. Source: ASC 958-605-25-5A to 25-5F and 25-2A, ASU 2018-08 (text-seen, as a guide quotes
them). A promise without a condition is income now. Source: ASC 958-605-30 (seen second-hand).

>>> accepted(Standing(income="4010", arrived=True))
Sides(debit='1010', credit='4010')
>>> accepted(Standing(income="4010", arrived=True, conditional=True))
Sides(debit='1010', credit='2110')
>>> accepted(Standing(income="4010", arrived=False, conditional=True)) is None
True
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from program.ledger.chart import Role, load, with_role

CASH: Final = with_role(load(), Role.CASH)
RECEIVABLE: Final = "1110"
ADVANCE: Final = "2110"
INCOME: Final = ("4010", "4020", "4030")


@dataclass(frozen=True, kw_only=True)
class Sides:
    """The two accounts of one transfer."""

    debit: str
    credit: str


@dataclass(frozen=True, kw_only=True)
class Standing:
    """Where a gift stands: whether its money is here, and whether a condition is still open."""

    income: str
    arrived: bool
    conditional: bool = False


def is_conditional(barrier: str, *, returns: bool) -> bool:
    """Return whether a gift is conditional: a barrier, and a right of return."""
    return bool(barrier.strip()) and returns


def accepted(gift: Standing) -> Sides | None:
    """Return what accepting a gift books, or None where there is nothing to book yet."""
    if not gift.conditional:
        return Sides(debit=CASH if gift.arrived else RECEIVABLE, credit=gift.income)
    return Sides(debit=CASH, credit=ADVANCE) if gift.arrived else None


def came(gift: Standing) -> Sides:
    """Return what the arrival of an accepted gift's money books; `gift` as it stood before."""
    return Sides(debit=CASH, credit=ADVANCE if gift.conditional else RECEIVABLE)


def met(gift: Standing) -> Sides:
    """Return what is booked when the condition is reached: now it is income."""
    return Sides(debit=ADVANCE if gift.arrived else RECEIVABLE, credit=gift.income)
