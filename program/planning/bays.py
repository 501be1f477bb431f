"""Which work goes on when, under resources that come back.

`schedule` answers any project of tasks with predecessors and shared resources.

>>> tasks = [Task(id="a", duration=3, uses={"lift": 1}), Task(id="b", duration=2, uses={"lift": 1}),
...          Task(id="c", duration=1, after=("a",))]
>>> found = schedule(tasks, {"lift": 1})
>>> found.makespan, found.bound, found.proven
(5, 5, True)
>>> schedule([Task(id="a", duration=1, uses={"lift": 2})], {"lift": 1})
Traceback (most recent call last):
ValueError: Task a takes 2 of lift, and 1 are there.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

from program.planning.problem import by_id
from program.planning.solving import EFFORT, solver

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from ortools.sat.python import cp_model


@dataclass(frozen=True, kw_only=True)
class Task:
    """Work that can't be interrupted: how long, what it takes meanwhile, what must end before."""

    id: str
    duration: int
    uses: Mapping[str, int] = field(default_factory=dict)
    after: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Schedule:
    """When each task starts, when all is done, and the end that no schedule can beat."""

    starts: Mapping[str, int]
    makespan: int
    bound: int

    @property
    def proven(self) -> bool:
        """Whether nothing shorter exists."""
        return self.makespan == self.bound


def schedule(
    tasks: Iterable[Task], capacities: Mapping[str, int], *, effort: float = EFFORT
) -> Schedule:
    """Return the shortest schedule found, with the bound that is proven.

    Raises:
        ValueError: a task takes more than there is, names an unknown task, or tasks wait for each
            other in a circle.
    """
    from ortools.sat.python import cp_model  # noqa: PLC0415 (it takes half a second)

    rows = by_id(tasks)
    _refuse_impossible(rows, capacities)
    model, horizon = cp_model.CpModel(), sum(task.duration for task in rows.values())
    starts = {name: model.new_int_var(0, horizon, name) for name in rows}
    end = model.new_int_var(0, horizon, "end")
    for name, task in rows.items():
        model.add(end >= starts[name] + task.duration)
        for before in task.after:
            model.add(starts[name] >= starts[before] + rows[before].duration)
    for resource in sorted(capacities):
        _share(model, rows, starts, (resource, capacities[resource]))
    model.minimize(end)
    run = solver(effort)
    status = run.status_name(run.solve(model))
    if status == "INFEASIBLE":
        raise ValueError("These tasks wait for each other in a circle.")
    if status == "UNKNOWN":
        raise ValueError("No schedule was found in the time given.")
    found = {name: run.value(start) for name, start in starts.items()}
    return Schedule(starts=found, makespan=run.value(end), bound=round(run.best_objective_bound))


def _share(
    model: cp_model.CpModel,
    rows: Mapping[str, Task],
    starts: Mapping[str, cp_model.IntVar],
    capacity: tuple[str, int],
) -> None:
    resource, there = capacity
    users = [name for name, task in rows.items() if task.uses.get(resource)]
    spans = [
        model.new_fixed_size_interval_var(starts[name], rows[name].duration, f"{name} {resource}")
        for name in users
    ]
    if users:
        model.add_cumulative(spans, [rows[name].uses[resource] for name in users], there)


def _refuse_impossible(rows: Mapping[str, Task], capacities: Mapping[str, int]) -> None:
    for name, task in rows.items():
        for resource, amount in task.uses.items():
            there = capacities.get(resource, 0)
            if amount > there:
                raise ValueError(
                    f"Task {name} takes {amount} of {resource}, and {there} are there."
                )
        for before in task.after:
            if before not in rows:
                raise ValueError(f"Task {name} waits for {before}, which isn't there.")
