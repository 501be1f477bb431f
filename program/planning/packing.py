"""Placing chosen cases into weeks, one after another, as a careful person would.

Week after week, of the next cases in line the one is begun that leaves hours, bays and everything
else most evenly; when none fits whole, one that goes on in the next week fills what is left.

>>> from datetime import date
>>> from program.planning.problem import Case, Item, PlanInput, Week
>>> from program.planning.demand import demands
>>> from program.planning.stays import load_of
>>> weeks = tuple(Week(starts_on=date(2026, 12, day), capacity={"minutes": 500}) for day in (7, 14))
>>> engine = Item(id="a", case_id="1", tier=1, minutes=900)
>>> given = PlanInput(weeks=weeks, cases=(Case(id="1", need_weight=5),), items=(engine,))
>>> load = load_of(given, demands(given)[0], ["a"])
>>> [(case.start_week, case.home_week) for case in fill(Weeks(given), [load])]
[(0, 1)]
"""

from __future__ import annotations

from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from program.planning.demand import bounded, standing
from program.planning.plan import PlannedCase
from program.planning.problem import BAY_DAYS
from program.planning.stays import Stay

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from program.planning.problem import PlanInput
    from program.planning.stays import Load

NEXT = 24  # so many cases in line are compared, at least, before one is begun
NEAR = 2  # and as many as would fill so many weeks
SPLIT = 60  # so many are tried to fill the rest of a week
Places = NDArray[np.int64]


class Weeks:
    """What the weeks still hold while cases are placed; nothing is placed where it doesn't fit."""

    def __init__(self, plan_input: PlanInput) -> None:
        self.size = plan_input.bay_day_minutes
        self.names = bounded(plan_input)
        self.days = [len(week.days) for week in plan_input.weeks]
        self.all = range(len(self.days))
        here = standing(plan_input, (), coming=False)
        capacity = {
            (number, name): week.capacity.get(name, 0)
            for number, week in enumerate(plan_input.weeks)
            for name in self.names
        }
        self.left = {key: amount - here.get(key, 0) for key, amount in capacity.items()}
        self.there = {key: max(amount, 1) for key, amount in capacity.items()}

    def room(self, load: Load, week: int, name: str) -> int:
        """Return how much of a resource the case may take, what it stands on not counted."""
        case = load.row.case
        return self.left[week, name] - (case.stands.get(name, 0) if case.comes else 0)

    def spread(self, load: Load, start: int) -> PlannedCase | None:
        """Return the case begun in a week and worked on without a pause, if that goes."""
        stay = Stay(self, load, start)
        for week in range(start, len(self.days)):
            if not stay.work(week):
                return None
            if stay.done:
                return stay.planned(week)
        return None

    def take(self, planned: PlannedCase, load: Load, *, sign: int = 1) -> None:
        """Take what a case was given, but its place once it is home; with the sign -1 undo it."""
        for key, amount in planned.uses.items():
            self.left[key] -= sign * amount
        case, gone = load.row.case, planned.home_week + 1
        for name, amount in case.stands.items():
            for week in range(planned.start_week, gone) if case.comes else ():
                self.left[week, name] -= sign * amount
            for week in () if case.comes else self.all[gone:]:
                self.left[week, name] += sign * amount

    def waste(self, planned: PlannedCase, load: Load) -> float:
        """Return what a begun case would leave of its first week, or take beyond its work."""
        week = planned.start_week
        shares = [
            (self.left[week, name] - planned.uses.get((week, name), 0)) / self.there[week, name]
            for name in self.names
        ]
        more = planned.used(BAY_DAYS) - load.totals.get(BAY_DAYS, 0)
        return sum(shares) + more / self.there.get((week, BAY_DAYS), 1)


class _Line:
    """Loads that wait for a week, in their order."""

    def __init__(self, weeks: Weeks, loads: Iterable[Load]) -> None:
        self.weeks, self.loads = weeks, list(loads)
        self.waits = np.ones(len(self.loads), dtype=bool)
        self.ready = np.array([load.ready for load in self.loads], dtype=np.int64)
        self.days = np.array([load.days for load in self.loads], dtype=np.int64)
        self.totals = np.array(
            [[load.totals.get(name, 0) for name in weeks.names] for load in self.loads],
            dtype=np.int64,
        ).reshape(len(self.loads), len(weeks.names))
        there = np.array([[weeks.there[week, name] for name in weeks.names] for week in weeks.all])
        short = (self.totals[:, None, :] <= there[None, :, :]).all(axis=2)
        short &= self.days[:, None] <= np.array(weeks.days)[None, :]
        self.long = ~short.any(axis=1)

    def next(self, week: int) -> PlannedCase | None:
        """Return the case to begin in a week: one that fits whole, else one that is split."""
        ready = np.flatnonzero(self.waits & (self.ready <= week))
        for place in self._whole(week, ready):
            if planned := self.weeks.spread(self.loads[place], week):
                return self._begin(place, planned)
        begun = [(self.weeks.spread(self.loads[place], week), place) for place in ready[:SPLIT]]
        found = [(planned, place) for planned, place in begun if planned]
        if not found:
            return None
        best = min(found, key=lambda pair: self.weeks.waste(pair[0], self.loads[pair[1]]))
        return self._begin(best[1], best[0])

    def _whole(self, week: int, ready: Places) -> Places:
        """Return those of the next in line that the week holds, the most even first."""
        there = [
            (self.weeks.left[week, name], self.weeks.there[week, name]) for name in self.weeks.names
        ]
        left, all_of_it = np.array(there, dtype=np.int64).reshape(-1, 2).T
        few = ready[: max(NEXT, len(ready) * NEAR // (len(self.weeks.days) - week))]
        fits = (self.totals[few] <= left).all(axis=1) & (self.days[few] <= self.weeks.days[week])
        few, shares = few[fits], (left - self.totals[few][fits]) / all_of_it
        return few[np.argsort(np.ptp(shares, axis=1), kind="stable")] if len(left) else few

    def next_long(self, week: int) -> Iterator[PlannedCase]:
        """Yield an equal share of the cases that no single week holds, begun in this one."""
        some = np.flatnonzero(self.waits & self.long)
        share = -(-len(some) // max(len(self.weeks.days) - 1 - week, 1))
        for place in some[self.ready[some] <= week]:
            if share and (planned := self.weeks.spread(self.loads[place], week)):
                share -= 1
                yield self._begin(place, planned)

    def _begin(self, place: int, planned: PlannedCase) -> PlannedCase:
        self.waits[place] = False
        self.weeks.take(planned, self.loads[place])
        return planned


def fill(weeks: Weeks, loads: Iterable[Load]) -> list[PlannedCase]:
    """Place the loads in about their order; return those that found room, and take it.

    What no single week holds is begun in equal shares over the weeks, so that none is left to the
    last week, which can't hold it either.
    """
    line, placed = _Line(weeks, loads), list[PlannedCase]()
    for week in weeks.all:
        placed += line.next_long(week)
        while planned := line.next(week):
            placed.append(planned)
    return placed
