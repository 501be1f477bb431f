"""Running CP-SAT on the days so that the same input gives the same board.

One worker, a fixed seed and a limit in the solver's own deterministic time: a clock would make
the answer depend on the machine. Who watches may end the search early all the same; then the
answer is what was found until then.

>>> EFFORT > 0
True
>>> usable("optimal"), usable("feasible"), usable("unknown")
(True, True, False)
>>> Attention(None).stop()
False
"""

from __future__ import annotations

from threading import Thread
from typing import TYPE_CHECKING, Protocol

if TYPE_CHECKING:
    from ortools.sat.python import cp_model

EFFORT = 6.0  # deterministic seconds for one board
SEED = 20261130
LOOK_SECONDS = 0.2  # so often whoever watches is asked whether to stop


class Watch(Protocol):
    """Whoever waits for a plan or for days: is told how far it is, and may end the search early.

    It is only ever called from the thread in which they were asked for.
    """

    def tell(self, percent: int, doing: str) -> None:
        """Hear how much is done, from 0 to 100, and what is done now."""

    def stop(self) -> bool:
        """Return whether the search is to end with the best found so far."""


class Patient:
    """Waits for the end."""

    def tell(self, percent: int, doing: str) -> None:
        """Hear nothing."""

    def stop(self) -> bool:
        """Return False: the search ends by itself."""
        return False


class Attention:
    """A watch that was asked to stop once stays stopped, for every search that would follow."""

    def __init__(self, watch: Watch | None) -> None:
        self._watch: Watch = watch or Patient()
        self.alone = watch is None
        self.stopped = False

    def tell(self, percent: int, doing: str) -> None:
        """Pass on how far the work is."""
        self._watch.tell(percent, doing)

    def stop(self) -> bool:
        """Return whether the search is to end."""
        self.stopped = self.stopped or self._watch.stop()
        return self.stopped


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
    return status in {"optimal", "feasible"}


def solve(cp: cp_model.CpModel, run: cp_model.CpSolver, watch: Attention | None = None) -> str:
    """Return the status of a search, which ends early when its watch says so."""
    if watch is None or watch.alone:
        return run.status_name(run.solve(cp)).lower()
    ended: list[str] = []
    search = Thread(target=lambda: ended.append(run.status_name(run.solve(cp)).lower()))
    search.start()
    while search.is_alive():
        search.join(LOOK_SECONDS)
        if search.is_alive() and watch.stop():
            run.stop_search()  # again and again: one that has not begun yet doesn't hear it
    return ended[0]
