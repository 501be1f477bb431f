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

from collections import defaultdict
from dataclasses import replace
from typing import TYPE_CHECKING

from program.planning.aims import KEPT, WHAT, WHEN
from program.planning.canonical import canonical
from program.planning.demand import barred, bills, forced, forced_worth
from program.planning.hints import hint_of
from program.planning.payments import pay
from program.planning.plan import Payment, Plan, PlannedCase, Stage, StageName
from program.planning.search import NEED, Search, greedy_best
from program.planning.solving import EFFORT, Attention
from program.planning.wording import left_behind

if TYPE_CHECKING:
    from program.planning.aims import Aim
    from program.planning.problem import PlanInput
    from program.planning.solving import Watch

Cases = tuple[PlannedCase, ...]
__all__ = ["NEED", "first", "select"]


def select(plan_input: PlanInput, *, effort: float = EFFORT, watch: Watch | None = None) -> Plan:
    """Return the plan that reaches most for each aim in turn, and how far that is proven.

    Each aim is sought among the plans that are best for the aims before it. `effort` bounds the
    solver for each aim in deterministic seconds; a plan found in that time is marked as proven or
    with the bound it leaves open, and is never worse than the greedy plan. Who `watch`es is told
    how far it is and may end the search: the plan is then whole, and not repeatable.

    Raises:
        ValueError: the input contradicts itself, see `canonical`.
    """
    rows, attention = canonical(plan_input), Attention(watch)
    stages, cases = Search(rows, effort, attention).run()
    return _finished(rows, cases, stages, repeatable=not attention.stopped)


def first(plan_input: PlanInput) -> Plan:
    """Return a plan that can be used at once, before anything better is sought.

    It has its payments, no extras, and for each aim a bound that holds, if a wide one.

    Raises:
        ValueError: the input contradicts itself, see `canonical`.
    """
    rows = canonical(plan_input)
    hint = hint_of(rows)
    cases = greedy_best(rows, hint)
    kept = () if forced(rows) <= {case.case_id for case in cases} else (KEPT,)
    stages = tuple(_at_once(rows, cases, aim, hint.bound) for aim in (*kept, *WHAT, *WHEN))
    return _finished(rows, cases, stages, repeatable=True)


def _at_once(plan_input: PlanInput, cases: Cases, aim: Aim, need: int) -> Stage:
    """Return a stage with a bound that needs no search."""
    value, bound = aim.measure(plan_input, cases), 0
    if aim.name == StageName.NEED:
        bound = need
    elif aim.name == StageName.KEPT:
        bound = sum(forced_worth(plan_input).values())
    elif aim.name == StageName.SAFETY:
        out = {case.id for case in plan_input.cases if barred(plan_input, case)}
        bound = sum(item.points for item in plan_input.items if item.case_id not in out)
    return Stage(name=aim.name, value=value, bound=bound, proven=bound == value)


def _finished(
    plan_input: PlanInput, cases: Cases, stages: tuple[Stage, ...], *, repeatable: bool
) -> Plan:
    """Return the plan with its payments, and with what a person must know."""
    reserve = plan_input.reserve_percent
    payments = pay(bills(plan_input, cases), plan_input.funds, reserve_percent=reserve)
    if payments is None:
        raise ValueError("The planner's bills pass the money it has; this is a fault of its model.")
    owners = {item.id: item.case_id for item in plan_input.items}
    paid = defaultdict[str, list[Payment]](list)
    for payment in payments:
        paid[owners[payment.item_id]].append(payment)
    whole = tuple(replace(case, payments=tuple(paid[case.case_id])) for case in cases)
    missing = sorted(forced(plan_input) - {case.case_id for case in cases})
    return Plan(
        cases=whole,
        stages=stages,
        problems=tuple(map(left_behind, missing)),
        repeatable=repeatable,
    )
