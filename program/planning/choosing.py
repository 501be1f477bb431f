"""The best choice of cars near a plan: over all weeks as one first, then in which weeks.

The prices of the linear program fix the cases that any choice of enough need takes or leaves out.
What is left is chosen over all weeks as one, which is quick and which no choice in the weeks can
pass. Where that choice finds its weeks it is proven the best; else the weeks are searched.

>>> from datetime import date
>>> from program.planning.hints import hint_of
>>> from program.planning.problem import Case, PlanInput, Week
>>> from program.planning.selection import select
>>> week = Week(starts_on=date(2026, 11, 30), capacity={"minutes": 100})
>>> rows = PlanInput(weeks=(week,), cases=tuple(
...     Case(id=name, need_weight=weight, uses={"minutes": minutes})
...     for name, weight, minutes in [("a", 6, 90), ("b", 5, 40), ("c", 3, 60)]))
>>> plan = select(rows)
>>> prices = hint_of(rows)
>>> choose(Start(rows=rows, plan=plan, prices=taking(prices, ["a"])), 1).case_ids
('a',)
>>> choose(Start(rows=rows, plan=plan, prices=prices), 9)
Choice(value=None, bound=8, case_ids=(), used=frozenset())
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from program.planning.aims import KEPT, WHAT
from program.planning.check import check_plan
from program.planning.demand import barred, forced, forced_worth
from program.planning.greedy import greedy
from program.planning.hints import UNIT, hint_of
from program.planning.joining import in_weeks, only
from program.planning.solver import Model
from program.planning.solving import highest, hint, solver
from program.planning.whole import whole
from program.planning.wording import left_behind

if TYPE_CHECKING:
    from collections.abc import Collection

    from ortools.sat.python import cp_model

    from program.planning.hints import Hint
    from program.planning.plan import Plan
    from program.planning.problem import Fund, PlanInput

NEED = WHAT[0]
GAIN_EFFORT = 2.0  # deterministic seconds for each question
CLOSE_EFFORT = 0.2  # to find whose car need not be displaced
CERTAIN = 10**9 * UNIT  # worth so much that no choice leaves it out


@dataclass(frozen=True, kw_only=True)
class Choice:
    """The need weight that was reached, the most that there could be, and who goes home.

    `value` is None when no choice of enough need was found; `bound` below the least that was asked
    for proves that there is none. `used` are the supplies that a choice uses, by need.
    """

    value: int | None = None
    bound: int
    case_ids: tuple[str, ...] = ()
    used: frozenset[tuple[str, str]] = frozenset()


@dataclass(frozen=True, kw_only=True)
class Start:
    """What a choice starts from: an input in canonical order, a plan, and what the prices say.

    The prices are those of `taking` for the cases that have to go home. The plan may break a rule
    of the input only where it does not `hold`.
    """

    rows: PlanInput
    plan: Plan
    prices: Hint
    holds: bool = True


def start_of(rows: PlanInput, plan: Plan, prices: Hint | None = None) -> Start:
    """Return a start from which those cases go home that are in the plan and have to stay in."""
    known = taking(prices or hint_of(rows), forced(rows) & {*plan.case_ids})
    return Start(rows=rows, plan=plan, prices=known)


def choose(start: Start, least: int, *, effort: float = GAIN_EFFORT) -> Choice:
    """Return the choice of most need, of at least so much.

    Of equal choices it is one that keeps most of the plan's cars.
    """
    if start.prices.bound < least:
        return Choice(bound=least - 1)
    model = _model(start, whole(_open(start, least)), least)
    found, run = _most(start, model, start.prices.bound, effort=effort)
    if found.bound < least:
        return Choice(bound=least - 1)
    if run is not None:
        chosen = _chosen(model, run)
        placed = in_weeks(start.rows, chosen, start.plan.cases if start.holds else (), effort)
        if placed.fits:
            return replace(found, case_ids=chosen, used=placed.used)
    model = _model(start, _open(start, least), least)
    found, run = _most(start, model, found.bound, effort=effort)
    if run is None:
        return replace(found, bound=max(found.bound, least - 1))
    used = frozenset(use for use, var in model.supplied.items() if run.value(var))
    return replace(found, case_ids=_chosen(model, run), used=used)


def _chosen(model: Model, run: cp_model.CpSolver) -> tuple[str, ...]:
    return tuple(name for name, y in model.y.items() if run.value(y))


def taking(prices: Hint, case_ids: Collection[str]) -> Hint:
    """Return what the prices say of plans that take these cases.

    Every such plan lacks what the cases lack to the price of what they take.
    """
    lacks = sum(min(prices.beyond.get(name, 0), 0) for name in {*case_ids})
    beyond = dict(prices.beyond) | dict.fromkeys(case_ids, CERTAIN)
    return replace(prices, total=prices.total + lacks, beyond=beyond)


def narrowed(start: Start, least: int, funds: tuple[Fund, ...], *, merged: bool) -> Model:
    """Return a model with only those cases open that the prices leave open.

    It holds every plan of at least that need weight, over all weeks as one when `merged`. The
    funds stand in for the input's; the prices may be of a richer input, never of a poorer one.
    """
    left = replace(_open(start, least), funds=funds)
    return _model(start, whole(left) if merged else left, least)


def _open(start: Start, least: int) -> PlanInput:
    """Return the input without the cases that no choice of so much need takes."""
    goes, rows = start.prices.sure(least), start.rows
    able = [case.id for case in rows.cases if not barred(rows, case)]
    return only(rows, [name for name in able if goes.get(name, True)])


def _model(start: Start, left: PlanInput, least: int) -> Model:
    """Return a model of at least so much need, in which what is certain is settled."""
    model = Model(left, extras=False)
    hint(model, start.plan.cases)
    for name, goes in sorted(start.prices.sure(least).items()):
        if goes:
            model.cp.add(model.y[name] == 1)
    model.cp.add(NEED.expression(model) >= least)
    return model


def _most(
    start: Start, model: Model, bound: int, *, effort: float
) -> tuple[Choice, cp_model.CpSolver | None]:
    """Return the most need in a model, and the search that holds the choice, if it found one."""
    need, run = NEED.expression(model), solver(effort)
    model.cp.add(need <= bound)
    answer = highest(model, need, run)
    if answer.value is None:
        return Choice(bound=-1 if answer.status == "infeasible" else min(answer.bound, bound)), None
    run = closest(model, start.plan, need >= answer.value, run)
    return Choice(value=answer.value, bound=answer.bound), run


def surely(rows: PlanInput, stay: Collection[str]) -> int:
    """Return need weight that some plan with these cases reaches: the greedy one, or none."""
    found = {case.case_id for case in greedy(rows)}
    if not found.issuperset(stay):
        return 0
    return sum(case.need_weight for case in rows.cases if case.id in found)


def choose_after(rows: PlanInput, plan: Plan, effort: float) -> Choice:
    """Return the best choice in an input that may have changed since the plan was made.

    It keeps as many as can be kept of the cases that have to stay in. Where what is left of the
    plan still holds, few cases stay open.
    """
    cases = {case.id: case for case in rows.cases if not barred(rows, case)}
    left = replace(plan, cases=tuple(case for case in plan.cases if case.case_id in cases))
    stay = forced(rows)
    missing = stay.difference(left.case_ids)
    holds = not check_plan(rows, replace(left, problems=tuple(map(left_behind, sorted(missing)))))
    start = Start(rows=rows, plan=left, prices=hint_of(rows), holds=holds)
    least = surely(rows, stay)
    if holds and not missing:
        least = max(least, sum(cases[name].need_weight for name in left.case_ids))
    if least:
        return choose(_with(start, stay), least, effort=effort)
    found = choose(_with(start, stay), 0, effort=effort)
    if found.value is not None:
        return found
    worth = forced_worth(rows)
    if missing and holds and sum(worth[name] for name in missing) == min(worth.values()):
        least = sum(cases[name].need_weight for name in left.case_ids)
        return choose(_with(start, stay - missing), least, effort=effort)
    return _most_kept(rows, plan, effort)


def _with(start: Start, stay: Collection[str]) -> Start:
    return replace(start, prices=taking(start.prices, stay))


def _most_kept(rows: PlanInput, plan: Plan, effort: float) -> Choice:
    """Return the best choice where not all can be kept that have to stay in."""
    model, run = Model(rows, extras=False), solver(effort)
    hint(model, plan.cases)
    kept = KEPT.expression(model)
    model.cp.add(kept >= (highest(model, kept, solver(effort)).value or 0))
    need = NEED.expression(model)
    answer = highest(model, need, run)
    if answer.value is None:
        return Choice(bound=answer.bound)
    run = closest(model, plan, need >= answer.value, run)
    chosen = tuple(name for name, y in model.y.items() if run.value(y))
    return Choice(value=answer.value, bound=answer.bound, case_ids=chosen)


def closest(model: Model, plan: Plan, as_good: Any, found: cp_model.CpSolver) -> cp_model.CpSolver:
    """Return, among the choices that are as good, one that keeps most of the plan's cars."""
    if all(name in model.y and found.value(model.y[name]) for name in plan.case_ids):
        return found
    model.cp.clear_hints()  # type: ignore[no-untyped-call]
    for y in model.y.values():
        model.cp.add_hint(y, found.value(y))
    model.cp.add(as_good)
    run = solver(CLOSE_EFFORT)
    kept = sum(model.y[name] for name in plan.case_ids if name in model.y)
    return found if highest(model, kept, run).value is None else run
