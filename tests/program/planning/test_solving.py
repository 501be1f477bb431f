from __future__ import annotations

import pytest

from program.planning.aims import WHAT
from program.planning.problem import Case, PlanInput
from program.planning.solver import Model
from program.planning.solving import (
    Answer,
    Attention,
    Deadline,
    highest,
    lowest,
    read,
    solver,
)
from tests.program.planning.programs import program, week

NEED = WHAT[0]
ROWS = PlanInput(
    weeks=(week(minutes=50),),
    cases=tuple(Case(id=name, need_weight=3, uses={"minutes": 30}) for name in "ab"),
)


def test_an_answer_holds_value_and_bound() -> None:
    model, run = Model(ROWS, extras=False), solver(1)
    answer = highest(model, NEED.expression(model), run)
    assert answer == Answer(status="optimal", value=3, bound=3)
    assert [case.uses for case in read(model, run)] == [{(0, "minutes"): 30}]


def test_what_can_not_be_is_told_as_infeasible() -> None:
    model = Model(ROWS, extras=False)
    model.cp.add(NEED.expression(model) >= 6)
    assert lowest(model, NEED.expression(model), solver(1)) == Answer(status="infeasible")


def test_without_time_there_is_no_answer_and_a_bound_that_holds() -> None:
    rows = program(4, cases=60)
    model = Model(rows, extras=False)
    answer = highest(model, NEED.expression(model), solver(1e-9))
    assert (answer.status, answer.value) == ("unknown", None)
    assert answer.bound == sum(case.need_weight for case in rows.cases)


def test_without_time_the_least_is_bounded_by_nothing_but_the_ranges() -> None:
    rows = program(4, cases=60)
    model = Model(rows, extras=False)
    spent = sum(model.cost.values())
    assert lowest(model, spent, solver(1e-9)) == Answer(status="unknown", bound=0)


class Impatient:
    """Stops when asked for the n-th time; remembers what it was told."""

    def __init__(self, patience: int = 0) -> None:
        self.patience, self.asked = patience, 0
        self.told: list[tuple[int, str]] = []

    def tell(self, percent: int, doing: str) -> None:
        self.told.append((percent, doing))

    def stop(self) -> bool:
        self.asked += 1
        return self.asked > self.patience


def test_a_search_that_is_watched_gives_the_same_answer() -> None:
    model = Model(ROWS, extras=False)
    watched = highest(model, NEED.expression(model), solver(1), Attention(Impatient(10**9)))
    assert watched == Answer(status="optimal", value=3, bound=3)


def test_a_search_that_nobody_waits_for_ends_with_a_bound_that_holds() -> None:
    rows = program(4, cases=200)
    model = Model(rows, extras=True)
    answer = highest(model, NEED.expression(model), solver(1e9), Attention(Impatient()))
    assert answer.status in {"feasible", "unknown"}
    assert answer.bound >= sum(case.need_weight for case in rows.cases) // 10


def test_who_asked_once_to_stop_is_not_asked_again() -> None:
    watch = Impatient()
    attention = Attention(watch)
    assert [attention.stop(), attention.stop(), watch.asked] == [True, True, 1]


def test_a_deadline_ends_the_search_when_its_time_is_over() -> None:
    assert (Deadline(0).stop(), Deadline(1e9).stop()) == (True, False)
    Deadline(0).tell(50, "hears nothing")


def test_a_model_beyond_what_can_be_counted_is_a_fault_that_is_told() -> None:
    model = Model(ROWS, extras=False)
    huge = [model.cp.new_int_var(0, 2**62, name) for name in "xyz"]
    model.cp.add(sum(huge) <= 5)
    with pytest.raises(ValueError, match=r"^The planner could not read its own model: model_inval"):
        highest(model, NEED.expression(model), solver(1))
