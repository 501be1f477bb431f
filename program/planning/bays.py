"""Which work goes on when, under resources that come back; and which car stands in which bay.

`schedule` answers any project of tasks with predecessors and shared resources; `lay_out` puts a
plan's cars on bays by the day.

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
from itertools import chain
from typing import TYPE_CHECKING

from program.planning.problem import BAY_DAYS, by_id
from program.planning.solving import EFFORT, solver
from program.planning.wording import week_of
from shared.problems import Level, Problem
from shared.say import say

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence
    from datetime import date

    from ortools.sat.python import cp_model

    from program.planning.plan import Plan, PlannedCase
    from program.planning.problem import PlanInput
    from shared.say import Say


BOARD_EFFORT = 1.0  # deterministic seconds: a day earlier is worth no longer wait


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


@dataclass(frozen=True, kw_only=True)
class Bay:
    """A place where a car is worked on."""

    id: str
    label: str = ""


@dataclass(frozen=True, kw_only=True)
class Stand:
    """One car in one bay, from its first to its last day there."""

    case_id: str
    bay_id: str
    first_on: date
    last_on: date


@dataclass(frozen=True, kw_only=True)
class Board:
    """The bays by the day, and what could not be laid out."""

    stands: tuple[Stand, ...]
    problems: tuple[Problem, ...] = ()


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


def lay_out(plan_input: PlanInput, plan: Plan, bays: Sequence[Bay]) -> Board:
    """Return which car stands in which bay on which days; each keeps one bay until its work ends.

    A car that its week can hold by total but not by the day is left off the board, and the problem
    says so: fewest points of need first. Days are counted over the open days of all weeks.
    """
    weeks = sorted(plan_input.weeks, key=lambda week: week.starts_on)
    days = list(chain.from_iterable(week.days for week in weeks))
    cars = {case.case_id: case for case in plan.cases if case.used(BAY_DAYS)}
    weights = {case.id: case.need_weight for case in plan_input.cases}
    places = _places(cars.values(), [len(week.days) for week in weeks], len(bays), weights)
    stands = [
        Stand(
            case_id=name,
            bay_id=bays[bay].id,
            first_on=days[first],
            last_on=days[first + cars[name].used(BAY_DAYS) - 1],
        )
        for name, (bay, first) in sorted(places.items(), key=lambda entry: entry[1])
    ]
    left = [car for name, car in cars.items() if name not in places]
    problems = [_no_bay(car, week_of(weeks[_first_week(car)])) for car in left]
    return Board(stands=tuple(stands), problems=tuple(problems))


def _places(
    cars: Iterable[PlannedCase], open_days: Sequence[int], bays: int, weights: Mapping[str, int]
) -> dict[str, tuple[int, int]]:
    """Return (bay, first day) of each car that finds room; most need first, then early days.

    Stays that never exceed the bays at once can be dealt to bays in order of their first day.
    """
    lengths = {car.case_id: car.used(BAY_DAYS) for car in cars}
    windows = {car.case_id: _window(car, open_days) for car in cars}
    firsts = _first_days(lengths, windows, bays, weights)
    free_from, places = [0] * bays, {}
    for name, first in sorted(firsts.items(), key=lambda entry: (entry[1], entry[0])):
        bay = next(bay for bay, day in enumerate(free_from) if day <= first)
        free_from[bay] = first + lengths[name]
        places[name] = bay, first
    return places


def _first_days(
    lengths: Mapping[str, int],
    windows: Mapping[str, tuple[int, int]],
    bays: int,
    weights: Mapping[str, int],
) -> dict[str, int]:
    from ortools.sat.python import cp_model  # noqa: PLC0415 (it takes half a second)

    model = cp_model.CpModel()
    starts = {name: model.new_int_var(*window, name) for name, window in windows.items()}
    here = {name: model.new_bool_var(name) for name in lengths}
    spans = [
        model.new_optional_fixed_size_interval_var(starts[name], length, here[name], name)
        for name, length in lengths.items()
    ]
    model.add_cumulative(spans, [1] * len(spans), bays)
    late = sum(last for _, last in windows.values()) + 1  # more than all lateness together
    served = sum((weights[name] + 1) * late * stands for name, stands in here.items())
    model.maximize(served - sum(starts.values()))
    run = solver(BOARD_EFFORT)
    if run.status_name(run.solve(model)) not in {"OPTIMAL", "FEASIBLE"}:
        return {}
    return {name: run.value(starts[name]) for name, stands in here.items() if run.value(stands)}


def _window(car: PlannedCase, open_days: Sequence[int]) -> tuple[int, int]:
    """Return the first and last day on which the car's stay may begin, counted over all weeks.

    A stay that runs on into the next week ends its first week without a gap.
    """
    week, length = _first_week(car), car.used(BAY_DAYS)
    begins, ends = sum(open_days[:week]), sum(open_days[: week + 1])
    here = car.uses[week, BAY_DAYS]
    return (begins, ends - length) if here == length else (ends - here, ends - here)


def _first_week(car: PlannedCase) -> int:
    return min(week for week, name in car.uses if name == BAY_DAYS)


def _no_bay(car: PlannedCase, week: Say) -> Problem:
    return Problem(
        say("{case} finds no bay by the day in the {week}.", case=car.case_id, week=week),
        remedy=say("Move a car of that week to another one, or open a bay for a day more."),
        level=Level.APPROVAL,
        where=car.case_id,
    )
