"""The planner against instances with published optima.

Sources: J. Burkardt, Florida State University, KNAPSACK_01 data set (in tests/data); OR-Library,
mknap1, after Petersen 1967; PSPLIB, set j30, Kolisch and Sprecher 1997. The last two are read from
the folder that HANDBACK_REFERENCE names.
"""

from __future__ import annotations

import csv
import json
import os
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from program.planning.bays import Task, schedule
from program.planning.greedy import greedy
from program.planning.problem import Case, PlanInput
from program.planning.selection import select
from tests.program.planning.programs import week

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

KNAPSACKS = json.loads((Path(__file__).parents[2] / "data" / "knapsack_01.json").read_text())
NAMES = sorted(name for name in KNAPSACKS if name != "source")
MISSED_BY_GREEDY = NAMES[1:]  # so a silent fall back to the greedy plan would be seen


def knapsack(
    profits: Sequence[int], weights: Sequence[Sequence[int]], capacities: Sequence[int]
) -> PlanInput:
    """Return a knapsack as a week: items are cases, each constraint a named resource."""
    cases = tuple(
        Case(
            id=f"{n:03}",
            need_weight=profit,
            uses={f"r{m}": row[n] for m, row in enumerate(weights)},
        )
        for n, profit in enumerate(profits)
    )
    there = {f"r{m}": capacity for m, capacity in enumerate(capacities)}
    return PlanInput(weeks=(week(**there),), cases=cases)


def published(name: str) -> PlanInput:
    case = KNAPSACKS[name]
    return knapsack(case["profits"], [case["weights"]], [case["capacity"]])


@pytest.mark.parametrize("name", NAMES)
def test_a_published_knapsack_is_solved_to_its_optimum(name: str) -> None:
    plan = select(published(name))
    best = KNAPSACKS[name]["optimal_profit"]
    assert (plan.value, plan.bound, plan.proven) == (best, best, True)
    chosen = [int(case.id in plan.case_ids) for case in published(name).cases]
    assert chosen == KNAPSACKS[name]["optimal_selection"]


def test_the_greedy_alone_misses_published_optima() -> None:
    missed = []
    for name in NAMES:
        cases = published(name).cases
        placed = {planned.case_id for planned in greedy(published(name))}
        profit = sum(case.need_weight for case in cases if case.id in placed)
        if profit < KNAPSACKS[name]["optimal_profit"]:
            missed.append(name)
    assert missed == MISSED_BY_GREEDY


def reference(*parts: str) -> Path:
    """Return a file of the reference folder, or skip the test."""
    folder = os.environ.get("HANDBACK_REFERENCE")
    if not folder:
        pytest.skip("HANDBACK_REFERENCE names no folder with the published instances.")
    path = Path(folder, "optimisation", *parts)
    if not path.exists():
        pytest.skip(f"The reference folder has no {'/'.join(parts)}.")
    return path


def mknap1() -> Iterator[tuple[int, PlanInput]]:
    """Yield the published optimum and the instance; all times ten, since some have a decimal."""
    numbers = iter(reference("mkp", "mknap1.txt").read_text().split())

    def take(count: int) -> list[int]:
        return [round(float(next(numbers)) * 10) for _ in range(count)]

    for _ in range(int(next(numbers))):
        items, rows = int(next(numbers)), int(next(numbers))
        (best,) = take(1)
        yield best, knapsack(take(items), [take(items) for _ in range(rows)], take(rows))


def test_the_multi_constraint_knapsacks_of_petersen_are_solved() -> None:
    for best, plan_input in mknap1():
        plan = select(plan_input)
        assert (plan.value, plan.proven) == (best, True)


def project(path: Path) -> tuple[list[Task], dict[str, int]]:
    """Return the tasks and capacities of a PSPLIB single-mode file."""
    lines = path.read_text().splitlines()
    starts = ("jobnr.", "REQUESTS", "RESOURCEA")
    heads = [next(n for n, line in enumerate(lines) if line.startswith(s)) for s in starts]
    jobs = int(next(line for line in lines if line.startswith("jobs")).split(":")[1])
    follows = [[int(x) for x in line.split()] for line in lines[heads[0] + 1 : heads[0] + 1 + jobs]]
    demands = [[int(x) for x in line.split()] for line in lines[heads[1] + 3 : heads[1] + 3 + jobs]]
    there = [int(x) for x in lines[heads[2] + 2].split()]
    before: dict[int, list[str]] = {row[0]: [] for row in demands}
    for row in follows:
        for after in row[3:]:
            before[after].append(f"{row[0]:02}")
    tasks = [
        Task(
            id=f"{row[0]:02}",
            duration=row[2],
            uses={f"R{n}": amount for n, amount in enumerate(row[3:]) if amount},
            after=tuple(before[row[0]]),
        )
        for row in demands
    ]
    return tasks, {f"R{n}": amount for n, amount in enumerate(there)}


def published_makespans(wanted: str) -> list[tuple[str, int]]:
    with reference("psplib", "optima.csv").open() as file:
        rows = list(csv.DictReader(file))
    return [
        (row["instance"], int(row["published_makespan"]))
        for row in rows
        if row["instance"].startswith(wanted)
    ]


def test_published_projects_are_scheduled_in_their_least_time() -> None:
    for name, makespan in published_makespans("j301_"):
        found = schedule(*project(reference("psplib", f"{name}.sm")))
        assert (name, found.makespan, found.bound) == (name, makespan, makespan)


@pytest.mark.slow
def test_more_published_projects_are_scheduled_in_their_least_time() -> None:
    names = [entry for set_name in ("j305_", "j3045_") for entry in published_makespans(set_name)]
    for name, makespan in names:
        found = schedule(*project(reference("psplib", f"{name}.sm")), effort=60)
        assert (name, found.makespan) == (name, makespan)
