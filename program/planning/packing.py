"""Placing chosen cases into weeks, one after another, as a careful person would.

Week after week, of the next cases in line the one is begun that leaves hours, bays and everything
else most evenly; when none fits whole, one that goes on in the next week fills what is left.

>>> from datetime import date
>>> from program.planning.problem import Case, Item, PlanInput, Week
>>> from program.planning.demand import demands
>>> weeks = tuple(Week(starts_on=date(2026, 12, day), capacity={"minutes": 500}) for day in (7, 14))
>>> engine = Item(id="a", case_id="1", tier=1, minutes=900)
>>> given = PlanInput(weeks=weeks, cases=(Case(id="1", need_weight=5),), items=(engine,))
>>> load = load_of(given, demands(given)[0], ["a"])
>>> [(case.start_week, case.home_week) for case in fill(Weeks(given), [load])]
[(0, 1)]
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

import numpy as np
from numpy.typing import NDArray

from program.planning.demand import bounded, standing
from program.planning.plan import PlannedCase
from program.planning.problem import BAY_DAYS, LIFT_DAYS, MINUTES

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Iterator, Mapping

    from program.planning.demand import Demand
    from program.planning.plan import PartSource
    from program.planning.problem import PlanInput

NEXT = 24  # so many cases in line are compared, at least, before one is begun
NEAR = 2  # and as many as would fill so many weeks
SPLIT = 60  # so many are tried to fill the rest of a week
Taken = dict[str, int]
Places = NDArray[np.int64]


@dataclass(frozen=True, kw_only=True, eq=False)
class Load:
    """What one case takes, whichever weeks it gets. `ready` is the first week it may start."""

    row: Demand
    item_ids: tuple[str, ...]
    parts: tuple[PartSource, ...]
    totals: Mapping[str, int]
    free: int  # minutes a week that need no bay
    outside: int
    holds: bool  # a bay, from its first week on
    ready: int

    @property
    def days(self) -> int:
        """The open days that its work takes, in a bay and outside."""
        return self.totals.get(BAY_DAYS, 0) + self.outside


def load_of(
    plan_input: PlanInput,
    row: Demand,
    done: Collection[str],
    *,
    parts: Iterable[PartSource] = (),
    ready: int = 0,
) -> Load:
    """Return what a case takes when the items `done` are done and all parts are there."""
    totals = row.totals(done, plan_input.bay_day_minutes)
    named = [n for n in totals if totals[n] and any(n in w.capacity for w in plan_input.weeks)]
    must = {item.id for item in row.must}
    least = totals if must == set(done) else row.totals(must, plan_input.bay_day_minutes)
    return Load(
        row=row,
        item_ids=tuple(sorted(done)),
        parts=tuple(sorted(parts, key=lambda source: source.need_id)),
        totals={name: totals[name] for name in named},
        free=row.free_minutes(done),
        outside=row.outside_days(done),
        holds=BAY_DAYS in named and bool(least.get(BAY_DAYS)),
        ready=max(ready, row.case.earliest_week),
    )


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
        stay = _Stay(self, load, start)
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


class _Stay:
    """One case on its way through the weeks."""

    def __init__(self, weeks: Weeks, load: Load, start: int) -> None:
        self.weeks, self.load, self.start = weeks, load, start
        self.rest = dict(load.totals)
        self.uses: dict[tuple[int, str], int] = {}
        self.idle = 0  # open days so far on which it held no bay
        self.away = 0  # those of them that lie between its first and its last week
        self.lifted = False

    @property
    def done(self) -> bool:
        """Whether nothing is left to do, here or outside."""
        return not any(self.rest.values()) and self.idle >= self.load.outside

    def work(self, week: int) -> bool:
        """Do what the week holds; return whether the case may stand so."""
        if any(self.weeks.room(self.load, week, name) < 0 for name in self._stands()):
            return False
        first = week == self.start
        taken = self._all(week) or self._some(week, first=first)
        rest = {name: max(amount - taken[name], 0) for name, amount in self.rest.items()}
        if self._drops(taken, rest):
            return False
        bay = taken.get(BAY_DAYS, 0)
        idle = self.weeks.days[week] - bay
        self.idle += idle
        self.rest, self.lifted = rest, self.lifted or bool(taken.get(LIFT_DAYS))
        self.uses |= {(week, name): amount for name, amount in taken.items() if amount}
        if self.done:
            return True
        if first:
            return bool(bay) if self.load.holds else bool(any(taken.values()) or self.load.outside)
        self.away += idle
        return self._stays_busy(taken)

    def _stands(self) -> Iterable[str]:
        return self.load.row.case.stands if self.load.row.case.comes else ()

    def _stays_busy(self, taken: Taken) -> bool:
        """Return whether a week that is not the last is spent in the bay or outside."""
        if self.load.holds:
            return self.away <= self.load.outside
        return bool(any(taken.values()) or self.load.outside)

    def _drops(self, taken: Taken, rest: Taken) -> bool:
        """Return whether the car would come off its lift before it can roll."""
        goes_on = self.lifted and rest.get(LIFT_DAYS, 0)
        return bool(goes_on) and taken[LIFT_DAYS] < taken[BAY_DAYS]

    def _all(self, week: int) -> Taken | None:
        """Return the whole rest, if the week holds it."""
        taken = dict(self.rest)
        if BAY_DAYS in taken and MINUTES in taken and len(self.weeks.days) > 1:
            least = -(-max(taken[MINUTES] - self.load.free, 0) // self.weeks.size)
            taken[BAY_DAYS] = max(taken[BAY_DAYS], least, taken.get(LIFT_DAYS, 0))
        if taken.get(BAY_DAYS, 0) > self.weeks.days[week]:
            return None
        fits = all(taken[name] <= self.weeks.room(self.load, week, name) for name in taken)
        return taken if fits else None

    def _some(self, week: int, *, first: bool) -> Taken:
        """Return as much of the rest as the week holds; a bay is held while work goes on."""
        room = {name: max(self.weeks.room(self.load, week, name), 0) for name in self.rest}
        taken = {name: min(amount, room[name]) for name, amount in self.rest.items()}
        if BAY_DAYS not in taken:
            return taken
        days = min(self.weeks.days[week], room[BAY_DAYS])
        if first and MINUTES in taken:
            days = min(days, max(-(-taken[MINUTES] // self.weeks.size), 1))
        taken[BAY_DAYS] = min(days, self.rest[BAY_DAYS]) if first else days
        if MINUTES in taken and len(self.weeks.days) > 1:
            most = self.weeks.size * taken[BAY_DAYS] + self.load.free
            taken[MINUTES] = min(taken[MINUTES], most)
        if LIFT_DAYS in taken:
            taken[LIFT_DAYS] = min(taken[LIFT_DAYS], taken[BAY_DAYS])
        return taken

    def planned(self, home: int) -> PlannedCase:
        """Return the case as it was worked on."""
        return PlannedCase(
            case_id=self.load.row.case.id,
            start_week=self.start,
            home_week=home,
            item_ids=self.load.item_ids,
            parts=self.load.parts,
            uses=self.uses,
        )


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
