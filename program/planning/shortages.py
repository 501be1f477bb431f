"""What is short for a waiting case at the very least, by adding up and without a solver.

Each thing is counted by itself, as if everything else were free and the chosen cases could be
moved at will: a case lacks this much or more. It may lack more, since its weeks and its parts have
to come together.

>>> from datetime import date
>>> from program.planning.problem import Case, PlanInput, Week
>>> week = Week(starts_on=date(2026, 11, 30), capacity={"minutes": 100})
>>> rows = (Case(id="a", need_weight=6, uses={"minutes": 90}),
...         Case(id="b", need_weight=5, uses={"minutes": 40}))
>>> short_of(PlanInput(weeks=(week,), cases=rows), ["a"], "b").resources
{'minutes': 30}
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from program.planning.canonical import canonical
from program.planning.demand import bill, bounded, demands, parts_of
from program.planning.joining import cents_into
from program.planning.solver import unions
from program.planning.trying import open_fund
from program.planning.wording import at_least

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Mapping

    from program.planning.demand import Demand
    from program.planning.plan import Plan
    from program.planning.problem import Item, PartNeed, PlanInput
    from shared.say import Say


@dataclass(frozen=True, kw_only=True)
class Short:
    """What a case lacks at the least: cents that can be spent, resources, parts nobody sells."""

    cents: int = 0
    resources: Mapping[str, int] = field(default_factory=dict)
    need_ids: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Lack:
    """What one waiting case lacks at the least. `lacks` completes “26-046 …”.

    `cents` are those to be given, what is kept back for supplements included.

    `exact` only for a case that is held: why that is, is known. All else is a bound: `why_not` of
    the case tells what would bring it in.
    """

    case_id: str
    need_weight: int
    held: bool
    exact: bool
    short: Short
    cents: int
    lacks: Say


def lacks_at_once(plan_input: PlanInput, plan: Plan) -> tuple[Lack, ...]:
    """Return what every waiting case lacks at the least, most need first. Solves nothing."""
    rows = canonical(plan_input)
    base = Base(rows, plan.case_ids)
    waiting = [row for row in base.rows if plan.case(row.case.id) is None]
    waiting.sort(key=lambda row: (-row.case.need_weight, row.case.id))
    return tuple(_lack(base, row) for row in waiting)


def _lack(base: Base, row: Demand) -> Lack:
    hold, short = row.case.hold, base.short(row)
    rows = base.plan_input
    cents = cents_into(open_fund(rows), short.cents, rows.reserve_percent)
    return Lack(
        case_id=row.case.id,
        need_weight=row.case.need_weight,
        held=hold is not None,
        exact=hold is not None,
        short=short,
        cents=cents,
        lacks=hold or at_least(short.need_ids, parts_of(row.must), cents, short.resources),
    )


def short_of(plan_input: PlanInput, kept: Collection[str], case_id: str) -> Short:
    """Return what one case lacks at the least, with these cases kept."""
    base = Base(plan_input, kept)
    return base.short(next(row for row in base.rows if row.case.id == case_id))


class Base:
    """What the kept cases take at the least, added up once for every case that is asked about."""

    def __init__(self, plan_input: PlanInput, kept: Collection[str]) -> None:
        self.plan_input = plan_input
        self.rows = demands(plan_input)
        self.kept = [row for row in self.rows if row.case.id in kept]
        self.taken = Counter[str]()
        for row in self.kept:
            self.taken.update(self._totals(row))
        self.supplies = {supply.id: supply for supply in plan_input.supplies}
        own = [item for row in self.rows for item in row.must if _full(item)]
        self.payers = {
            item.id: frozenset(fund.id for fund in plan_input.funds if fund.may_pay(item.id))
            for item in own
        }
        self.free = {union: self._free(union) for union in unions(self.payers.values())}

    def short(self, row: Demand) -> Short:
        """Return what a case lacks at the least."""
        return Short(
            cents=self._cents(row),
            resources=self._resources(row),
            need_ids=tuple(part.id for part in parts_of(row.must).values() if self._unserved(part)),
        )

    def _totals(self, row: Demand) -> dict[str, int]:
        must = {item.id for item in row.must}
        return row.totals(must, self.plan_input.bay_day_minutes)

    def _unserved(self, part: PartNeed) -> bool:
        weeks = len(self.plan_input.weeks)
        bought = part.price_cents is not None and part.buy_week < weeks
        return not bought and not any(self._usable(name) for name in part.supply_ids)

    def _usable(self, supply_id: str) -> bool:
        supply = self.supplies[supply_id]
        return supply.quantity > 0 and supply.week < len(self.plan_input.weeks)

    def _resources(self, row: Demand) -> dict[str, int]:
        first = min(self._first_week(row), len(self.plan_input.weeks) - 1)
        weeks = self.plan_input.weeks
        totals, found = self._totals(row), {}
        for name in bounded(self.plan_input):
            there = [week.capacity.get(name, 0) for week in weeks]
            free = min(sum(there[first:]), sum(there) - self.taken[name])
            lacks = totals.get(name, 0) - max(free, 0)
            if totals.get(name) and lacks > 0:
                found[name] = lacks
        return found

    def _first_week(self, row: Demand) -> int:
        """Return the first week in which all its parts could be there."""
        ready = [self._ready(part) for part in parts_of(row.must).values()]
        return max([row.case.earliest_week, *ready])

    def _ready(self, part: PartNeed) -> int:
        weeks = [self.plan_input.gift_week]
        weeks += [self.supplies[name].week for name in part.supply_ids]
        return min([*weeks, *([part.buy_week] if part.price_cents is not None else [])])

    def _free(self, union: frozenset[str]) -> int:
        """Return the most that is left in some funds, each supply saving all that it could."""
        inside = [
            item
            for row in self.kept
            for item in row.must
            if item.id in self.payers and self.payers[item.id] <= union
        ]
        reserve = self.plan_input.reserve_percent
        there = sum(f.spendable_cents(reserve) for f in self.plan_input.funds if f.id in union)
        return there - sum(_full(item) for item in inside) + self._saved(inside)

    def _saved(self, items: Iterable[Item]) -> int:
        prices: dict[str, list[int]] = {}
        for part in parts_of(items).values():
            for name in set(part.supply_ids):
                prices.setdefault(name, []).append(part.price_cents or 0)
        return sum(
            sum(sorted(some, reverse=True)[: self.supplies[name].quantity])
            for name, some in prices.items()
        )

    def _cents(self, row: Demand) -> int:
        """Return by how much its bills pass the money, whichever funds are looked at together."""
        own = {
            item.id: bill(
                item, {part.id: part.price_cents or 0 for part in item.parts if not part.supply_ids}
            )
            for item in row.must
            if item.id in self.payers
        }
        short = [
            sum(cents for name, cents in own.items() if self.payers[name] <= union) - free
            for union, free in self.free.items()
            if any(cents and self.payers[name] <= union for name, cents in own.items())
        ]
        return max([0, *short])


def _full(item: Item) -> int:
    """Return what an item costs when every part that is for sale is bought."""
    return bill(item, {part.id: part.price_cents or 0 for part in item.parts})
