from __future__ import annotations

from itertools import permutations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from program.planning.bays import Task, schedule

durations_and_uses = st.lists(st.tuples(st.integers(1, 4), st.integers(1, 3)), max_size=5)


def serial(tasks: list[Task], there: int) -> int:
    """Return the end when each task in turn starts as early as the resource lets it."""
    load: dict[int, int] = {}
    for task in tasks:
        start = 0
        while any(load.get(start + n, 0) + task.uses["r"] > there for n in range(task.duration)):
            start += 1
        for n in range(task.duration):
            load[start + n] = load.get(start + n, 0) + task.uses["r"]
    return max(load, default=-1) + 1


@settings(max_examples=60)
@given(durations_and_uses)
def test_no_order_of_the_tasks_ends_sooner(rows: list[tuple[int, int]]) -> None:
    """Serial schedules in some order hold an optimum. Source: Kolisch 1996 (from memory)."""
    tasks = [Task(id=str(n), duration=d, uses={"r": u}) for n, (d, u) in enumerate(rows)]
    best = min(serial(list(order), 3) for order in permutations(tasks))
    found = schedule(tasks, {"r": 3})
    assert (found.makespan, found.bound) == (best, best)


def test_a_task_starts_after_those_it_waits_for() -> None:
    tasks = [Task(id="a", duration=2), Task(id="b", duration=3, after=("a",))]
    assert schedule(tasks, {}).starts == {"a": 0, "b": 2}


def test_tasks_that_wait_for_each_other_are_refused() -> None:
    tasks = [Task(id="a", duration=1, after=("b",)), Task(id="b", duration=1, after=("a",))]
    with pytest.raises(ValueError, match=r"^These tasks wait for each other in a circle\.$"):
        schedule(tasks, {})
    with pytest.raises(ValueError, match=r"^Task a waits for z, which isn't there\.$"):
        schedule([Task(id="a", duration=1, after=("z",))], {})
