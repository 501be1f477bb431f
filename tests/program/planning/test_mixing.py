"""The cheapest mix that brings a case in, tried again: with it, and with one unit less of each."""

from __future__ import annotations

from dataclasses import replace

import pytest

from program.planning.canonical import canonical
from program.planning.joining import Bench
from program.planning.mixing import Mix, cheapest_mix, less
from program.planning.plan import Addition
from program.planning.selection import select
from program.planning.solver import Model
from program.planning.solving import lowest, solver
from program.planning.trying import Change, apply
from tests.program.planning.garages import two_cars
from tests.program.planning.programs import floor, program, seeds


def fits(bench: Bench, changes: tuple[Change, ...]) -> bool:
    """Return whether all wanted cases go home, asked of the model of the weeks and nothing else."""
    rows = apply(bench.plan_input, changes)
    model = Model(rows, extras=False)
    for name in bench.wanted:
        model.cp.add(model.y[name] == 1)
    return lowest(model, 0, solver(20)).value is not None


@pytest.mark.parametrize("seed", seeds(3, 20))
def test_a_mix_is_enough_and_nothing_of_it_can_be_spared(seed: int) -> None:
    rows = canonical(floor(seed, program(seed, cases=8, quirks=False)))
    plan = select(rows)
    for case in rows.cases:
        if plan.case(case.id):
            continue
        bench = Bench(plan_input=rows, kept=plan.case_ids, case_id=case.id, hints=plan.cases)
        mix = cheapest_mix(bench)
        assert mix.verified
        if mix.addition is None:
            continue
        assert fits(bench, mix.changes)
        for n, change in enumerate(mix.changes):
            fewer = (less(change),) if change.amount > 1 else ()
            assert not fits(bench, (*mix.changes[:n], *fewer, *mix.changes[n + 1 :]))


def test_money_alone_is_the_cheapest_where_the_hours_are_there() -> None:
    bench = Bench(plan_input=canonical(two_cars()), kept=("a",), case_id="b")
    mix = cheapest_mix(bench)
    assert (mix.addition, mix.verified) == (
        Addition(cents=140_00, resources={}),
        True,
    )


def test_without_effort_there_is_no_mix_and_no_proof() -> None:
    bench = Bench(plan_input=canonical(two_cars()), kept=("a",), case_id="b")
    assert cheapest_mix(replace(bench, effort=0.0)) == Mix(addition=None, verified=False)
