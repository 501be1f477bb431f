"""Which fund pays what, to the cent, once it is settled what is bought.

A bill may be split over funds. Money that lapses is used first, then the most restricted, and
money without restriction is kept for last.

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
from typing import TYPE_CHECKING

from program.planning.plan import Payment

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from program.planning.problem import Fund

Paid = dict[tuple[str, str], int]  # (fund, item) -> cents
Step = tuple[str, str]  # (kind of node, id)


def pay(
    bills: Mapping[str, int], funds: Iterable[Fund], *, reserve_percent: int
) -> tuple[Payment, ...] | None:
    """Return payments in order of item and fund, or None when the money doesn't reach.

    Each fund in turn pays as much as it can without a fund before it paying less: augmenting
    paths never take from a fund that has had its turn. Source: Ford and Fulkerson 1956.
    """
    rows = sorted(funds, key=lambda fund: pay_order(fund, len(bills)))
    open_cents = {item_id: bills[item_id] for item_id in sorted(bills)}
    paid: Paid = {}
    for fund in rows:
        left = fund.spendable_cents(reserve_percent)
        while left and (path := _path(fund, rows, open_cents, paid)):
            amount = min(left, open_cents[path[-1][1]], *_given_up(path, paid))
            _move(path, paid, open_cents, amount)
            left -= amount
    if any(open_cents.values()):
        return None
    return tuple(
        Payment(fund_id=fund_id, item_id=item_id, cents=cents)
        for (fund_id, item_id), cents in sorted(paid.items(), key=lambda entry: entry[0][::-1])
        if cents
    )


def pay_order(fund: Fund, items: int) -> tuple[bool, date, int, str]:
    """Return the key by which funds pay: restricted, soonest to lapse, fewest items, id."""
    breadth = items if fund.pays is None else len(fund.pays)
    return not fund.restricted, fund.lapses_on or date.max, breadth, fund.id


def _path(
    fund: Fund, funds: Iterable[Fund], open_cents: Mapping[str, int], paid: Paid
) -> list[Step] | None:
    """Return the shortest chain fund, item, fund, item ... that ends at an unpaid item."""
    rows = {row.id: row for row in funds}
    came: dict[Step, Step | None] = {("fund", fund.id): None}
    queue: deque[Step] = deque(came)
    while queue:
        kind, name = here = queue.popleft()
        if kind == "item" and open_cents[name]:
            return _walk_back(came, here)
        for step in _next_steps(here, rows, open_cents, paid):
            if step not in came:
                came[step] = here
                queue.append(step)
    return None


def _next_steps(
    here: Step, funds: Mapping[str, Fund], open_cents: Mapping[str, int], paid: Paid
) -> list[Step]:
    kind, name = here
    if kind == "fund":
        return [("item", item_id) for item_id in open_cents if funds[name].may_pay(item_id)]
    return [("fund", fund_id) for fund_id in funds if paid.get((fund_id, name))]


def _walk_back(came: Mapping[Step, Step | None], end: Step) -> list[Step]:
    path: list[Step] = []
    here: Step | None = end
    while here is not None:
        path.append(here)
        here = came[here]
    return path[::-1]


def _given_up(path: list[Step], paid: Paid) -> list[int]:
    """Return what each later fund on the path pays now for the item before it."""
    return [paid[path[n][1], path[n - 1][1]] for n in range(2, len(path), 2)]


def _move(path: list[Step], paid: Paid, open_cents: dict[str, int], amount: int) -> None:
    for n in range(0, len(path), 2):
        key = path[n][1], path[n + 1][1]
        paid[key] = paid.get(key, 0) + amount
        if n:
            paid[path[n][1], path[n - 1][1]] -= amount
    open_cents[path[-1][1]] -= amount
