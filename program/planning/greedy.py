"""The plan a careful person would make: most need for the scarcest things first.

It is the solver's first guess, and the plan shown when the solver has found none in its time.
Each case is placed whole in the earliest weeks that hold it, or left out; nothing is revised.

>>> from datetime import date
>>> from program.planning.problem import Case, PlanInput, Week
>>> week = Week(starts_on=date(2026, 11, 30), capacity={"minutes": 100})
>>> rows = tuple(Case(id=name, need_weight=weight, uses={"minutes": minutes})
...              for name, weight, minutes in [("a", 5, 90), ("b", 4, 40), ("c", 3, 60)])
>>> [case.case_id for case in greedy(PlanInput(weeks=(week,), cases=rows))]
['b', 'c']
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from program.planning.demand import Demand, barred, bills, bounded, demands, forced, parts_of
from program.planning.payments import pay
from program.planning.plan import PartSource, PlannedCase
from program.planning.problem import BAY_DAYS, MINUTES

if TYPE_CHECKING:
    from collections.abc import Mapping

    from program.planning.problem import PartNeed, PlanInput

Uses = dict[tuple[int, str], int]


def greedy(plan_input: PlanInput) -> tuple[PlannedCase, ...]:
    """Return the cases placed one after another, without extras and without payments."""
    stays = forced(plan_input)
    rows = [row for row in demands(plan_input) if not barred(plan_input, row.case)]
    rows.sort(key=lambda row: (row.case.id not in stays, -_worth(plan_input, row), row.case.id))
    bench = _Bench(plan_input)
    for row in rows:
        bench.place(row)
    return tuple(sorted(bench.cases, key=lambda planned: planned.case_id))


def _worth(plan_input: PlanInput, row: Demand) -> float:
    """Return need weight for each share of what there is: money, and every named resource."""
    must = {item.id for item in row.must}
    totals = row.totals(must, plan_input.bay_day_minutes)
    share = 0.0
    for name in bounded(plan_input):
        there = sum(week.capacity.get(name, 0) for week in plan_input.weeks)
        share += totals.get(name, 0) / max(there, 1)
    cash = sum(item.cash_cents for item in row.must)
    cash += sum(part.price_cents or 0 for part in parts_of(row.must).values())
    money = sum(fund.spendable_cents(plan_input.reserve_percent) for fund in plan_input.funds)
    return row.case.need_weight / (share + cash / max(money, 1) + 1e-9)


class _Bench:
    """What is left while cases are placed."""

    def __init__(self, plan_input: PlanInput) -> None:
        self.plan_input = plan_input
        self.cases: list[PlannedCase] = []
        self.supplies = {supply.id: supply for supply in plan_input.supplies}
        self.units = {supply.id: supply.quantity for supply in plan_input.supplies}
        self.left = {
            (number, name): week.capacity.get(name, 0)
            for number, week in enumerate(plan_input.weeks)
            for name in bounded(plan_input)
        }

    def place(self, row: Demand) -> None:
        """Place the case if parts, weeks and money allow."""
        found = self._parts(row)
        if found is None:
            return
        parts, ready = found
        for start in range(max(ready, row.case.earliest_week), len(self.plan_input.weeks)):
            planned = self._spread(row, parts, start)
            if planned:
                self._take(planned)
                return

    def _parts(self, row: Demand) -> tuple[list[PartSource], int] | None:
        """Return where the parts come from and the week by which all are there."""
        units, sources, ready = dict(self.units), [], 0
        for part in parts_of(row.must).values():
            source, week = self._source(part, units)
            if source is None:
                return None
            if source.supply_id:
                units[source.supply_id] -= 1
            sources.append(source)
            ready = max(ready, week)
        return sources, ready

    def _source(self, part: PartNeed, units: Mapping[str, int]) -> tuple[PartSource | None, int]:
        there = [self.supplies[name] for name in part.supply_ids if units[name]]
        if there:
            first = min(there, key=lambda supply: (supply.week, supply.id))
            return PartSource(need_id=part.id, supply_id=first.id, cents=0), first.week
        if part.price_cents is None:
            return None, 0
        bought = PartSource(need_id=part.id, supply_id=None, cents=part.price_cents)
        return bought, part.buy_week

    def _spread(self, row: Demand, parts: list[PartSource], start: int) -> PlannedCase | None:
        """Return the case begun in week `start` and worked on without a pause, if that goes."""
        must = {item.id for item in row.must}
        totals = row.totals(must, self.plan_input.bay_day_minutes)
        rest = {name: totals.get(name, 0) for name in bounded(self.plan_input)}
        uses: Uses = {}
        for week in range(start, len(self.plan_input.weeks)):
            taken = self._week(rest, week, row.free_minutes(must))
            uses |= {(week, name): amount for name, amount in taken.items() if amount}
            rest = {name: amount - taken[name] for name, amount in rest.items()}
            if not any(rest.values()):
                return PlannedCase(
                    case_id=row.case.id,
                    start_week=start,
                    home_week=week,
                    item_ids=tuple(sorted(must)),
                    parts=tuple(sorted(parts, key=lambda source: source.need_id)),
                    uses=uses,
                )
            if self._paused(taken, week, bay=bool(totals.get(BAY_DAYS)), first=week == start):
                return None
        return None

    def _week(self, rest: Mapping[str, int], week: int, free: int) -> dict[str, int]:
        """Return as much of the rest as the week holds for one car."""
        taken = {name: min(amount, self.left[week, name]) for name, amount in rest.items()}
        if BAY_DAYS in taken:
            taken[BAY_DAYS] = min(taken[BAY_DAYS], len(self.plan_input.weeks[week].days))
            if MINUTES in taken and len(self.plan_input.weeks) > 1:
                most = self.plan_input.bay_day_minutes * taken[BAY_DAYS] + free
                taken[MINUTES] = min(taken[MINUTES], most)
        return taken

    def _paused(self, taken: Mapping[str, int], week: int, *, bay: bool, first: bool) -> bool:
        """Return whether the car would stand idle, or leave its bay before its work ends."""
        if not any(taken.values()):
            return True
        days = taken.get(BAY_DAYS, 0)
        least = 1 if first else len(self.plan_input.weeks[week].days)
        return bay and days < least

    def _take(self, planned: PlannedCase) -> None:
        owed = bills(self.plan_input, [*self.cases, planned])
        reserve = self.plan_input.reserve_percent
        if pay(owed, self.plan_input.funds, reserve_percent=reserve) is None:
            return
        self.cases.append(planned)
        for source in planned.parts:
            if source.supply_id:
                self.units[source.supply_id] -= 1
        for key, amount in planned.uses.items():
            self.left[key] -= amount
