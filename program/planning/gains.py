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

from dataclasses import dataclass
from typing import TYPE_CHECKING

from program.planning.choosing import GAIN_EFFORT, choose, start_of
from program.planning.hints import hint_of

if TYPE_CHECKING:
    from program.planning.hints import Hint
    from program.planning.plan import Plan
    from program.planning.problem import PlanInput


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
    prices: Hint | None = None,
    effort: float = GAIN_EFFORT,
) -> Gain:
    """Return what the best plan of an input, in canonical order, gains over a plan.

    Cases that have to stay in and are in the plan stay in. Of equal choices it is one that keeps
    most of the plan's cars. `added` names the supply whose use is told.
    """
    start = start_of(rows, plan, prices)
    found = choose(start, plan.value + 1, effort=effort)
    most = max(found.bound - plan.value, 0)
    if found.value is None:
        return Gain(bound=most)
    chosen = {*found.case_ids}
    return Gain(
        points=found.value - plan.value,
        bound=most,
        freed=tuple(sorted(chosen - {*plan.case_ids})),
        displaced=tuple(sorted({*plan.case_ids} - chosen)),
        used=tuple(sorted(need_id for need_id, supply_id in found.used if supply_id == added)),
    )
