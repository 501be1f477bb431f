"""The planner against instances with published optima.

Sources: J. Burkardt, Florida State University, KNAPSACK_01 data set (in tests/data); OR-Library
(Beasley 1990): mknap1 after Petersen 1967, mknapcb1 of Chu and Beasley 1998, gap1 and gap2 after
Osman 1995, assign100; PSPLIB, set j30, Kolisch and Sprecher 1997. All but the first are read from
the folder that HANDBACK_REFERENCE names.
"""

from __future__ import annotations

import csv
import json
import os
from dataclasses import replace
from itertools import islice
from pathlib import Path
from typing import TYPE_CHECKING

import pytest

from program.planning.bays import Task, schedule
from program.planning.greedy import greedy
from program.planning.problem import Case, Fund, Item, PlanInput
from program.planning.selection import select
from tests.program.planning.programs import week

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

KNAPSACKS = json.loads((Path(__file__).parents[2] / "data" / "knapsack_01.json").read_text())
PATIENT = 100.0  # deterministic seconds for each aim
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


def chu_beasley() -> Iterator[tuple[str, PlanInput]]:
    """Yield the name and the instance of each knapsack of mknapcb1."""
    numbers = map(int, reference("mkp", "mknapcb1.txt").read_text().split())

    def take(count: int) -> list[int]:
        return [next(numbers) for _ in range(count)]

    for number in range(next(numbers)):
        items, rows, _ = take(3)
        yield (
            f"5.100-{number:02}",
            knapsack(take(items), [take(items) for _ in range(rows)], take(rows)),
        )


@pytest.mark.slow
def test_knapsacks_of_chu_and_beasley_are_solved_between_the_best_of_1997_and_the_bound() -> None:
    """No optimum was published with them: the best of their genetic algorithm, and the bound of
    the linear relaxation."""
    with reference("mkp", "mknapcb_best_known.csv").open() as file:
        known = {row["problem"]: row for row in csv.DictReader(file)}
    for name, plan_input in islice(chu_beasley(), 3):
        plan = select(plan_input, effort=120)
        assert plan.proven
        assert int(known[name]["best_feasible_1997"]) <= plan.value
        assert plan.value <= float(known[name]["lp_bound"])


def assigned(
    profits: Sequence[Sequence[int]], uses: Sequence[Sequence[int]], there: Sequence[int]
) -> PlanInput:
    """Return jobs and agents as a week: each pair is a car of weight 1 that takes the job's only
    place and the agent's capacity; its profit is the safety points of its work."""
    pairs = [(agent, job) for agent, row in enumerate(profits) for job in range(len(row))]
    names = {(agent, job): f"{agent:03}-{job:03}" for agent, job in pairs}
    return PlanInput(
        weeks=(
            week(
                **{f"agent {agent}": size for agent, size in enumerate(there)},
                **{f"job {job}": 1 for job in range(len(profits[0]))},
            ),
        ),
        cases=tuple(
            Case(
                id=names[agent, job],
                need_weight=1,
                uses={f"agent {agent}": uses[agent][job], f"job {job}": 1},
            )
            for agent, job in pairs
        ),
        items=tuple(
            Item(id=name, case_id=name, tier=1, points=profits[agent][job])
            for (agent, job), name in names.items()
        ),
    )


def gap(number: int) -> Iterator[PlanInput]:
    numbers = map(int, reference("gap", f"gap{number}.txt").read_text().split())

    def take(count: int) -> list[int]:
        return [next(numbers) for _ in range(count)]

    for _ in range(next(numbers)):
        agents, jobs = take(2)
        profits, uses = ([take(jobs) for _ in range(agents)] for _ in range(2))
        yield assigned(profits, uses, take(agents))


OSMAN = {1: (336, 327, 339, 341, 326), 2: (434, 436, 420, 419, 428)}


@pytest.mark.parametrize("number", OSMAN)
def test_published_generalized_assignments_are_solved_in_their_order_of_aims(number: int) -> None:
    """Every job gets an agent (the first aim), and then the profit is as published (the second)."""
    found = []
    for plan_input in gap(number):
        plan = select(plan_input)
        need, safety = plan.stages[:2]
        assert (need.value, need.proven, safety.proven) == (15 if number == 1 else 20, True, True)
        found.append(safety.value)
    assert tuple(found) == OSMAN[number]


@pytest.mark.slow
def test_the_published_assignment_of_a_hundred_costs_its_least() -> None:
    """Each pair is a car of weight 1 and costs cents: the third aim, the least cash, is 305."""
    numbers = list(map(int, reference("assignment", "assign100.txt").read_text().split()))
    size, costs = numbers[0], numbers[1:]
    rows = [costs[size * n : size * (n + 1)] for n in range(size)]
    ones = [[1] * size] * size
    given = assigned([[0] * size] * size, ones, [1] * size)
    given = replace(
        given,
        items=tuple(
            replace(item, cash_cents=cents)
            for item, cents in zip(given.items, (c for row in rows for c in row), strict=True)
        ),
        funds=(Fund(id="g", label="General", available_cents=10**6),),
    )
    plan = select(given, effort=PATIENT)  # a garage waits less for its later aims
    reached = {stage.name.value: (stage.value, stage.proven) for stage in plan.stages}
    assert (reached["need"], reached["cash"]) == ((size, True), (305, True))


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
