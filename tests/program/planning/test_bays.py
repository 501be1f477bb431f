from __future__ import annotations

from itertools import permutations

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from program.planning.bays import Bay, Board, Task, lay_out, schedule
from program.planning.plan import Plan, PlannedCase
from program.planning.problem import Case, PlanInput
from program.planning.selection import select
from tests.program.planning.programs import program, seeds, week

BAYS = (Bay(id="1"), Bay(id="2"))
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


@pytest.mark.parametrize("seed", seeds(5, 20))
def test_no_bay_holds_two_cars_and_each_car_keeps_its_weeks(seed: int) -> None:
    plan_input = program(seed, cases=14)
    plan = select(plan_input)
    board = lay_out(plan_input, plan, BAYS)
    days = [day for row in plan_input.weeks for day in row.days]
    held = [
        (stand.bay_id, day)
        for stand in board.stands
        for day in days
        if stand.first_on <= day <= stand.last_on
    ]
    assert len(held) == len(set(held))
    for stand in board.stands:
        planned = plan.case(stand.case_id)
        assert planned is not None
        for number, row in enumerate(plan_input.weeks):
            inside = [day for day in row.days if stand.first_on <= day <= stand.last_on]
            assert len(inside) == planned.uses.get((number, "bay_days"), 0)
    placed = {stand.case_id for stand in board.stands}
    named = {problem.where for problem in board.problems}
    assert placed | named == {case.case_id for case in plan.cases if case.used("bay_days")}


def three_cars_of_three_days() -> Board:
    cases = tuple(Case(id=name, need_weight=n) for n, name in enumerate("abc"))
    plan = Plan(
        cases=tuple(
            PlannedCase(
                case_id=case.id,
                start_week=0,
                home_week=0,
                item_ids=(),
                uses={(0, "bay_days"): 3},
            )
            for case in cases
        ),
        stages=(),
    )
    return lay_out(PlanInput(weeks=(week(bay_days=10),), cases=cases), plan, BAYS)


def test_a_week_that_fits_by_total_and_not_by_the_day_is_said() -> None:
    board = three_cars_of_three_days()
    assert [stand.case_id for stand in board.stands] == ["b", "c"]
    assert [str(problem.sentence) for problem in board.problems] == [
        "a finds no bay by the day in the week of November 30."
    ]
