"""Running CP-SAT on a model so that the same input gives the same answer, and reading it.

One worker, a fixed seed and a limit in the solver's own deterministic time: a clock would make
the answer depend on the machine. Who watches may end the search early all the same; then the
answer is what was found until then.

>>> EFFORT > 0
True
>>> Answer(status="optimal", value=3, bound=3).proven
True
>>> Deadline(0).stop()
True
"""

from __future__ import annotations

from dataclasses import dataclass
from math import ceil, floor
from time import monotonic
from typing import TYPE_CHECKING

from program.days.solving import Attention, Patient, Watch, solve
from program.planning.hands import HOURS_OF, told_apart
from program.planning.plan import PartSource, PlannedCase

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from ortools.sat.python import cp_model

    from program.planning.demand import Demand
    from program.planning.hands import Kind
    from program.planning.solver import Expr, Model

__all__ = [
    "Answer",
    "Attention",
    "Deadline",
    "Patient",
    "Watch",
    "highest",
    "hint",
    "lowest",
    "read",
    "solve",
    "solver",
]

EFFORT = 10.0  # deterministic seconds for one aim
SEED = 20261130
ROUNDING = 1e-6


class Deadline(Patient):
    """Ends the search so many seconds after it was made."""

    def __init__(self, seconds: float) -> None:
        self._ends_at = monotonic() + seconds

    def stop(self) -> bool:
        """Return whether the time is over."""
        return monotonic() >= self._ends_at


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


def solver(effort: float, *, linear: bool = True) -> cp_model.CpSolver:
    """Return a solver that repeats itself.

    `linear` programs inside the search prove what can't be reached in sums over all weeks; to set
    the weeks themselves it is quicker without.
    """
    from ortools.sat.python import cp_model  # noqa: PLC0415 (it takes half a second)

    made = cp_model.CpSolver()
    made.parameters.num_workers = 1
    # A person who stops a command means the command, not the search inside it.
    made.parameters.catch_sigint_signal = False
    made.parameters.linearization_level = 2 if linear else 0
    made.parameters.random_seed = SEED
    made.parameters.max_deterministic_time = effort
    return made


def highest(
    model: Model, aim: Expr, run: cp_model.CpSolver, watch: Attention | None = None
) -> Answer:
    """Return the highest value of the aim that was found, and its bound."""
    model.cp.maximize(aim)
    return _answer(model, run, watch, highest=True)


def lowest(
    model: Model, aim: Expr, run: cp_model.CpSolver, watch: Attention | None = None
) -> Answer:
    """Return the lowest value of the aim that was found, and its bound."""
    model.cp.minimize(aim)
    return _answer(model, run, watch, highest=False)


def _answer(
    model: Model, run: cp_model.CpSolver, watch: Attention | None, *, highest: bool
) -> Answer:
    if watch is not None and watch.stop():
        edge = _widest(model)
        return Answer(status="unknown", bound=floor(edge) if highest else ceil(edge))
    status = solve(model.cp, run, watch)
    if status not in {"optimal", "feasible", "infeasible", "unknown"}:
        raise ValueError(f"The planner could not read its own model: {status}.")
    if status == "infeasible":
        return Answer(status=status)
    edge = run.best_objective_bound
    if status == "unknown" and not edge:
        edge = _widest(model)  # a search that ended at once reports 0, which is no bound
    bound = floor(edge + ROUNDING) if highest else ceil(edge - ROUNDING)
    if status == "unknown":
        return Answer(status=status, bound=bound)
    return Answer(status=status, value=round(run.objective_value), bound=bound)


def _widest(model: Model) -> float:
    """Return the best that the aim could be if no rule but each variable's own range held."""
    proto = model.cp.proto
    aim, total = proto.objective, 0
    for place, factor in zip(aim.vars, aim.coeffs, strict=True):
        ends = list(proto.variables[place].domain)  # its own indexing knows no last
        total += min(factor * ends[0], factor * ends[-1])
    return float((total + aim.offset) * (aim.scaling_factor or 1))


def read(model: Model, run: cp_model.CpSolver) -> tuple[PlannedCase, ...]:
    """Return the cases of the solver's last answer, without payments and relief."""
    rows = {row.case.id: row for row in model.rows}
    used = {need: name for (need, name), var in model.supplied.items() if run.value(var)}
    return tuple(
        _read_case(model, run, rows[name], used) for name, y in model.y.items() if run.value(y)
    )


def _read_case(
    model: Model, run: cp_model.CpSolver, row: Demand, used: Mapping[str, str]
) -> PlannedCase:
    name = row.case.id
    items = [item for item in row.items if item.id in model.done and run.value(model.done[item.id])]
    needs = sorted(part.id for item in items for part in item.parts)
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
        parts=tuple(_source(need, used.get(need), model.prices) for need in needs),
        uses={key: amount for key, amount in uses.items() if amount},
    )


def _source(need_id: str, supply_id: str | None, prices: Mapping[str, int]) -> PartSource:
    cents = 0 if supply_id else prices[need_id]
    return PartSource(need_id=need_id, supply_id=supply_id, cents=cents)


def hint(model: Model, cases: Iterable[PlannedCase]) -> None:
    """Tell the solver a plan to start from."""
    model.cp.clear_hints()  # type: ignore[no-untyped-call]
    planned = {case.case_id: case for case in cases}
    items = {item_id for case in planned.values() for item_id in case.item_ids}
    sources = {source.need_id: source for case in planned.values() for source in case.parts}
    alike = len(model.weeks) == 1  # the weeks of the plan may be taken as one here
    for name, y in model.y.items():
        model.cp.add_hint(y, name in planned)
    for (name, week), start in model.starts.items():
        model.cp.add_hint(start, name in planned and (alike or planned[name].start_week == week))
    for (name, week), home in model.homes.items():
        model.cp.add_hint(home, name in planned and (alike or planned[name].home_week == week))
    for item_id in model.extras:
        model.cp.add_hint(model.done[item_id], item_id in items)
    for (need, supply_id), used in model.supplied.items():
        model.cp.add_hint(used, need in sources and sources[need].supply_id == supply_id)
    for (name, week, resource), used in model.amount.items() if not alike else ():
        uses = planned[name].uses if name in planned else {}
        if not resource.startswith(HOURS_OF):
            model.cp.add_hint(used, uses.get((week, resource), 0))
    _hint_kinds(model, planned)


def _hint_kinds(model: Model, planned: Mapping[str, PlannedCase]) -> None:
    """Tell the solver when each kind of work is done that not everybody may do."""
    kinds: dict[tuple[str, int], list[Kind]] = {}
    for name, week, kind in model.kinds:
        kinds.setdefault((name, week), []).append(kind)
    for (name, week), own in kinds.items():
        uses = planned[name].uses if name in planned else {}
        taken = {hours: uses.get((week, hours), 0) for kind in own for hours in kind}
        for kind, minutes in told_apart(own, taken).items():
            model.cp.add_hint(model.kinds[name, week, kind], minutes)
