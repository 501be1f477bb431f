"""The model against HiGHS, which is given the same rules in another form.

Source: HiGHS through highspy, a mixed integer solver by others. Money is written there as payments
of each fund for each item, here as one row for each union of funds.
"""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import pytest

from program.planning.demand import bounded, demands
from program.planning.problem import BAY_DAYS
from program.planning.selection import select
from program.planning.solver import unions
from tests.program.planning.programs import program

if TYPE_CHECKING:
    from program.planning.problem import Item, PartNeed, PlanInput


class Oracle:
    """One week's program, with a variable for each payment and each source of a part."""

    def __init__(self, plan_input: PlanInput) -> None:
        highspy = pytest.importorskip("highspy", reason="highspy, the oracle, is not installed")
        self.rows, self.plan_input = demands(plan_input), plan_input
        self.highs = highspy.Highs()
        self.highs.silent()
        self.highs.setOptionValue("mip_rel_gap", 0.0)
        self.y = {row.case.id: self.highs.addBinary() for row in self.rows}
        self.supplied: dict[str, list[Any]] = {supply.id: [] for supply in plan_input.supplies}
        self.paid: dict[str, list[Any]] = {fund.id: [] for fund in plan_input.funds}
        for row in self.rows:
            for item in row.must:
                self.add_item(item)
        self.add_limits()

    def add_item(self, item: Item) -> None:
        cost = item.cash_cents * self.y[item.case_id]
        for part in item.parts:
            bought = self.highs.addBinary()
            if part.price_cents is None or part.buy_week > 0:
                self.highs.addConstr(bought <= 0)
            self.highs.addConstr(self.add_supplies(part) + bought == self.y[item.case_id])
            cost = cost + (part.price_cents or 0) * bought
        payers = [fund for fund in self.plan_input.funds if fund.may_pay(item.id)]
        shares = [self.highs.addVariable(lb=0) for _ in payers]
        for fund, share in zip(payers, shares, strict=True):
            self.paid[fund.id].append(share)
        self.highs.addConstr(cost - sum(shares) <= 0)

    def add_supplies(self, part: PartNeed) -> Any:
        ways: Any = 0
        weeks = {supply.id: supply.week for supply in self.plan_input.supplies}
        for name in part.supply_ids:
            if weeks[name] == 0:
                self.supplied[name].append(self.highs.addBinary())
                ways = ways + self.supplied[name][-1]
        return ways

    def add_limits(self) -> None:
        given = self.plan_input
        for supply in given.supplies:
            self.at_most(self.supplied[supply.id], supply.quantity)
        for fund in given.funds:
            self.at_most(self.paid[fund.id], fund.spendable_cents(given.reserve_percent))
        for name in bounded(given):
            uses = [
                row.totals({item.id for item in row.must}, given.bay_day_minutes).get(name, 0)
                * self.y[row.case.id]
                for row in self.rows
            ]
            self.at_most(uses, given.weeks[0].capacity[name])
            if name == BAY_DAYS:  # one car stands in one bay for five days at most
                for use in uses:
                    self.at_most([use], 5)

    def at_most(self, terms: list[Any], limit: int) -> None:
        if terms:
            self.highs.addConstr(sum(terms) <= limit)

    def most_need(self) -> int:
        self.highs.maximize(sum(r.case.need_weight * self.y[r.case.id] for r in self.rows))
        need: float = self.highs.getInfo().objective_function_value
        return round(need)


@pytest.mark.parametrize("seed", range(12))
def test_another_solver_given_payments_for_each_fund_brings_as_much_home(seed: int) -> None:
    plan_input = program(seed, cases=20, weeks=1, quirks=False)
    assert BAY_DAYS in bounded(plan_input)
    plan = select(plan_input)
    assert (plan.value, plan.proven) == (Oracle(plan_input).most_need(), True)


def test_unions_of_payer_sets_are_each_there_once() -> None:
    a, b, c = (frozenset(name) for name in "abc")
    assert unions([a, b, c, a | b]) == [a, b, c, a | b, a | c, b | c, a | b | c]
