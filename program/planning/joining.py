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

from program.planning.demand import bounded, demands
from program.planning.nearby import around
from program.planning.problem import Fund, PlanInput, by_id
from program.planning.solver import BIG_CENTS, Model, Relief, can_pay
from program.planning.solving import hint, lowest, solver
from program.planning.trying import apply, open_fund
from program.planning.whole import whole

if TYPE_CHECKING:
    from collections.abc import Callable, Collection, Iterable, Mapping

    from ortools.sat.python import cp_model

    from program.planning.demand import Demand
    from program.planning.plan import PlannedCase
    from program.planning.solving import Answer
    from program.planning.trying import Change

RELIEF_EFFORT = 4.0  # deterministic seconds for each question
NEAR = 48  # so many cars of a plan are given new weeks with one that joins them, before all are
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
        model = _all_of(only(rows, self.wanted), self.wanted, relief)
        hint(model, self.hints)
        return model

    def merged(self, relief: Relief) -> Model:
        """Return the same over all weeks as one: what can't be had in it can't be had at all.

        What is added to later weeks is part of what is added to all.
        """
        rows = whole(replace(only(self.plan_input, self.wanted), gift_week=0))
        names = {name: all_weeks(name) for name in bounded(rows)}
        more = frozenset(name for name, base in names.items() if base in relief.resources)
        model = _all_of(rows, self.wanted, replace(relief, resources=more))
        hint(model, self.hints)
        for (week, name), amount in model.more.items():
            model.cp.add(amount <= model.more[week, names[name]])
        return model

    def holds(self, changes: Iterable[Change] = ()) -> bool | None:
        """Return whether all go home once the changes are made; None when that stays open."""
        rows = apply(self.plan_input, changes)
        return fit(rows, self.wanted, self.hints, self.effort).fits

    def solvable(self, model: Model) -> bool | None:
        """Return whether a model has a plan; None when that stays open."""
        return _solvable(model, self.effort)


@dataclass(frozen=True, kw_only=True)
class Fit:
    """Whether some cases all go home, None when that stays open; and by which supplies."""

    fits: bool | None
    used: frozenset[tuple[str, str]] = frozenset()  # need, supply


def fit(rows: PlanInput, wanted: Iterable[str], cases: Iterable[PlannedCase], effort: float) -> Fit:
    """Return whether the wanted cases all go home, and nobody else has to.

    Asked first is over all weeks as one, where what can't be done can't be done at all. `cases` is
    a plan that keeps every rule of the input.
    """
    names = sorted({*wanted})
    if _solvable(_all_of(whole(only(rows, names)), names), effort) is False:
        return Fit(fits=False)
    return in_weeks(rows, names, cases, effort)


def in_weeks(
    rows: PlanInput, names: Collection[str], cases: Iterable[PlannedCase], effort: float
) -> Fit:
    """Return the same, without a look at all weeks as one.

    At first only the cases that are not in the plan are given weeks, and those beside them with
    most extras, which give way; all others are left in theirs. Where that fails, all are.
    """
    planned = list(cases)
    kept = [case for case in planned if case.case_id in {*names}]
    kept.sort(key=lambda case: (-len(case.item_ids), case.case_id))
    moved = {case.case_id for case in planned} ^ {*names} | {case.case_id for case in kept[:NEAR]}
    near = moved & {*names}
    if planned and len(near) < len(names):
        model = _all_of(only(around(rows, planned, moved), near), near)
        hint(model, planned)
        beside = _fit(model, effort)
        if beside.fits:
            return beside
    model = _all_of(only(rows, names), names)
    hint(model, planned)
    return _fit(model, effort)


def _all_of(rows: PlanInput, names: Iterable[str], relief: Relief = NOTHING) -> Model:
    """Return a model in which all of these go home."""
    model = Model(rows, extras=False, relief=relief)
    for name in sorted(names):
        model.cp.add(model.y[name] == 1)
    return model


def _fit(model: Model, effort: float) -> Fit:
    run = solver(effort)
    answer = lowest(model, 0, run)
    if answer.value is None:
        return Fit(fits=None if answer.status == "unknown" else False)
    return Fit(fits=True, used=frozenset(u for u, var in model.supplied.items() if run.value(var)))


def _solvable(model: Model, effort: float) -> bool | None:
    return _fit(model, effort).fits


def all_weeks(name: str) -> str:
    """Return the resource of which `whole` holds apart what the later weeks have.

    >>> all_weeks("minutes from week 1 on"), all_weeks("bay_days")
    ('minutes', 'bay_days')
    """
    return name.partition(" from week ")[0]


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


def money_model(
    bench: Bench, fund_id: str, *, merged: bool = False
) -> tuple[Model, cp_model.IntVar]:
    """Return a model in which one fund has more to spend, and how much more."""
    rows = bench.plan_input
    endless = Fund(id="endless", label="", available_cents=ENDLESS)
    rich = replace(bench, plan_input=replace(rows, funds=(endless,)))
    model = rich.merged(NOTHING) if merged else rich.model(rich.plan_input)
    more = model.cp.new_int_var(0, BIG_CENTS, "more cents")
    funds = rows.funds if fund_id in by_id(rows.funds) else (*rows.funds, open_fund(rows))
    pay_with(model, funds, {fund_id: more}, rows.reserve_percent)
    return model, more


def least_of(build: Callable[..., tuple[Model, Any]], effort: float) -> Answer:
    """Return the lowest value of a sum, asked over all weeks as one first.

    `build` makes the model and its sum, of all weeks as one when `merged`. Where the weeks allow
    what is least in all of them as one, that is proven the least.
    """
    merged, aim = build(merged=True)
    bound = lowest(merged, aim, solver(effort))
    if bound.status == "infeasible":
        return bound
    model, aim = build(merged=False)
    model.cp.add(aim == bound.bound)
    found = lowest(model, aim, solver(effort))
    if found.value is not None:
        return found
    model, aim = build(merged=False)
    model.cp.add(aim >= bound.bound)
    return lowest(model, aim, solver(effort))


def pay_with(
    model: Model, funds: Iterable[Fund], more: Mapping[str, Any], reserve_percent: int
) -> None:
    """Add the rows of the money of some funds, of which some have more to spend."""
    rows = list(funds)
    spend = {fund.id: fund.spendable_cents(reserve_percent) for fund in rows}
    can_pay(model, rows, {name: cents + more.get(name, 0) for name, cents in spend.items()})


def cents_into(fund: Fund, spendable: int, reserve_percent: int) -> int:
    """Return the least cents that, put into the fund, let it spend so much more.

    >>> general = Fund(id="g", label="g", available_cents=205_00)
    >>> cents_into(general, 121_74, 15)
    14000
    """
    target = fund.spendable_cents(reserve_percent) + spendable
    gross = -(-target * (100 + reserve_percent) // 100)
    return max(gross + fund.floor_cents - fund.available_cents, 0) if spendable else 0
