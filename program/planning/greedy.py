"""The plan a careful person would make: most need for the scarcest things first.

It is the solver's first guess, and the plan shown when the solver has found none in its time.
Cases are chosen by what they bring for what they take, as long as money, parts and the weeks
together reach; then they are placed into weeks, and what found no place makes room for others.

>>> from datetime import date
>>> from program.planning.problem import Case, PlanInput, Week
>>> week = Week(starts_on=date(2026, 11, 30), capacity={"minutes": 100})
>>> rows = tuple(Case(id=name, need_weight=weight, uses={"minutes": minutes})
...              for name, weight, minutes in [("a", 5, 90), ("b", 4, 40), ("c", 3, 60)])
>>> [case.case_id for case in greedy(PlanInput(weeks=(week,), cases=rows))]
['b', 'c']
"""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

from program.planning.demand import Demand, barred, bill, demands, forced_worth, parts_of
from program.planning.packing import Weeks, fill
from program.planning.payments import Payers, Purse
from program.planning.plan import PartSource, PlannedCase
from program.planning.problem import by_id, needed
from program.planning.stays import load_of

if TYPE_CHECKING:
    from collections.abc import Callable, Collection, Iterable, Mapping

    from program.planning.problem import Item, PartNeed, PlanInput
    from program.planning.stays import Load

ROUNDS = 4  # of choosing and placing; what is left after them finds no place


def greedy(
    plan_input: PlanInput, worth: Callable[[Demand], float] | None = None
) -> tuple[PlannedCase, ...]:
    """Return the cases placed one after another, without extras and without payments.

    Cases that have to stay in come first, then those with the highest `worth`; without it this is
    need weight for each share of what there is.
    """
    bench = Bench(plan_input)
    bench.add_all(worth or by_scarcity(plan_input))
    return bench.cases


def by_scarcity(plan_input: PlanInput) -> Callable[[Demand], float]:
    """Return what measures need weight for each share of what there is, money included."""
    there = Counter[str]()
    for week in plan_input.weeks:
        there.update(week.capacity)
    money = sum(fund.spendable_cents(plan_input.reserve_percent) for fund in plan_input.funds)

    def worth(row: Demand) -> float:
        totals = row.totals({item.id for item in row.must}, plan_input.bay_day_minutes)
        shares = sum(totals.get(name, 0) / max(amount, 1) for name, amount in there.items())
        return row.case.need_weight / (shares + full_price(row) / max(money, 1) + 1e-9)

    return worth


def full_price(row: Demand) -> int:
    """Return the cents that what must be done costs when every part is bought."""
    prices = {name: part.price_cents or 0 for name, part in parts_of(row.must).items()}
    return sum(bill(item, prices) for item in row.must)


def _extras_cents(load: Load) -> int:
    bought = {source.need_id: source.cents for source in load.parts}
    return sum(bill(item, bought) for item in load.row.extras if item.id in load.item_ids)


class Bench:
    """What is left of money, parts and weeks while cases are chosen and placed."""

    def __init__(self, plan_input: PlanInput) -> None:
        self.plan_input = plan_input
        self.supplies = by_id(plan_input.supplies)
        self.weeks = Weeks(plan_input)
        self.placed: dict[str, tuple[PlannedCase, Load]] = {}
        self._payers: dict[str, Payers] = {}
        self._empty_hands()

    @property
    def cases(self) -> tuple[PlannedCase, ...]:
        """The cases placed so far, in order of id."""
        return tuple(self.placed[name][0] for name in sorted(self.placed))

    def place(self, loads: Iterable[Load]) -> None:
        """Place what was chosen elsewhere, money and parts included."""
        own = {load.row.case.id: load for load in loads}
        self.placed |= {
            row.case_id: (row, own[row.case_id]) for row in fill(self.weeks, own.values())
        }
        self._empty_hands()

    def adopt(self, cases: Iterable[tuple[PlannedCase, Load]]) -> None:
        """Take over cases with the weeks they have."""
        for planned, load in cases:
            self._keep(planned, load)
        self._empty_hands()

    def _keep(self, planned: PlannedCase, load: Load) -> None:
        self.weeks.take(planned, load)
        self.placed[planned.case_id] = planned, load

    def add_extra(self, item: Item) -> bool:
        """Do one more item on a case that is placed, and what it needs before, if there is room."""
        planned, load = self.placed[item.case_id]
        more = needed(load.row.items, [item.id]) - set(load.item_ids)
        larger = self._load(load.row, more.union(load.item_ids), load.parts) if more else None
        if larger is None or larger.ready > planned.start_week:
            return False
        bought = {source.need_id: source.cents for source in larger.parts}
        owed = {row.id: bill(row, bought) for row in load.row.chosen(more)}
        if self.allowance is not None and sum(owed.values()) > self.allowance:
            return False
        self.weeks.take(planned, load, sign=-1)
        again = self.weeks.spread(larger, planned.start_week)
        if again is None or not self.purse.take(self.purse.sums(owed)):
            self.weeks.take(planned, load)
            return False
        self._keep(again, larger)
        self._use(set(larger.parts).difference(load.parts))
        if self.allowance is not None:
            self.allowance -= sum(owed.values())
        return True

    def add_all(self, worth: Callable[[Demand], float]) -> None:
        """Choose and place whatever may be planned: what has to stay in first, then by worth."""
        stays = forced_worth(self.plan_input)
        rows = [row for row in demands(self.plan_input) if not barred(self.plan_input, row.case)]
        rows = [row for row in rows if row.case.id not in self.placed]
        rows.sort(key=lambda row: (-worth(row), row.case.id))
        for first in sorted({*stays.values(), 0}, reverse=True):
            self.add([row for row in rows if stays.get(row.case.id, 0) == first])

    def add(self, rows: Iterable[Demand]) -> None:
        """Choose and place, and again with what the unplaced have left, while that brings some."""
        waiting = list(rows)
        for _ in range(ROUNDS):
            before = len(self.placed)
            self.place(self._choose(waiting))
            waiting = [row for row in waiting if row.case.id not in self.placed]
            if len(self.placed) == before or not waiting:
                return

    def _empty_hands(self) -> None:
        """Count money, parts and weeks anew, so that only what is placed has taken any."""
        taken = [load for _, load in self.placed.values()]
        used = Counter(source.supply_id for load in taken for source in load.parts)
        self.units = {name: row.quantity - used[name] for name, row in self.supplies.items()}
        self.purse = Purse(
            self.plan_input.funds,
            reserve_percent=self.plan_input.reserve_percent,
            items=len(self.plan_input.items),
        )
        self.purse.take(self._sums(taken))
        self.allowance = self.plan_input.extras_cents
        if self.allowance is not None:
            self.allowance -= sum(map(_extras_cents, taken))
        self.left = Counter[str]()
        for (_, name), amount in self.weeks.left.items():
            self.left[name] += max(amount, 0)

    def _choose(self, rows: Iterable[Demand]) -> list[Load]:
        """Return the cases that money, parts and the weeks together still hold, in order."""
        chosen = []
        for row in rows:
            load = self._load(row, {item.id for item in row.must})
            if load and self._fits(load) and self.purse.take(self._sums([load])):
                chosen.append(load)
                self.left.subtract(load.totals)
                self._use(load.parts)
        return chosen

    def _use(self, parts: Iterable[PartSource]) -> None:
        for source in parts:
            if source.supply_id:
                self.units[source.supply_id] -= 1

    def _fits(self, load: Load) -> bool:
        return all(self.left[name] >= amount for name, amount in load.totals.items())

    def _load(
        self, row: Demand, done: Collection[str], kept: Iterable[PartSource] = ()
    ) -> Load | None:
        """Return what the case takes, each part from where it comes first; None if one doesn't."""
        units, sources, ready = Counter[str](), {part.need_id: part for part in kept}, 0
        for part in parts_of(row.chosen(done)).values():
            if part.id in sources:
                continue
            source, week = self._source(part, units)
            if source is None:
                return None
            if source.supply_id:
                units[source.supply_id] += 1
            sources[part.id] = source
            ready = max(ready, week)
        return load_of(self.plan_input, row, done, parts=sources.values(), ready=ready)

    def _source(self, part: PartNeed, used: Mapping[str, int]) -> tuple[PartSource | None, int]:
        there = [self.supplies[name] for name in part.supply_ids if self.units[name] > used[name]]
        if there:
            first = min(there, key=lambda supply: (supply.week, supply.id))
            return PartSource(need_id=part.id, supply_id=first.id, cents=0), first.week
        if part.price_cents is None:
            return None, 0
        bought = PartSource(need_id=part.id, supply_id=None, cents=part.price_cents)
        return bought, part.buy_week

    def _sums(self, loads: Iterable[Load]) -> dict[Payers, int]:
        """Return what is to be paid anew for some cases, by who may pay it."""
        sums: dict[Payers, int] = {}
        for load in loads:
            bought = {source.need_id: source.cents for source in load.parts}
            for item in load.row.chosen(load.item_ids):
                cents = bill(item, bought)
                if cents:
                    payers = self._who_pays(item.id)
                    sums[payers] = sums.get(payers, 0) + cents
        return sums

    def _who_pays(self, item_id: str) -> Payers:
        if item_id not in self._payers:
            self._payers[item_id] = self.purse.payers(item_id)
        return self._payers[item_id]
