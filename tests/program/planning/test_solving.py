from __future__ import annotations

from program.planning.aims import WHAT
from program.planning.problem import Case, PlanInput
from program.planning.solver import Model
from program.planning.solving import Answer, highest, lowest, read, solver
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
    assert answer.bound <= sum(case.need_weight for case in rows.cases)
