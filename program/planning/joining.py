"""A waiting case joining the chosen ones: the question that every explanation asks the solver.

>>> from datetime import date
>>> from program.planning.problem import Case, PlanInput, Week
>>> from program.planning.trying import Change, ChangeKind
>>> week = Week(starts_on=date(2026, 11, 30), capacity={"minutes": 100})
>>> rows = (Case(id="a", need_weight=6, uses={"minutes": 90}),
...         Case(id="b", need_weight=5, uses={"minutes": 40}))
>>> bench = Bench(plan_input=PlanInput(weeks=(week,), cases=rows), kept=("a",), case_id="b")
>>> bench.holds(), bench.holds([Change(kind=ChangeKind.TIME, amount=30)])
(False, True)
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from program.planning.demand import demands
from program.planning.problem import Fund, PlanInput, by_id
from program.planning.solver import BIG_CENTS, Model, Relief, unions
from program.planning.solving import hint, lowest, solver
from program.planning.trying import apply, open_fund

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from ortools.sat.python import cp_model

    from program.planning.demand import Demand
    from program.planning.plan import PlannedCase
    from program.planning.trying import Change

RELIEF_EFFORT = 4.0  # deterministic seconds for each question
NOTHING = Relief()
ENDLESS = 10**11  # cents that no plan can spend: a fund that never runs out


@dataclass(frozen=True, kw_only=True)
class Bench:
    """One question: which case is to join which others. The input stands in canonical order.

    `hints` is the plan so far. Nothing beside what must be done is counted: an extra item may wait.
    """

    plan_input: PlanInput
    kept: tuple[str, ...]
    case_id: str
    hints: tuple[PlannedCase, ...] = ()
    effort: float = RELIEF_EFFORT

    @property
    def wanted(self) -> tuple[str, ...]:
        """The cases that all have to go home, in order of id."""
        return tuple(sorted({*self.kept, self.case_id}))

    @property
    def row(self) -> Demand:
        """What the case that is asked about takes."""
        return next(row for row in demands(self.plan_input) if row.case.id == self.case_id)

    def model(self, rows: PlanInput, relief: Relief = NOTHING) -> Model:
        """Return a model of the wanted cases only, all of which go home."""
        model = Model(only(rows, self.wanted), extras=False, relief=relief)
        hint(model, self.hints)
        for name in self.wanted:
            model.cp.add(model.y[name] == 1)
        return model

    def holds(self, changes: Iterable[Change] = ()) -> bool | None:
        """Return whether all go home once the changes are made; None when that stays open."""
        rows = apply(self.plan_input, changes)
        return self.solvable(self.model(rows))

    def solvable(self, model: Model) -> bool | None:
        """Return whether a model has a plan; None when that stays open."""
        answer = lowest(model, 0, solver(self.effort))
        return None if answer.status == "unknown" else answer.value is not None


def only(rows: PlanInput, case_ids: Iterable[str]) -> PlanInput:
    """Return the input with these cases; of the others stays what their cars take up here."""
    wanted = frozenset(case_ids)
    cases = tuple(
        case for case in rows.cases if case.id in wanted or (case.stands and not case.comes)
    )
    return replace(
        rows,
        cases=cases,
        items=tuple(item for item in rows.items if item.case_id in wanted),
        pinned_in=frozenset(),
        pinned_out=frozenset(case.id for case in cases) - wanted,
    )


def money_model(bench: Bench, fund_id: str) -> tuple[Model, cp_model.IntVar]:
    """Return a model in which one fund has more to spend, and how much more."""
    rows = bench.plan_input
    endless = Fund(id="endless", label="", available_cents=ENDLESS)
    model = bench.model(replace(rows, funds=(endless,)))
    more = model.cp.new_int_var(0, BIG_CENTS, "more cents")
    funds = rows.funds if fund_id in by_id(rows.funds) else (*rows.funds, open_fund(rows))
    pay_with(model, funds, {fund_id: more}, rows.reserve_percent)
    return model, more


def pay_with(
    model: Model, funds: Iterable[Fund], more: Mapping[str, Any], reserve_percent: int
) -> None:
    """Add the rows of the money of some funds, of which some have more to spend."""
    rows = list(funds)
    spend = {fund.id: fund.spendable_cents(reserve_percent) for fund in rows}
    payers = {
        item_id: frozenset(fund.id for fund in rows if fund.may_pay(item_id))
        for item_id in model.cost
    }
    for union in unions(payers.values()):
        owed = sum(model.cost[item_id] for item_id, own in payers.items() if own <= union)
        there = sum(spend[name] + more.get(name, 0) for name in sorted(union))
        model.cp.add(owed <= there)


def cents_into(fund: Fund, spendable: int, reserve_percent: int) -> int:
    """Return the least cents that, put into the fund, let it spend so much more.

    >>> general = Fund(id="g", label="g", available_cents=205_00)
    >>> cents_into(general, 121_74, 15)
    14000
    """
    target = fund.spendable_cents(reserve_percent) + spendable
    gross = -(-target * (100 + reserve_percent) // 100)
    return max(gross + fund.floor_cents - fund.available_cents, 0) if spendable else 0
