"""The aims of a plan, in their order: as sums for the solver, and as measured on a plan.

First what is done: need weight, safety points, cash left, fewest cases and parts changed. Then,
with that settled, when: high need early, fewest weeks moved, shortest stays.

>>> [aim.name.value for aim in WHAT]
['need', 'safety', 'cash', 'changes']
>>> [aim.name.value for aim in WHEN]
['early', 'moved', 'stay']
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from program.planning.demand import barred, bills, forced_worth
from program.planning.plan import PlannedCase, StageName
from program.planning.problem import HELD

if TYPE_CHECKING:
    from collections.abc import Callable, Collection

    from program.planning.problem import PlanInput
    from program.planning.solver import Expr, Model

    Cases = Collection[PlannedCase]


@dataclass(frozen=True, kw_only=True)
class Aim:
    """One aim: its sum in the model, and the same measured on planned cases."""

    name: StageName
    highest: bool
    expression: Callable[[Model], Expr]
    measure: Callable[[PlanInput, Cases], int]


def _kept(model: Model) -> Expr:
    return sum(worth * model.y[name] for name, worth in forced_worth(model.plan_input).items())


def _kept_of(plan_input: PlanInput, cases: Cases) -> int:
    planned = {case.case_id for case in cases}
    return sum(worth for name, worth in forced_worth(plan_input).items() if name in planned)


def _need(model: Model) -> Expr:
    return sum(row.case.need_weight * model.y[row.case.id] for row in model.rows)


def _need_of(plan_input: PlanInput, cases: Cases) -> int:
    planned = {case.case_id for case in cases}
    return sum(case.need_weight for case in plan_input.cases if case.id in planned)


def _safety(model: Model) -> Expr:
    points = {item.id: item.points for item in model.plan_input.items}
    return sum(points[item_id] * done for item_id, done in model.done.items())


def _safety_of(plan_input: PlanInput, cases: Cases) -> int:
    done = {item_id for case in cases for item_id in case.item_ids}
    return sum(item.points for item in plan_input.items if item.id in done)


def _cash(model: Model) -> Expr:
    return sum(model.cost.values())


def _cash_of(plan_input: PlanInput, cases: Cases) -> int:
    return sum(bills(plan_input, cases).values())


def _early(model: Model) -> Expr:
    """Return need weight times weeks until home: lower is earlier, high need counting more."""
    if len(model.weeks) == 1:
        return 0
    weights = {row.case.id: row.case.need_weight for row in model.rows}
    return sum(weights[name] * week * home for (name, week), home in model.homes.items())


def _early_of(plan_input: PlanInput, cases: Cases) -> int:
    weights = {case.id: case.need_weight for case in plan_input.cases}
    return sum(weights[case.case_id] * case.home_week for case in cases)


def _changes(model: Model) -> Expr:
    """Return cases new or gone and parts handed elsewhere since the approved plan."""
    prior = _prior(model.plan_input)
    if not prior:
        return 0
    changes: Expr = 0
    for row in model.rows:
        name = row.case.id
        if name not in prior:
            changes += model.y[name]
        elif not barred(model.plan_input, row.case):
            stood = _stood(model.plan_input, prior[name])
            changes += 1 - model.y[name] + sum(1 - model.supplied[use] for use in sorted(stood))
    return changes


def _changes_of(plan_input: PlanInput, cases: Cases) -> int:
    prior = _prior(plan_input)
    if not prior:
        return 0
    planned = {case.case_id: case for case in cases}
    changes = len(planned.keys() - prior.keys())
    for case in plan_input.cases:
        if case.id in prior and not barred(plan_input, case):
            after = planned.get(case.id)
            kept = {(source.need_id, source.supply_id) for source in after.parts} if after else ()
            changes += (after is None) + len(_stood(plan_input, prior[case.id]).difference(kept))
    return changes


def _prior(plan_input: PlanInput) -> dict[str, PlannedCase]:
    return {case.case_id: case for case in plan_input.prior.cases} if plan_input.prior else {}


def _stood(plan_input: PlanInput, before: PlannedCase) -> set[tuple[str, str]]:
    """Return the allocations (need, supply) of an approved case that are still possible."""
    items = [item for item in plan_input.items if item.id in before.item_ids]
    options = {(part.id, name) for item in items for part in item.parts for name in part.supply_ids}
    return {
        (source.need_id, source.supply_id)
        for source in before.parts
        if source.supply_id and (source.need_id, source.supply_id) in options
    }


def _moved(model: Model) -> Expr:
    """Return starts and homes in another week than in the approved plan."""
    moved: Expr = 0
    for name, before in _prior(model.plan_input).items():
        if name in model.y:
            moved += 2 * model.y[name] - model.starts.get((name, before.start_week), 0)
            moved -= model.homes.get((name, before.home_week), 0)
    return moved


def _moved_of(plan_input: PlanInput, cases: Cases) -> int:
    prior = _prior(plan_input)
    pairs = [(prior[case.case_id], case) for case in cases if case.case_id in prior]
    return sum(
        (before.start_week != after.start_week) + (before.home_week != after.home_week)
        for before, after in pairs
    )


def _stay(model: Model) -> Expr:
    """Return the days that cars hold a bay or a lift, and the weeks from their start to home."""
    homes = sum(week * home for (_, week), home in model.homes.items())
    starts = sum(week * start for (_, week), start in model.starts.items())
    held = [model.amount[key] for key in model.amount if key[2] in HELD]
    return sum(held) + homes - starts if held or len(model.weeks) > 1 else 0


def _stay_of(plan_input: PlanInput, cases: Cases) -> int:  # noqa: ARG001 (measures are alike)
    held = sum(case.used(name) for case in cases for name in HELD)
    return held + sum(case.home_week - case.start_week for case in cases)


KEPT = Aim(name=StageName.KEPT, highest=True, expression=_kept, measure=_kept_of)
WHAT = (
    Aim(name=StageName.NEED, highest=True, expression=_need, measure=_need_of),
    Aim(name=StageName.SAFETY, highest=True, expression=_safety, measure=_safety_of),
    Aim(name=StageName.CASH, highest=False, expression=_cash, measure=_cash_of),
    Aim(name=StageName.CHANGES, highest=False, expression=_changes, measure=_changes_of),
)
WHEN = (
    Aim(name=StageName.EARLY, highest=False, expression=_early, measure=_early_of),
    Aim(name=StageName.MOVED, highest=False, expression=_moved, measure=_moved_of),
    Aim(name=StageName.STAY, highest=False, expression=_stay, measure=_stay_of),
)
