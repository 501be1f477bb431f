"""How good a plan is and how long it takes, beside a spreadsheet's rules and another solver.

Run by hand from the top folder: `python -m pytest tests/bench/bench_planning.py -s -m bench -q`.
One run prints one table of generated programs (`generator.py`, work that spans weeks), with value
and gap to the best bound known, and then what a typical program of 24 cars takes in all. It asserts
only what has to be equal. The machine may be shared: compare the ratios inside one run. CPU seconds
stand beside those of the clock.
"""

from __future__ import annotations

from functools import partial
from time import perf_counter, process_time
from typing import TYPE_CHECKING, TypeVar

import pytest

from program.planning.asking import ask_first
from program.planning.check import check_plan
from program.planning.explain import why_not
from program.planning.greedy import by_scarcity, full_price, greedy
from program.planning.selection import first, select
from program.planning.whole import whole
from tests.bench.generator import generate
from tests.program.planning.oracle import Oracle
from tests.program.planning.programs import program

if TYPE_CHECKING:
    from collections.abc import Callable

    from program.planning.demand import Demand
    from program.planning.plan import Plan
    from program.planning.problem import PlanInput

T = TypeVar("T")
pytestmark = pytest.mark.bench
LEAST_SECONDS = 5.0  # that the other solver is given, however quick the plan was


def say(text: str) -> None:
    print(text, flush=True)  # noqa: T201 (a bench prints)


def timed(work: Callable[[], T]) -> tuple[float, float, T]:
    """Return seconds by the clock and of the processor, and what the work gave."""
    clock, cpu = perf_counter(), process_time()
    result = work()
    return perf_counter() - clock, process_time() - cpu, result


class Clock:
    """Watches a plan, and notes when its need weight was settled."""

    def __init__(self) -> None:
        self.began = perf_counter(), process_time()
        self.need: tuple[float, float] | None = None

    def tell(self, percent: int, doing: str) -> None:
        if doing == "choosing extras" and self.need is None:
            clock, cpu = self.began
            self.need = perf_counter() - clock, process_time() - cpu

    def stop(self) -> bool:
        return False


def spreadsheet_rules(plan_input: PlanInput) -> dict[str, Callable[[Demand], float]]:
    """Return the orders in which a coordinator with a spreadsheet would take the cases."""
    order = {case.id: place for place, case in enumerate(plan_input.cases)}
    return {
        "first come": lambda row: -order[row.case.id],
        "highest need": lambda row: row.case.need_weight - full_price(row) / 1e9,
        "need per dollar": lambda row: row.case.need_weight / (full_price(row) + 1),
        "need per scarce share": by_scarcity(plan_input),
    }


def by_highs(plan_input: PlanInput, seconds: float) -> tuple[int, int]:
    """Return the need weight that HiGHS found in a time, and its bound; a build is not counted."""
    oracle = Oracle(plan_input)
    oracle.highs.setOptionValue("time_limit", seconds)
    oracle.highs.setOptionValue("threads", 1)
    oracle.highs.maximize(sum(r.case.need_weight * oracle.y[r.case.id] for r in oracle.rows))
    info = oracle.highs.getInfo()
    found, bound = info.objective_function_value, info.mip_dual_bound
    return (round(found) if 0 <= found < 1e9 else 0), int(min(bound, 1e9) + 1e-6)


def line(name: str, value: int, bound: int, clock: float, cpu: float) -> None:
    gap = 100 * (bound - value) / max(bound, 1)
    say(f"  {name:<34}{value:>8}{gap:>9.2f} %{clock:>10.2f} s{cpu:>10.2f} s CPU")


def compare(cases: int, seed: int) -> None:
    plan_input, watch = generate(cases, seed), Clock()
    plan: Plan = select(plan_input, watch=watch)
    whole_s, whole_cpu = perf_counter() - watch.began[0], process_time() - watch.began[1]
    check_s, check_cpu, broken = timed(lambda: check_plan(plan_input, plan))
    assert broken == []
    assert watch.need is not None
    say(f"\n{cases} cases, seed {seed}: {len(plan_input.items)} items, bound {plan.bound}")
    weights = {case.id: case.need_weight for case in plan_input.cases}
    for name, worth in spreadsheet_rules(plan_input).items():
        clock, cpu, chosen = timed(partial(greedy, plan_input, worth))
        line(name, sum(weights[case.case_id] for case in chosen), plan.bound, clock, cpu)
    clock, cpu, start = timed(lambda: first(plan_input))
    line("first plan, with its bound", start.value, start.bound, clock, cpu)
    line("plan: need settled", plan.value, plan.bound, *watch.need)
    line("plan: all aims", plan.value, plan.bound, whole_s, whole_cpu)
    line("check of the plan", plan.value, plan.bound, check_s, check_cpu)
    seconds = max(watch.need[0], LEAST_SECONDS)
    for name, rows in (("weeks", plan_input), ("all weeks as one", whole(plan_input))):
        clock, cpu, (value, bound) = timed(partial(by_highs, rows, seconds))
        line(f"HiGHS, {name}, {seconds:.0f} s", value, bound, clock, cpu)
        assert plan.value <= bound
    gaps = {stage.name.value: (stage.value, stage.bound) for stage in plan.stages}
    say(f"  stages: {gaps}")


@pytest.mark.parametrize("cases", [20, 100, 500, 2_000])
def test_value_and_time(cases: int) -> None:
    first(generate(20))
    select(generate(5))  # loads the solver
    for seed in range(2):
        compare(cases, seed)


@pytest.mark.parametrize("seed", range(6))
def test_a_typical_program_of_24_cars_and_three_weeks(seed: int) -> None:
    plan_input = program(seed)
    select(program(99, cases=2))  # loads the solver
    plan_s, _, plan = timed(lambda: select(plan_input))
    ask_s, _, asks = timed(lambda: ask_first(plan_input, plan))
    out = sorted({case.id for case in plan_input.cases} - set(plan.case_ids))
    why_s, _, _ = timed(lambda: [why_not(plan_input, plan, case_id) for case_id in out])
    say(
        f"{len(plan_input.items)} items: plan {plan_s:.2f} s, {len(asks)} asks {ask_s:.2f} s, "
        f"{len(out)} reasons {why_s:.2f} s"
    )
    assert plan.proven


@pytest.mark.parametrize("cases", [20, 50, 100])
def test_one_week_beside_another_solver(cases: int) -> None:
    plan_input = program(cases, cases=cases, weeks=1, quirks=False)
    own_s, _, plan = timed(lambda: select(plan_input))
    highs_s, _, need = timed(lambda: Oracle(plan_input).most_need())
    say(f"{cases} cases: {own_s:.2f} s for all aims, HiGHS {highs_s:.2f} s for need alone")
    assert plan.value == need
