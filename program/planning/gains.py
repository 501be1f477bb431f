"""How much more need goes home once something is added: exact, and quick where a bound helps.

The prices of the linear program bound what is possible, and fix the cases that any better plan
takes or leaves out; the solver decides the rest.

>>> from datetime import date
>>> from program.planning.problem import Case, PlanInput, Week
>>> from program.planning.selection import select
>>> week = Week(starts_on=date(2026, 11, 30), capacity={"minutes": 100})
>>> rows = tuple(Case(id=name, need_weight=weight, uses={"minutes": minutes})
...              for name, weight, minutes in [("a", 6, 90), ("b", 5, 40)])
>>> plan = select(PlanInput(weeks=(week,), cases=rows))
>>> longer = Week(starts_on=date(2026, 11, 30), capacity={"minutes": 130})
>>> better(PlanInput(weeks=(longer,), cases=rows), plan)
Gain(points=5, bound=5, freed=('b',), displaced=(), used=())
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from program.planning.aims import WHAT
from program.planning.demand import barred, forced
from program.planning.hints import hint_of
from program.planning.joining import only
from program.planning.solver import Model
from program.planning.solving import highest, hint, solver

if TYPE_CHECKING:
    from ortools.sat.python import cp_model

    from program.planning.hints import Hint
    from program.planning.plan import Plan
    from program.planning.problem import Fund, PlanInput

NEED = WHAT[0]
GAIN_EFFORT = 2.0  # deterministic seconds for each question
CLOSE_EFFORT = 0.2  # to find whose car need not be displaced


@dataclass(frozen=True, kw_only=True)
class Gain:
    """Points of need beyond a plan's, and the most there could be.

    `freed` go home and didn't, `displaced` did and don't; `used` are the needs that were served by
    what was added.
    """

    points: int = 0
    bound: int = 0
    freed: tuple[str, ...] = ()
    displaced: tuple[str, ...] = ()
    used: tuple[str, ...] = ()

    @property
    def exact(self) -> bool:
        """Whether no choice gains more."""
        return self.points == self.bound


def bound_of(rows: PlanInput, plan: Plan) -> tuple[int, Hint]:
    """Return the most points that any plan of an input gains, and the prices that say so."""
    found = hint_of(rows)
    return max(found.bound - plan.value, 0), found


def better(
    rows: PlanInput,
    plan: Plan,
    *,
    added: str = "",
    close: bool = True,
    prices: Hint | None = None,
    effort: float = GAIN_EFFORT,
) -> Gain:
    """Return what the best plan of an input, in canonical order, gains over a plan.

    Cases that have to stay in and are in the plan stay in. Of equal choices it is one that keeps
    most of the plan's cars, if it is to be `close`. `added` names the supply whose use is told.
    """
    prices = prices or hint_of(rows)
    least = plan.value + 1
    if prices.bound < least:
        return Gain()
    model = narrowed(rows, plan, prices, least)
    need = NEED.expression(model)
    model.cp.add(need <= prices.bound)
    run = solver(effort)
    answer = highest(model, need, run)
    if answer.value is None:
        most = answer.bound - plan.value if answer.status == "unknown" else 0
        return Gain(bound=max(min(most, prices.bound - plan.value), 0))
    chosen = {name for name, y in model.y.items() if run.value(y)}
    if close:
        run = closest(model, plan, need >= answer.value, run)
        chosen = {name for name, y in model.y.items() if run.value(y)}
    used = [use for use, var in model.supplied.items() if use[1] == added and run.value(var)]
    return Gain(
        points=answer.value - plan.value,
        bound=answer.bound - plan.value,
        freed=tuple(sorted(chosen - {*plan.case_ids})),
        displaced=tuple(sorted({*plan.case_ids} - chosen)),
        used=tuple(sorted(need_id for need_id, _ in used)),
    )


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


def narrowed(
    rows: PlanInput, plan: Plan, prices: Hint, least: int, *, funds: tuple[Fund, ...] | None = None
) -> Model:
    """Return a model with only those cases open that the prices leave open.

    It holds every plan of at least that need weight. With `funds` these stand in for the input's;
    the prices may be of a richer input, never of a poorer one.
    """
    stay = forced(rows) & {*plan.case_ids}
    sure = dict.fromkeys(stay, True) | {
        name: goes for name, goes in prices.sure(least).items() if name not in stay
    }
    able = [case.id for case in rows.cases if not barred(rows, case)]
    left = only(rows, [name for name in able if sure.get(name, True)])
    model = Model(left if funds is None else replace(left, funds=funds), extras=False)
    hint(model, plan.cases)
    for name in sorted(sure):
        if sure[name]:
            model.cp.add(model.y[name] == 1)
    model.cp.add(NEED.expression(model) >= least)
    return model
