"""One chosen case on its way through the weeks: what it takes, and how much of it each week.

Hours of those who may do some work are taken in the week in which that work is done.

>>> from program.planning.problem import Case, Item
>>> from program.planning.demand import Demand
>>> brakes = Item(id="a", case_id="1", tier=0, minutes=90, uses={"minutes of Ana": 60})
>>> Demand(Case(id="1", need_weight=5), (brakes,)).kinds({"a"})
{(): Work(minutes=30, free=0), ('minutes of Ana',): Work(minutes=60, free=0)}
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from program.planning.demand import Work
from program.planning.hands import ANYBODY, HOURS_OF, Kind
from program.planning.plan import PlannedCase
from program.planning.problem import BAY_DAYS, LIFT_DAYS, MINUTES

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Mapping

    from program.planning.demand import Demand
    from program.planning.packing import Weeks
    from program.planning.plan import PartSource
    from program.planning.problem import PlanInput

Taken = dict[str, int]
Parts = dict[Kind, int]  # minutes of each kind of work


@dataclass(frozen=True, kw_only=True, eq=False)
class Load:
    """What one case takes, whichever weeks it gets. `ready` is the first week it may start."""

    row: Demand
    item_ids: tuple[str, ...]
    parts: tuple[PartSource, ...]
    totals: Mapping[str, int]
    free: int  # minutes a week that need no bay
    kinds: Mapping[Kind, Work]  # when not everybody may do all of it; shared access counted once
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
        kinds=_kinds(row, done, totals),
        outside=row.outside_days(done),
        holds=BAY_DAYS in named and bool(least.get(BAY_DAYS)),
        ready=max(ready, row.case.earliest_week),
    )


def _kinds(row: Demand, done: Collection[str], totals: Mapping[str, int]) -> dict[Kind, Work]:
    if not any(name.startswith(HOURS_OF) for name in totals):
        return {}
    kinds = row.kinds(done)
    if kinds.keys() <= {ANYBODY}:
        return {}
    skilled = sum(work.minutes for kind, work in kinds.items() if kind)
    own = max(totals.get(MINUTES, 0) - skilled, 0)
    return kinds | {ANYBODY: Work(own, kinds[ANYBODY].free)}


class Stay:
    """One case on its way through the weeks."""

    def __init__(self, weeks: Weeks, load: Load, start: int) -> None:
        self.weeks, self.load, self.start = weeks, load, start
        self.hours = {name for kind in load.kinds for name in kind}
        self.rest = {name: load.totals[name] for name in load.totals if name not in self.hours}
        self.undone = {kind: work.minutes for kind, work in load.kinds.items()}
        self.uses: dict[tuple[int, str], int] = {}
        self.idle = 0  # open days so far on which it held no bay
        self.away = 0  # those of them that lie between its first and its last week
        self.lifted = False
        paced = BAY_DAYS in self.rest and MINUTES in self.rest
        self.paced = paced and len(weeks.days) > 1

    @property
    def done(self) -> bool:
        """Whether nothing is left to do, here or outside."""
        left = any(self.rest.values()) or any(self.undone.values())
        return not left and self.idle >= self.load.outside

    def work(self, week: int) -> bool:
        """Do what the week holds; return whether the case may stand so."""
        if any(self.weeks.room(self.load, week, name) < 0 for name in self._stands()):
            return False
        first = week == self.start
        taken, parts = self._all(week) or self._some(week, first=first)
        rest = {name: max(amount - taken[name], 0) for name, amount in self.rest.items()}
        if self._drops(taken, rest):
            return False
        bay = taken.get(BAY_DAYS, 0)
        idle = self.weeks.days[week] - bay
        self.idle += idle
        self.rest, self.lifted = rest, self.lifted or bool(taken.get(LIFT_DAYS))
        self.undone = {kind: left - parts[kind] for kind, left in self.undone.items()}
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

    def _all(self, week: int) -> tuple[Taken, Parts] | None:
        """Return the whole rest, if the week holds it."""
        taken = self.rest | self._hours_of(self.undone)
        if self.paced:
            work = [(taken[MINUTES], self.load.free)]
            work += [(left, self.load.kinds[kind].free) for kind, left in self.undone.items()]
            least = max(-(-max(minutes - free, 0) // self.weeks.size) for minutes, free in work)
            taken[BAY_DAYS] = max(taken[BAY_DAYS], least, taken.get(LIFT_DAYS, 0))
        if taken.get(BAY_DAYS, 0) > self.weeks.days[week]:
            return None
        fits = all(taken[name] <= self.weeks.room(self.load, week, name) for name in taken)
        return (taken, self.undone) if fits else None

    def _some(self, week: int, *, first: bool) -> tuple[Taken, Parts]:
        """Return as much of the rest as the week holds; a bay is held while work goes on."""
        names = self.hours.union(self.rest)
        room = {name: max(self.weeks.room(self.load, week, name), 0) for name in names}
        taken = {name: min(amount, room[name]) for name, amount in self.rest.items()}
        parts = self._share(taken, room)
        if BAY_DAYS in taken:
            days = min(self.weeks.days[week], room[BAY_DAYS])
            if first and MINUTES in taken:
                days = min(days, max(-(-taken[MINUTES] // self.weeks.size), 1))
            taken[BAY_DAYS] = min(days, self.rest[BAY_DAYS]) if first else days
            if self.paced:
                most = self.weeks.size * taken[BAY_DAYS]
                taken[MINUTES] = min(taken[MINUTES], most + self.load.free)
                parts = self._share(taken, room, most)
            if LIFT_DAYS in taken:
                taken[LIFT_DAYS] = min(taken[LIFT_DAYS], taken[BAY_DAYS])
        return taken | self._hours_of(parts), parts

    def _share(self, taken: Taken, room: Mapping[str, int], most: int | None = None) -> Parts:
        """Return what is done of each kind of work; `taken` gets the minutes that this leaves.

        Of each kind `most` minutes are done in a bay. What fewest may do comes first.
        """
        if not self.hours:
            return {}
        parts: Parts = {}
        left, hours = taken.get(MINUTES, sum(self.undone.values())), dict(room)
        for kind in sorted(self.undone, key=lambda kind: (-len(kind), kind)):
            bounds = [self.undone[kind], left, *(hours[name] for name in kind)]
            if most is not None:
                bounds.append(most + self.load.kinds[kind].free)
            parts[kind] = min(bounds)
            left -= parts[kind]
            for name in kind:
                hours[name] -= parts[kind]
        if MINUTES in taken:
            taken[MINUTES] = sum(parts.values())
        return parts

    def _hours_of(self, parts: Parts) -> Taken:
        """Return the hours of those who may do it that such work takes."""
        return {
            name: sum(minutes for kind, minutes in parts.items() if name in kind)
            for name in sorted(self.hours)
        }

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
