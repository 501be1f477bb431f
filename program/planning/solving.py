"""Running CP-SAT on a model so that the same input gives the same answer, and reading it.

One worker, a fixed seed and a limit in the solver's own deterministic time: a clock would make
the answer depend on the machine.

>>> EFFORT > 0
True
>>> Answer(status="optimal", value=3, bound=3).proven
True
"""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, floor
from typing import TYPE_CHECKING

from program.planning.plan import PartSource, PlannedCase

if TYPE_CHECKING:
    from collections.abc import Iterable

    from ortools.sat.python import cp_model

    from program.planning.solver import Expr, Model

EFFORT = 10.0  # deterministic seconds for one aim
SEED = 20261130
ROUNDING = 1e-6


@dataclass(frozen=True, kw_only=True)
class Answer:
    """What the solver found for one aim. `value` is None when it has no plan."""

    status: str  # optimal, feasible, infeasible, unknown
    value: int | None = None
    bound: int = 0

    @property
    def proven(self) -> bool:
        """Whether nothing better exists."""
        return self.status == "optimal"


def solver(effort: float) -> cp_model.CpSolver:
    """Return a solver that repeats itself."""
    from ortools.sat.python import cp_model  # noqa: PLC0415 (it takes half a second)

    made = cp_model.CpSolver()
    made.parameters.num_workers = 1
    # A person who stops a command means the command, not the search inside it.
    made.parameters.catch_sigint_signal = False
    made.parameters.linearization_level = 2
    made.parameters.random_seed = SEED
    made.parameters.max_deterministic_time = effort
    return made


def highest(model: Model, aim: Expr, run: cp_model.CpSolver) -> Answer:
    """Return the highest value of the aim that was found, and its bound."""
    model.cp.maximize(aim)
    return _answer(model, run, highest=True)


def lowest(model: Model, aim: Expr, run: cp_model.CpSolver) -> Answer:
    """Return the lowest value of the aim that was found, and its bound."""
    model.cp.minimize(aim)
    return _answer(model, run, highest=False)


def _answer(model: Model, run: cp_model.CpSolver, *, highest: bool) -> Answer:
    status = run.status_name(run.solve(model.cp)).lower()
    if status not in {"optimal", "feasible", "infeasible", "unknown"}:
        raise ValueError(f"The planner could not read its own model: {status}.")
    if status == "infeasible":
        return Answer(status=status)
    edge = run.best_objective_bound
    bound = floor(edge + ROUNDING) if highest else ceil(edge - ROUNDING)
    if status == "unknown":
        return Answer(status=status, bound=bound)
    return Answer(status=status, value=round(run.objective_value), bound=bound)


def read(model: Model, run: cp_model.CpSolver) -> tuple[PlannedCase, ...]:
    """Return the cases of the solver's last answer, without payments and relief."""
    return tuple(_read_case(model, run, name) for name, y in model.y.items() if run.value(y))


def _read_case(model: Model, run: cp_model.CpSolver, name: str) -> PlannedCase:
    row = next(row for row in model.rows if row.case.id == name)
    items = [item for item in row.items if item.id in model.done and run.value(model.done[item.id])]
    needs = [part.id for item in items for part in item.parts]
    uses = {
        (week, resource): run.value(model.amount[name, week, resource])
        for week in model.weeks
        for resource in model.resources
    }
    return PlannedCase(
        case_id=name,
        start_week=next(week for week in model.weeks if run.value(model.starts[name, week])),
        home_week=next(week for week in model.weeks if run.value(model.homes[name, week])),
        item_ids=tuple(item.id for item in items),
        parts=tuple(_read_part(model, run, need) for need in sorted(needs)),
        uses={key: amount for key, amount in uses.items() if amount},
    )


def _read_part(model: Model, run: cp_model.CpSolver, need_id: str) -> PartSource:
    for (need, supply_id), used in model.supplied.items():
        if need == need_id and run.value(used):
            return PartSource(need_id=need_id, supply_id=supply_id, cents=0)
    return PartSource(need_id=need_id, supply_id=None, cents=model.prices[need_id])


def hint(model: Model, cases: Iterable[PlannedCase]) -> None:
    """Tell the solver a plan to start from."""
    model.cp.clear_hints()  # type: ignore[no-untyped-call]
    planned = {case.case_id: case for case in cases}
    items = {item_id for case in planned.values() for item_id in case.item_ids}
    sources = {source.need_id: source for case in planned.values() for source in case.parts}
    for name, y in model.y.items():
        model.cp.add_hint(y, name in planned)
    for (name, week), start in model.starts.items():
        model.cp.add_hint(start, name in planned and planned[name].start_week == week)
    for (name, week), home in model.homes.items():
        model.cp.add_hint(home, name in planned and planned[name].home_week == week)
    for item_id in model.extras:
        model.cp.add_hint(model.done[item_id], item_id in items)
    for (need, supply_id), used in model.supplied.items():
        model.cp.add_hint(used, need in sources and sources[need].supply_id == supply_id)
    for (name, week, resource), used in model.amount.items() if len(model.weeks) > 1 else ():
        uses = planned[name].uses if name in planned else {}
        model.cp.add_hint(used, uses.get((week, resource), 0))
