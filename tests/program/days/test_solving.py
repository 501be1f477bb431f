"""The solver of the days repeats itself."""

from __future__ import annotations

from program.days.solving import SEED, solver


def test_the_solver_works_alone_by_its_own_clock_from_a_fixed_seed() -> None:
    made = solver(2.5).parameters
    assert (made.num_workers, made.random_seed, made.max_deterministic_time) == (1, SEED, 2.5)
