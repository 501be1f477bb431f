"""The same rules in another form, for HiGHS: a mixed integer solver by others (highspy).

A car has a variable for each pair of start and home week, a fund one for each bill that it may
pay, and a part one for each source. In `program.planning.solver` starts and homes are apart, and
money has no variables. Only what must be done is planned here.
"""

from __future__ import annotations

from collections import defaultdict
from itertools import combinations
from typing import TYPE_CHECKING, Any

import pytest

from program.planning.demand import barred, bounded, demands
from program.planning.problem import BAY_DAYS, LIFT_DAYS, MINUTES

if TYPE_CHECKING:
    from program.planning.demand import Demand
    from program.planning.problem import Item, PartNeed, PlanInput

Stay = tuple[int, int]  # start and home week


class Oracle:
    """A program as a mixed integer model."""

    def __init__(self, plan_input: PlanInput) -> None:
        highspy = pytest.importorskip("highspy", reason="highspy, the oracle, is not installed")
        self.rows, self.given = demands(plan_input), plan_input
        self.days = [len(week.days) for week in plan_input.weeks]
        self.names = bounded(plan_input)
        self.highs = highspy.Highs()
        self.highs.silent()
        self.highs.setOptionValue("mip_rel_gap", 0.0)
        self.supplied: dict[str, list[Any]] = {supply.id: [] for supply in plan_input.supplies}
        self.paid: dict[str, list[Any]] = {fund.id: [] for fund in plan_input.funds}
        self.taken: defaultdict[tuple[int, str], list[Any]] = defaultdict(list)
        self.here: defaultdict[tuple[int, str], list[Any]] = defaultdict(list)
        self.y = {row.case.id: self.add_case(row) for row in self.rows}
        self.add_limits()

    def add_case(self, row: Demand) -> Any:
        weeks, case = range(len(self.days)), row.case
        first = len(weeks) if barred(self.given, case) else case.earliest_week
        stays = {(s, h): self.highs.addBinary() for h in weeks for s in range(first, h + 1)}
        y: Any = sum(stays.values())
        if stays:
            self.highs.addConstr(y <= 1)
            for item in row.must:
                self.add_item(item, stays)
            self.add_work(row, stays)
        for week in weeks:
            for name, amount in case.stands.items():
                gone = sum(z for (_, home), z in stays.items() if home < week)
                if case.comes:
                    self.taken[week, name].append(amount * self.there(stays, week))
                else:
                    self.here[week, name].append(amount * (1 - gone))
        return y

    def there(self, stays: dict[Stay, Any], week: int) -> Any:
        return sum(z for (start, home), z in stays.items() if start <= week <= home)

    def add_item(self, item: Item, stays: dict[Stay, Any]) -> None:
        y = sum(stays.values())
        cost = item.cash_cents * y
        for part in item.parts:
            bought = self.after(part.buy_week, stays)
            if part.price_cents is None:
                self.highs.addConstr(bought <= 0)
            self.highs.addConstr(self.add_supplies(part, stays) + bought - y == 0)
            cost = cost + (part.price_cents or 0) * bought
        payers = [fund for fund in self.given.funds if fund.may_pay(item.id)]
        shares = [self.highs.addVariable(lb=0) for _ in payers]
        for fund, share in zip(payers, shares, strict=True):
            self.paid[fund.id].append(share)
        self.highs.addConstr(cost - sum(shares) <= item.set_aside_cents)

    def after(self, week: int, stays: dict[Stay, Any]) -> Any:
        """Return a source that serves only a car which starts in that week or later."""
        used = self.highs.addBinary()
        self.highs.addConstr(used - sum(z for (s, _), z in stays.items() if s >= week) <= 0)
        return used

    def add_supplies(self, part: PartNeed, stays: dict[Stay, Any]) -> Any:
        ways: Any = 0
        weeks = {supply.id: supply.week for supply in self.given.supplies}
        for name in part.supply_ids:
            self.supplied[name].append(self.after(weeks[name], stays))
            ways = ways + self.supplied[name][-1]
        return ways

    def add_work(self, row: Demand, stays: dict[Stay, Any]) -> None:
        """Spread what the car takes over its weeks."""
        must = {item.id for item in row.must}
        totals = row.totals(must, self.given.bay_day_minutes)
        amounts: dict[tuple[int, str], Any] = {}
        for name in self.names:
            for week, days in enumerate(self.days):
                most = days if name in (BAY_DAYS, LIFT_DAYS) else totals.get(name, 0)
                amount = self.highs.addIntegral(lb=0, ub=most if totals.get(name) else 0)
                self.highs.addConstr(amount - most * self.there(stays, week) <= 0)
                amounts[week, name] = amount
                self.taken[week, name].append(amount)
            used = sum(amounts[week, name] for week in range(len(self.days)))
            needed = totals.get(name, 0) * sum(stays.values())
            self.highs.addConstr(used - needed >= 0)
        if BAY_DAYS in self.names:
            self.add_bay(row, stays, amounts, held=bool(totals.get(BAY_DAYS)))
        if LIFT_DAYS in self.names:
            self.add_lift(amounts)

    def add_bay(
        self,
        row: Demand,
        stays: dict[Stay, Any],
        amounts: dict[tuple[int, str], Any],
        *,
        held: bool,
    ) -> None:
        must = {item.id for item in row.must}
        outside, free = row.outside_days(must), row.free_minutes(must)
        bay = [amounts[week, BAY_DAYS] for week in range(len(self.days))]
        open_days = sum(sum(self.days[s : h + 1]) * z for (s, h), z in stays.items())
        self.highs.addConstr(sum(bay) + outside * sum(stays.values()) - open_days <= 0)
        for week, days in enumerate(bay):
            if MINUTES in self.names and len(bay) > 1:
                most = self.given.bay_day_minutes * days + free * self.there(stays, week)
                self.highs.addConstr(amounts[week, MINUTES] - most <= 0)
            starts = [z for (s, _), z in stays.items() if s == week]
            if held and starts:
                self.highs.addConstr(days - sum(starts) >= 0)
        for (start, home), z in stays.items() if held else ():
            between = range(start + 1, home)
            least = sum(self.days[w] for w in between) - outside
            if least > 0:
                self.highs.addConstr(sum(bay[w] for w in between) - least * z >= 0)

    def add_lift(self, amounts: dict[tuple[int, str], Any]) -> None:
        weeks = range(len(self.days))
        on = [self.highs.addBinary() for _ in weeks]
        for week in weeks:
            lift = amounts[week, LIFT_DAYS]
            self.highs.addConstr(lift - amounts[week, BAY_DAYS] <= 0)
            self.highs.addConstr(lift - self.days[week] * on[week] <= 0)
        for before, week, after in combinations(weeks, 3):
            off = self.days[week] * (2 - on[before] - on[after])
            held = amounts[week, LIFT_DAYS] - amounts[week, BAY_DAYS] + off
            self.highs.addConstr(held >= 0)

    def add_limits(self) -> None:
        for supply in self.given.supplies:
            self.at_most(self.supplied[supply.id], supply.quantity)
        for fund in self.given.funds:
            self.at_most(self.paid[fund.id], fund.spendable_cents(self.given.reserve_percent))
        for (week, name), uses in self.taken.items():
            there, here = self.given.weeks[week].capacity[name], self.here[week, name]
            if not here:
                self.at_most(uses, there)
                continue
            # Either nothing is added to what stands here, or all of it together fits.
            full, much = self.highs.addBinary(), 1_000
            self.highs.addConstr(sum(uses) + sum(here) - much * full <= there)
            self.highs.addConstr(sum(uses) + much * full <= much)

    def at_most(self, terms: list[Any], limit: int) -> None:
        if terms:
            self.highs.addConstr(sum(terms) <= limit)

    def most_need(self) -> int:
        self.highs.maximize(sum(r.case.need_weight * self.y[r.case.id] for r in self.rows))
        assert str(self.highs.getModelStatus()) == "HighsModelStatus.kOptimal"
        need: float = self.highs.getInfo().objective_function_value
        return round(need)
