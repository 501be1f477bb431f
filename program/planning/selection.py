"""The week's plan: which cases go home, proven against the best possible.

>>> from datetime import date
>>> from program.planning.problem import Case, PlanInput, Week
>>> week = Week(starts_on=date(2026, 11, 30), capacity={"minutes": 100})
>>> rows = tuple(Case(id=name, need_weight=weight, uses={"minutes": minutes})
...              for name, weight, minutes in [("a", 6, 90), ("b", 4, 40), ("c", 3, 60)])
>>> plan = select(PlanInput(weeks=(week,), cases=rows))
>>> plan.case_ids, plan.value, plan.bound, plan.proven
(('b', 'c'), 7, 7, True)
>>> select(PlanInput(weeks=(week,), cases=rows, pinned_in=frozenset("a"))).case_ids
('a',)
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from program.planning.aims import KEPT, WHAT, WHEN, Aim
from program.planning.canonical import canonical
from program.planning.demand import bills, forced
from program.planning.greedy import greedy
from program.planning.payments import pay
from program.planning.plan import Plan, PlannedCase, Stage
from program.planning.solver import Model
from program.planning.solving import EFFORT, Answer, highest, hint, lowest, read, solver
from program.planning.wording import left_behind

if TYPE_CHECKING:
    from program.planning.problem import PlanInput

Cases = tuple[PlannedCase, ...]
NEED, *LATER = WHAT
WEEKS_SHARE = 20  # of the effort: a better week is worth less waiting than a better choice


def select(plan_input: PlanInput, *, effort: float = EFFORT) -> Plan:
    """Return the plan that reaches most for each aim in turn, and how far that is proven.

    Each aim is sought among the plans that are best for the aims before it. `effort` bounds the
    solver for each aim in deterministic seconds; a plan found in that time is marked as proven or
    with the bound it leaves open, and is never worse than the greedy plan.

    Raises:
        ValueError: the input contradicts itself, see `canonical`.
    """
    rows = canonical(plan_input)
    stages, cases = _gate(rows, effort)
    model = Model(rows, extras=True)
    _freeze(model, KEPT, KEPT.measure(rows, cases))
    _freeze(model, NEED, NEED.measure(rows, cases))
    for aim in LATER:
        stage, cases = _reach(model, aim, cases, effort)
        _freeze(model, aim, stage.value)
        stages.append(stage)
    _settle(model, cases)
    for aim in WHEN:
        stage, cases = _reach(model, aim, cases, effort / WEEKS_SHARE)
        _freeze(model, aim, stage.value)
        stages.append(stage)
    return _finished(rows, cases, tuple(stages))


def _gate(plan_input: PlanInput, effort: float) -> tuple[list[Stage], Cases]:
    """Return the most need that can go home, over what must be done and nothing else."""
    model, start = Model(plan_input, extras=False), greedy(plan_input)
    before: list[Stage] = []
    if KEPT.measure(plan_input, start) < len(forced(plan_input)):
        kept, start = _reach(model, KEPT, start, effort)
        before = [kept] if kept.value < len(forced(plan_input)) else []
    _freeze(model, KEPT, KEPT.measure(plan_input, start))
    need, cases = _reach(model, NEED, start, effort)
    return [*before, need], cases


def _freeze(model: Model, aim: Aim, value: int) -> None:
    """Keep what was reached for an aim while the next is sought."""
    reached = aim.expression(model)
    if not isinstance(reached, int):
        model.cp.add(reached >= value if aim.highest else reached <= value)


def _settle(model: Model, cases: Cases) -> None:
    """Fix which cases, items and parts are in the plan; only their weeks stay open."""
    planned = {case.case_id for case in cases}
    items = {item_id for case in cases for item_id in case.item_ids}
    sources = {(source.need_id, source.supply_id) for case in cases for source in case.parts}
    for name, y in model.y.items():
        model.cp.add(y == (name in planned))
    for item_id in model.extras:
        model.cp.add(model.done[item_id] == (item_id in items))
    for use, supplied in model.supplied.items():
        model.cp.add(supplied == (use in sources))


def _reach(model: Model, aim: Aim, cases: Cases, effort: float) -> tuple[Stage, Cases]:
    """Return what can be reached for one aim, and the plan; `cases` is the plan so far."""
    expression = aim.expression(model)
    so_far = aim.measure(model.plan_input, cases)
    if isinstance(expression, int):
        return Stage(name=aim.name, value=so_far, bound=so_far, proven=True), cases
    hint(model, cases)
    run = solver(effort)
    answer = (highest if aim.highest else lowest)(model, expression, run)
    if answer.value is None or not _better(aim, answer.value, so_far):
        return _stage(aim, so_far, answer), cases
    return _stage(aim, answer.value, answer), read(model, run)


def _better(aim: Aim, value: int, so_far: int) -> bool:
    return value > so_far if aim.highest else value < so_far


def _stage(aim: Aim, value: int, answer: Answer) -> Stage:
    return Stage(name=aim.name, value=value, bound=answer.bound, proven=answer.bound == value)


def _finished(plan_input: PlanInput, cases: Cases, stages: tuple[Stage, ...]) -> Plan:
    """Return the plan with its payments, and with what a person must know."""
    reserve = plan_input.reserve_percent
    payments = pay(bills(plan_input, cases), plan_input.funds, reserve_percent=reserve)
    if payments is None:
        raise ValueError("The planner's bills pass the money it has; this is a fault of its model.")
    paid = tuple(
        replace(case, payments=tuple(p for p in payments if p.item_id in case.item_ids))
        for case in cases
    )
    missing = sorted(forced(plan_input) - {case.case_id for case in cases})
    return Plan(cases=paid, stages=stages, problems=tuple(map(left_behind, missing)))
