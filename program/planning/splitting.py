"""What one car takes, and how it is split over the weeks, as rules for the solver.

A car has started, is worked on, and has gone home: its work lies in the weeks between. In a week
that is neither its first nor its last it holds its bay all week, since it can't be moved. Hours of
those who may do some work are spent in the week in which that work is done: each kind of work is
split over the weeks, and what it takes with it.

>>> from datetime import date
>>> from program.planning.problem import Case, Item, PlanInput, Week
>>> from program.planning.solver import Model
>>> weeks = tuple(Week(starts_on=date(2026, 12, day), capacity={"minutes": 500}) for day in (7, 14))
>>> engine = Item(id="a", case_id="1", tier=1, minutes=900)
>>> model = Model(PlanInput(weeks=weeks, cases=(Case(id="1", need_weight=5),), items=(engine,)),
...               extras=False)
>>> sorted(model.amount)
[('1', 0, 'minutes'), ('1', 1, 'minutes')]
>>> model.cp.validate()
''
"""

from __future__ import annotations

from collections import defaultdict
from itertools import product
from typing import TYPE_CHECKING

from program.planning.demand import work_of, work_of_case
from program.planning.hands import ANYBODY
from program.planning.overlap import bay_access, bay_minutes, lift_items
from program.planning.problem import BAY_DAYS, HELD, LIFT_DAYS, MINUTES, needed

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Mapping, Sequence

    from program.planning.demand import Demand, Work
    from program.planning.hands import Kind
    from program.planning.problem import Item
    from program.planning.solver import Expr, Model


def _in_bay(item: Item) -> tuple[int, int]:
    return item.in_bay_minutes, bay_access(item)


class Split:
    """One car's work in a model; adding it fills `model.amount` for its case."""

    def __init__(self, model: Model, row: Demand, items: Iterable[Item]) -> None:
        self.model, self.row, self.items = model, row, list(items)
        self.cp, self.done = model.cp, model.done
        self.name = row.case.id
        self.y = model.y[self.name]
        self.days = [len(week.days) for week in model.plan_input.weeks]
        size = model.plan_input.bay_day_minutes
        self.most = row.totals({item.id for item in self.items}, size)
        self.least = row.totals({item.id for item in row.must}, size)
        self.kinds = row.kinds({item.id for item in self.items})
        self.hours = {name for kind in self.kinds for name in kind}
        self.works = [(work_of_case(row.case), self.y)]
        self.works += [(work_of(item), self.done[item.id]) for item in self.items]
        self.holds_bay = BAY_DAYS in model.resources and bool(self.least.get(BAY_DAYS))
        self.goes_out = any(item.outside_days for item in self.items)
        self.outside: Expr = sum(
            item.outside_days * self.done[item.id] for item in self.items if item.outside_days
        )

    def add(self) -> None:
        """Add what the car takes in each week, from its start to its home week."""
        totals = self._totals()
        if len(self.days) == 1:
            self._add_single(totals)
            return
        self._add_kinds()
        for week, name in product(self.model.weeks, self.model.resources):
            if name in self.hours:
                continue
            high = self.most.get(name, 0)
            if high and name in HELD:
                high = self.days[week]
            used = self.cp.new_int_var(0, high, f"use {self.name} {week} {name}")
            self.model.amount[self.name, week, name] = used
            if high:
                self.cp.add(used <= high * self.model.present(self.name, week))
        for name in sorted(totals.keys() - self.hours):
            self.cp.add(sum(self._used(week, name) for week in self.model.weeks) == totals[name])
        for week in self.model.weeks if self.hours and MINUTES in totals else ():
            self.cp.add(self._for_anybody(week) >= 0)
        self._add_window()
        self._add_outside()
        self._add_lift()

    def _used(self, week: int, name: str) -> Expr:
        return self.model.amount.get((self.name, week, name), 0)

    def _add_kinds(self) -> None:
        """Each kind of work that not everybody may do is split over the weeks by itself."""
        for kind in filter(None, self.kinds):
            high = self.kinds[kind].minutes
            split = []
            for week in self.model.weeks:
                used = self.cp.new_int_var(0, high, f"kind {self.name} {week} {kind}")
                self.model.kinds[self.name, week, kind] = used
                self.cp.add(used <= high * self.model.present(self.name, week))
                split.append(used)
            self.cp.add(sum(split) == self._sum_of(kind, lambda work: work.minutes))
        for week, name in product(self.model.weeks, sorted(self.hours)):
            taken = sum(used for kind, used in self._kinds_in(week) if name in kind)
            self.model.amount[self.name, week, name] = taken

    def _sum_of(self, kind: Kind, amount: Callable[[Work], int]) -> Expr:
        total: Expr = 0
        for works, done in self.works:
            if kind in works and amount(works[kind]):
                total += amount(works[kind]) * done
        return total

    def _kinds_in(self, week: int) -> list[tuple[Kind, Expr]]:
        return [(kind, self.model.kinds[self.name, week, kind]) for kind in self.kinds if kind]

    def _for_anybody(self, week: int) -> Expr:
        return self._used(week, MINUTES) - sum(used for _, used in self._kinds_in(week))

    def _add_single(self, totals: Mapping[str, Expr]) -> None:
        for name, total in totals.items():
            self.model.amount[self.name, 0, name] = total
        bay = totals.get(BAY_DAYS, 0)
        if BAY_DAYS in totals or self.goes_out:
            self.cp.add(bay + self.outside <= self.days[0])
        if self.most.get(LIFT_DAYS) and LIFT_DAYS in totals:
            self.cp.add(totals[LIFT_DAYS] <= bay)

    def _totals(self) -> dict[str, Expr]:
        """Return what the case takes of each bounded resource over all weeks."""
        case, names = self.row.case, self.model.resources
        totals: dict[str, Expr] = dict.fromkeys(names, 0)
        for uses, done in [(case.uses, self.y), *((i.uses, self.done[i.id]) for i in self.items)]:
            for name in sorted(totals.keys() & uses):
                totals[name] += uses[name] * done
        if MINUTES in totals:
            totals[MINUTES] += self._together(
                self.items, self.done, lambda item: (item.minutes, item.access_minutes)
            )
        if BAY_DAYS in totals:
            work = self._together(self.items, self.done, _in_bay)
            totals[BAY_DAYS] += self._whole_days(work, self.row.must, self.items)
        if LIFT_DAYS in totals:
            lifted = self._lifted()
            items = [item for item in self.items if item.id in lifted]
            work = self._together(items, lifted, _in_bay)
            must = lift_items(self.row.must)
            totals[LIFT_DAYS] += self._whole_days(work, must, items)
        return totals

    def _together(
        self,
        items: Sequence[Item],
        done: Mapping[str, Expr],
        minutes: Callable[[Item], tuple[int, int]],
    ) -> Expr:
        """Return the minutes of the items done, the longest of each shared access once."""
        total: Expr = 0
        shared: defaultdict[str, list[tuple[int, Expr]]] = defaultdict(list)
        for item in items:
            work, access = minutes(item)
            if item.access and access:
                shared[item.access].append((access, done[item.id]))
                work -= access
            if work:
                total += work * done[item.id]
        return total + sum(self._longest(pairs) for pairs in shared.values())

    def _longest(self, pairs: Sequence[tuple[int, Expr]]) -> Expr:
        """Return the most minutes among the pairs whose item is done."""
        sure = max((minutes for minutes, done in pairs if done is self.y), default=0)
        longer = [(minutes, done) for minutes, done in pairs if minutes > sure]
        if not longer:
            return sure * self.y if sure else 0
        if len(longer) == 1:
            minutes, done = longer[0]
            return sure * self.y + (minutes - sure) * done
        high = max(minutes for minutes, _ in longer)
        longest = self.cp.new_int_var(0, high, f"access {self.name}")
        terms = [minutes * done for minutes, done in longer]
        self.cp.add_max_equality(longest, [sure * self.y, *terms])
        return longest

    def _lifted(self) -> dict[str, Expr]:
        """Return whether the car is on the lift for an item, for each for which it may be."""
        reasons: defaultdict[str, list[Expr]] = defaultdict(list)
        for item in self.items:
            for item_id in sorted(needed(self.items, [item.id])) if item.on_lift else ():
                reasons[item_id].append(self.done[item.id])
        lifted = {item.id: self.done[item.id] for item in self.items if item.on_lift}
        for item_id, found in reasons.items():
            if item_id not in lifted:
                lifted[item_id] = self._any(item_id, found)
        return lifted

    def _any(self, item_id: str, reasons: Sequence[Expr]) -> Expr:
        """Return 1 when one of the reasons is."""
        if any(reason is self.y for reason in reasons):
            return self.y
        if len(reasons) == 1:
            return reasons[0]
        found = self.cp.new_bool_var(f"lifted {item_id}")
        self.cp.add_max_equality(found, reasons)
        return found

    def _whole_days(self, work: Expr, must: Iterable[Item], all_of_them: Iterable[Item]) -> Expr:
        """Return whole days in a bay: minutes there, rounded up; more when hours are short.

        A car that spans weeks may stand longer than it is worked on, for it holds its bay.
        """
        size = self.model.plan_input.bay_day_minutes
        low, high = -(-bay_minutes(must) // size), -(-bay_minutes(all_of_them) // size)
        if low == high and (len(self.days) == 1 or high == 0):
            return low * self.y if low else 0
        if len(self.days) > 1:
            high = max(high, sum(self.days))
        days = self.cp.new_int_var(0, high, f"whole days {self.name}")
        self.cp.add(size * days >= work)
        self.cp.add(days >= low * self.y)
        self.cp.add(days <= high * self.y)
        return days

    def _add_window(self) -> None:
        """No idle first or last week, no day without the bay in between, no work without a day.

        Time outside is no idleness: a car that goes out may have a week without any work here.
        """
        bounds = [name for name in self.model.resources if self.most.get(name)]
        works = any(self.least.get(name) for name in bounds)
        for week in self.model.weeks:
            start, home = self.model.starts[self.name, week], self.model.homes[self.name, week]
            present = self.model.present(self.name, week)
            self.cp.add(present >= home)
            if not bounds and not self.goes_out:
                self.cp.add(start == home)
                continue
            worked = sum(self._used(week, name) for name in bounds) + self.outside
            # With nothing that must be done, a car may go home in the week of its start untouched.
            self.cp.add(worked + (0 if works else start) >= home)
            begun = self._used(week, BAY_DAYS) if self.holds_bay else worked
            self.cp.add(begun + (0 if works else home) >= start)
            if BAY_DAYS in bounds and MINUTES in bounds:
                self._add_pace(week, present)

    def _add_pace(self, week: int, present: Expr) -> None:
        """Work in a bay takes days in the bay; the rest is free to be done in any week there.

        That holds for all of a car's work, and for each kind of it.
        """
        must = {item.id for item in self.row.must}
        free = self.row.free_minutes(must) * present
        for item in self.items:
            if item.id not in must:
                free += max(item.minutes - item.in_bay_minutes, 0) * self.done[item.id]
        most = self.model.plan_input.bay_day_minutes * self._used(week, BAY_DAYS)
        self.cp.add(self._used(week, MINUTES) <= most + free)
        skilled = self._kinds_in(week)
        for kind, used in [*skilled, (ANYBODY, self._for_anybody(week))] if skilled else ():
            self.cp.add(used <= most + self._sum_of(kind, lambda work: work.free))

    def _add_outside(self) -> None:
        """The open days from start to home hold the days in a bay and those outside.

        Between its first and its last week a car is in its bay, or outside.
        """
        weeks = self.model.weeks
        away: dict[int, Expr] = {}
        if self.goes_out:
            there = sum(self.days[week] * self.model.present(self.name, week) for week in weeks)
            held = sum(self._used(week, BAY_DAYS) for week in weeks)
            self.cp.add(held + self.outside <= there)
        for week in weeks if self.holds_bay else ():
            if self.goes_out:
                away[week] = self.cp.new_int_var(0, self.days[week], f"out {self.name} {week}")
            inside = self._used(week, BAY_DAYS) + away.get(week, 0)
            self.cp.add(inside >= self.days[week] * self.model.between(self.name, week))
        if away:
            self.cp.add(sum(away.values()) <= self.outside)

    def _add_lift(self) -> None:
        """A day on the lift is a day in a bay; on the lift from its first day there to its last."""
        if LIFT_DAYS not in self.model.resources or not self.most.get(LIFT_DAYS):
            return
        begun = [self.cp.new_bool_var(f"lift begun {self.name} {n}") for n in self.model.weeks]
        ended = [self.cp.new_bool_var(f"lift ended {self.name} {n}") for n in self.model.weeks]
        for week, days in enumerate(self.days):
            lift, bay = self._used(week, LIFT_DAYS), self._used(week, BAY_DAYS)
            self.cp.add(lift <= bay)
            self.cp.add(lift <= days * begun[week])
            self.cp.add(lift <= days * (1 - ended[week]))
            if week:
                self.cp.add_implication(begun[week - 1], begun[week])
                self.cp.add_implication(ended[week - 1], ended[week])
            if 0 < week < len(self.days) - 1:
                # On the lift in the week before and in the week after: it can't come down.
                held = begun[week - 1] - ended[week + 1]
                self.cp.add(lift >= bay - days * (1 - held))
