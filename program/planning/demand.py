"""What each case takes: resources, parts, cash; shared by the solver, the greedy and the check.

>>> from program.planning.problem import Case, Item
>>> work = Demand(Case(id="1", need_weight=5, uses={"minutes": 60}), (
...     Item(id="a", case_id="1", tier=0, minutes=500), Item(id="b", case_id="1", tier=3)))
>>> work.totals({"a"}, bay_day_minutes=420)
{'bay_days': 2, 'minutes': 560}
>>> [item.id for item in work.extras]
['b']
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, NamedTuple

from program.planning.hands import ANYBODY, Kind, kinds_of
from program.planning.overlap import bay_minutes, lift_items, work_minutes
from program.planning.problem import (
    BAY_DAYS,
    LIFT_DAYS,
    MINUTES,
    Case,
    Item,
    add_up,
    must_ids,
)

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Mapping

    from program.planning.plan import PlannedCase
    from program.planning.problem import PartNeed, PlanInput


DEMANDS = "_demands"  # under which an input keeps what was counted of it


class Work(NamedTuple):
    """Minutes of one kind of work, and those of them that need no bay."""

    minutes: int
    free: int


@dataclass(frozen=True)
class Demand:
    """One case and its items, in order of id."""

    case: Case
    items: tuple[Item, ...]

    @cached_property
    def must(self) -> tuple[Item, ...]:
        """The items without which the car doesn't go home."""
        ids = must_ids(self.items)
        return tuple(item for item in self.items if item.id in ids)

    @cached_property
    def extras(self) -> tuple[Item, ...]:
        """The items that may be done as well."""
        ids = must_ids(self.items)
        return tuple(item for item in self.items if item.id not in ids)

    def chosen(self, done: Collection[str]) -> list[Item]:
        """Return the items of which the id is among those done, in order of id."""
        return [item for item in self.items if item.id in done]

    def totals(self, done: Collection[str], bay_day_minutes: int) -> dict[str, int]:
        """Return what the case takes of each resource when the items `done` are done.

        Lift days are those of its bay days for which the bay needs a lift.
        """
        items = self.chosen(done)
        work = {
            MINUTES: work_minutes(items),
            BAY_DAYS: -(-bay_minutes(items) // bay_day_minutes),
            LIFT_DAYS: -(-bay_minutes(lift_items(items)) // bay_day_minutes),
        }
        taken = {name: amount for name, amount in work.items() if amount}
        return add_up(self.case.uses, taken, *(item.uses for item in items if item.uses))

    def outside_days(self, done: Collection[str]) -> int:
        """Return the open days on which the car is elsewhere and holds no bay."""
        return sum(item.outside_days for item in self.chosen(done))

    def free_minutes(self, done: Collection[str]) -> int:
        """Return the minutes that need no bay."""
        outside = sum(max(item.minutes - item.in_bay_minutes, 0) for item in self.chosen(done))
        return outside + self.case.uses.get(MINUTES, 0)

    def kinds(self, done: Collection[str]) -> dict[Kind, Work]:
        """Return the work by the hours it takes of those who may do it, in a fixed order.

        What anybody may do is there with its minutes before shared access is counted once. The
        minutes of a kind that need no bay are as many as may be among those of each item.
        """
        found: dict[Kind, Work] = {}
        for own in (work_of_case(self.case), *map(work_of, self.chosen(done))):
            for kind, work in own.items():
                before = found.get(kind, Work(0, 0))
                found[kind] = Work(before.minutes + work.minutes, before.free + work.free)
        return dict(sorted(found.items()))

    def standing_weeks(self, planned: PlannedCase | None, weeks: int) -> range:
        """Return the weeks in which the car takes up what it `stands` on, if planned so."""
        if planned is None:
            return range(0 if self.case.comes else weeks)
        return range(planned.start_week if self.case.comes else 0, planned.home_week + 1)


def work_of(item: Item) -> dict[Kind, Work]:
    """Return the kinds of work of one item.

    >>> work_of(Item(id="a", case_id="1", tier=1, minutes=90, bay_minutes=60,
    ...              uses={"minutes of Ana": 70}))
    {('minutes of Ana',): Work(minutes=70, free=30), (): Work(minutes=20, free=20)}
    """
    return _by_kind(item.uses, item.minutes, max(item.minutes - item.in_bay_minutes, 0))


def work_of_case(case: Case) -> dict[Kind, Work]:
    """Return the kinds of work that going home takes beside the items; none needs a bay."""
    minutes = case.uses.get(MINUTES, 0)
    return _by_kind(case.uses, minutes, minutes)


def _by_kind(uses: Mapping[str, int], minutes: int, free: int) -> dict[Kind, Work]:
    own = kinds_of(uses)
    own[ANYBODY] = max(minutes - sum(own.values()), 0)
    return {kind: Work(amount, min(amount, free)) for kind, amount in own.items()}


def demands(plan_input: PlanInput) -> tuple[Demand, ...]:
    """Return the demand of each case, in the order of the input.

    It is counted once for each input, as by `cached_property`: everything asks for it.
    """
    kept = vars(plan_input)
    if DEMANDS not in kept:
        kept[DEMANDS] = _demands(plan_input)
    found: tuple[Demand, ...] = kept[DEMANDS]
    return found


def _demands(plan_input: PlanInput) -> tuple[Demand, ...]:
    own: dict[str, list[Item]] = {case.id: [] for case in plan_input.cases}
    for item in plan_input.items:
        own[item.case_id].append(item)
    return tuple(Demand(case, tuple(own[case.id])) for case in plan_input.cases)


def forced(plan_input: PlanInput) -> frozenset[str]:
    """Return the cases that stay in: started, promised or pinned in, unless pinned out or held."""
    return frozenset(
        case.id
        for case in plan_input.cases
        if (case.stays or case.id in plan_input.pinned_in) and not barred(plan_input, case)
    )


def forced_worth(plan_input: PlanInput) -> dict[str, int]:
    """Return what each case that stays in counts where not all of them fit.

    One car that was started or promised counts more than all pins together: a pin is a wish.
    """
    names = forced(plan_input)
    begun = {case.id for case in plan_input.cases if case.stays}
    pins = len(names - begun)
    return {name: 1 + pins * (name in begun) for name in sorted(names)}


def barred(plan_input: PlanInput, case: Case) -> bool:
    """Return whether no plan may take the case."""
    return case.id in plan_input.pinned_out or case.hold is not None


def bounded(plan_input: PlanInput) -> tuple[str, ...]:
    """Return the resources that the weeks name; bays or minutes that none names are not counted."""
    return tuple(sorted({name for week in plan_input.weeks for name in week.capacity}))


def standing(
    plan_input: PlanInput, cases: Iterable[PlannedCase], *, coming: bool
) -> dict[tuple[int, str], int]:
    """Return what cars take up by standing there, by week and resource, under a plan.

    With `coming` these are the cars that come only for the plan, else those that are here: what
    the latter take up beyond the capacity is nobody's choice and breaks no rule, but nothing may
    be added to it.
    """
    planned = {case.case_id: case for case in cases}
    found: dict[tuple[int, str], int] = {}
    for row in demands(plan_input):
        if row.case.comes == coming:
            for week in row.standing_weeks(planned.get(row.case.id), len(plan_input.weeks)):
                for name, amount in row.case.stands.items():
                    found[week, name] = found.get((week, name), 0) + amount
    return found


def parts_of(items: Iterable[Item]) -> dict[str, PartNeed]:
    """Return the parts of the items under their ids."""
    return {part.id: part for item in items for part in item.parts}


def bills(plan_input: PlanInput, cases: Iterable[PlannedCase]) -> dict[str, int]:
    """Return the cents to be paid anew for each item done, where there are any."""
    rows = {item.id: item for item in plan_input.items}
    found: dict[str, int] = {}
    for planned in cases:
        bought = {source.need_id: source.cents for source in planned.parts}
        for item_id in planned.item_ids:
            cents = bill(rows[item_id], bought)
            if cents:
                found[item_id] = cents
    return found


def bill(item: Item, bought: Mapping[str, int]) -> int:
    """Return what one item costs anew, given the prices of the parts bought for it."""
    parts = sum(bought.get(part.id, 0) for part in item.parts)
    return max(item.cash_cents + parts - item.set_aside_cents, 0)
