"""How long a plan takes, what to ask for first, and why each other case waits.

Run by hand from the top folder: `python -m pytest tests/bench/bench_planning.py -s -m bench -q`.
It prints figures, beside HiGHS on the same choice of one week in the same run, and asserts only
that both bring as much need home.
"""

from __future__ import annotations

from time import perf_counter
from typing import TYPE_CHECKING, TypeVar

import pytest

from program.planning.asking import ask_first
from program.planning.bays import Bay, lay_out
from program.planning.explain import why_not
from program.planning.selection import select
from tests.program.planning.programs import program
from tests.program.planning.test_solver import Oracle

if TYPE_CHECKING:
    from collections.abc import Callable

T = TypeVar("T")
pytestmark = pytest.mark.bench


def timed(work: Callable[[], T]) -> tuple[float, T]:
    before = perf_counter()
    result = work()
    return perf_counter() - before, result


@pytest.mark.parametrize("seed", range(6))
def test_a_typical_program_of_24_cars_and_three_weeks(seed: int) -> None:
    plan_input = program(seed)
    select(program(99, cases=2))  # loads the solver
    plan_s, plan = timed(lambda: select(plan_input))
    ask_s, asks = timed(lambda: ask_first(plan_input, plan))
    out = sorted({case.id for case in plan_input.cases} - set(plan.case_ids))
    why_s, _ = timed(lambda: [why_not(plan_input, plan, case_id) for case_id in out])
    board_s, board = timed(lambda: lay_out(plan_input, plan, [Bay(id="1"), Bay(id="2")]))
    print(  # noqa: T201 (a bench prints)
        f"{len(plan_input.items)} items: plan {plan_s:.2f} s, {len(asks)} asks {ask_s:.2f} s, "
        f"{len(out)} reasons {why_s:.2f} s, board {board_s:.2f} s, {len(board.problems)} problems"
    )
    assert plan.proven


@pytest.mark.parametrize("cases", [20, 50, 100])
def test_one_week_beside_another_solver(cases: int) -> None:
    plan_input = program(cases, cases=cases, weeks=1, quirks=False)
    own_s, plan = timed(lambda: select(plan_input))
    highs_s, need = timed(lambda: Oracle(plan_input).most_need())
    print(f"{cases} cases: {own_s:.2f} s for all aims, HiGHS {highs_s:.2f} s for need alone")  # noqa: T201 (a bench prints)
    assert plan.value == need
