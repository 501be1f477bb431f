"""Running CP-SAT on the days so that the same input gives the same board.

One worker, a fixed seed and a limit in the solver's own deterministic time: a clock would make
the answer depend on the machine.

>>> EFFORT > 0
True
>>> usable("OPTIMAL"), usable("FEASIBLE"), usable("UNKNOWN")
(True, True, False)
"""

from __future__ import annotations

from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from ortools.sat.python import cp_model

EFFORT = 6.0  # deterministic seconds for one board
SEED = 20261130


def solver(effort: float) -> cp_model.CpSolver:
    """Return a solver that repeats itself."""
    from ortools.sat.python import cp_model  # noqa: PLC0415 (it takes half a second)

    made = cp_model.CpSolver()
    made.parameters.num_workers = 1
    # A person who stops a command means the command, not the search inside it.
    made.parameters.catch_sigint_signal = False
    made.parameters.random_seed = SEED
    made.parameters.max_deterministic_time = effort
    return made


def usable(status: str) -> bool:
    """Return whether the solver has an answer that can be read."""
    return status in {"OPTIMAL", "FEASIBLE"}
