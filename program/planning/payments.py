"""Which fund pays what, to the cent, once it is settled what is bought.

A bill may be split over funds. Money that lapses is used first, then the most restricted, and
money without restriction is kept for last. Bills that the same funds may pay are one sum until
the end, so that thousands of bills take no longer than a dozen.

>>> from program.planning.problem import Fund
>>> gift = Fund(id="gift", label="Gift", available_cents=115, restricted=True, pays=frozenset("a"))
>>> general = Fund(id="general", label="General", available_cents=1_000)
>>> for payment in pay({"a": 150, "b": 20}, [general, gift], reserve_percent=15):
...     print(payment.item_id, payment.fund_id, payment.cents)
a general 50
a gift 100
b general 20
>>> pay({"b": 2_000}, [general, gift], reserve_percent=15) is None
True
"""

from __future__ import annotations

from collections import deque
from datetime import date
from itertools import pairwise
from typing import TYPE_CHECKING

from program.planning.plan import Payment

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from program.planning.problem import Fund

Payers = tuple[int, ...]  # places of the funds that may pay, in the order in which they pay
Flow = dict[tuple[int, Payers], int]  # (place of a fund, payers of a sum) -> cents
Hop = tuple[Payers, int]  # a sum, and the place of a fund that pays more of it


class Purse:
    """Money from which bills are taken one after another, as long as all can be paid.

    It remembers sums by who may pay them, never which fund pays which bill: that is settled
    by `pay`, and may change until the last bill is known.
    """

    def __init__(self, funds: Iterable[Fund], *, reserve_percent: int, items: int) -> None:
        self.funds = sorted(funds, key=lambda fund: pay_order(fund, items))
        cents = [fund.spendable_cents(reserve_percent) for fund in self.funds]
        self._left = dict(enumerate(cents))
        self._flow: Flow = {}

    def payers(self, item_id: str) -> Payers:
        """Return the places of the funds that may pay an item."""
        return tuple(place for place, fund in enumerate(self.funds) if fund.may_pay(item_id))

    def take(self, sums: Mapping[Payers, int]) -> bool:
        """Take these sums if all can be paid beside those taken before; else take nothing."""
        left, flow = dict(self._left), dict(self._flow)
        for payers in sorted(sums):
            if _fill(payers, sums[payers], left, flow):
                return False
        self._left, self._flow = left, flow
        return True

    def sums(self, bills: Mapping[str, int]) -> dict[Payers, int]:
        """Return bills by item as sums by who may pay them."""
        found: dict[Payers, int] = {}
        for item_id, cents in bills.items():
            payers = self.payers(item_id)
            found[payers] = found.get(payers, 0) + cents
        return found


def pay(
    bills: Mapping[str, int], funds: Iterable[Fund], *, reserve_percent: int
) -> tuple[Payment, ...] | None:
    """Return payments in order of item and fund, or None when the money doesn't reach.

    Each fund in turn pays as much as it can without a fund before it paying less: augmenting
    paths never take from a fund that has had its turn. Source: Ford and Fulkerson 1956.
    """
    purse = Purse(funds, reserve_percent=reserve_percent, items=len(bills))
    alike: dict[Payers, list[str]] = {}
    for item_id in sorted(bills):
        alike.setdefault(purse.payers(item_id), []).append(item_id)
    open_cents = {payers: sum(bills[i] for i in items) for payers, items in alike.items()}
    flow: Flow = {}
    for place, fund in enumerate(purse.funds):
        left = {place: fund.spendable_cents(reserve_percent)}
        for payers in sorted(open_cents):
            open_cents[payers] = _fill(payers, open_cents[payers], left, flow)
    if any(open_cents.values()):
        return None
    paid: list[Payment] = []
    for payers, items in alike.items():
        shares = [(purse.funds[place].id, flow.get((place, payers), 0)) for place in payers]
        paid += _split(bills, items, shares)
    return tuple(sorted(paid, key=lambda payment: (payment.item_id, payment.fund_id)))


def pay_order(fund: Fund, items: int) -> tuple[bool, date, int, str]:
    """Return the key by which funds pay: restricted, soonest to lapse, fewest items, id."""
    breadth = items if fund.pays is None else len(fund.pays)
    return not fund.restricted, fund.lapses_on or date.max, breadth, fund.id


def _split(
    bills: Mapping[str, int], items: Sequence[str], shares: Iterable[tuple[str, int]]
) -> Iterable[Payment]:
    """Yield what each fund pays of each bill: bills and funds in their order, each used up."""
    waiting = [(fund_id, cents) for fund_id, cents in shares if cents][::-1]
    for item_id in items:
        owed = bills[item_id]
        while owed:
            fund_id, cents = waiting.pop()
            paid = min(owed, cents)
            yield Payment(fund_id=fund_id, item_id=item_id, cents=paid)
            owed -= paid
            if cents > paid:
                waiting.append((fund_id, cents - paid))


def _fill(payers: Payers, cents: int, left: dict[int, int], flow: Flow) -> int:
    """Let funds that have money left pay a sum, others giving way; return what stays unpaid."""
    while cents and (hops := _path(payers, left, flow)):
        given_up = [(before, asked) for (_, before), (asked, _) in pairwise(hops)]
        last = hops[-1][1]
        amount = min(cents, left[last], *(flow[key] for key in given_up))
        for asked, place in hops:
            flow[place, asked] = flow.get((place, asked), 0) + amount
        for key in given_up:
            flow[key] -= amount
        left[last] -= amount
        cents -= amount
    return cents


def _path(start: Payers, left: Mapping[int, int], flow: Flow) -> list[Hop] | None:
    """Return the shortest chain of sums and funds that ends at a fund with money left.

    Each fund of the chain pays more of the sum beside it and gives up as much of the next.
    """
    came: dict[int, tuple[Payers, int | None]] = dict.fromkeys(start, (start, None))
    queue = deque(came)
    while queue:
        place = queue.popleft()
        if left.get(place):
            return _walk_back(came, place)
        held = sorted(asked for (payer, asked), cents in flow.items() if payer == place and cents)
        for asked, other in ((sums, other) for sums in held for other in sums):
            if other not in came:
                came[other] = (asked, place)
                queue.append(other)
    return None


def _walk_back(came: Mapping[int, tuple[Payers, int | None]], end: int) -> list[Hop]:
    hops: list[Hop] = []
    place: int | None = end
    while place is not None:
        asked, before = came[place]
        hops.append((asked, place))
        place = before
    return hops[::-1]
