"""Giving weeks to what was chosen over all weeks as one, and extras to what has its weeks.

>>> from datetime import date
>>> from program.planning.problem import Case, PlanInput, Week
>>> from program.planning.solving import Attention
>>> weeks = tuple(Week(starts_on=date(2026, 12, day), capacity={"minutes": 60}) for day in (7, 14))
>>> rows = tuple(Case(id=name, need_weight=1, uses={"minutes": 60}) for name in "ab")
>>> chosen = tuple(PlannedCase(case_id=n, start_week=0, home_week=0, item_ids=()) for n in "ab")
>>> placer = Placer(PlanInput(weeks=weeks, cases=rows), lambda row: 1.0, Attention(None))
>>> [(case.case_id, case.home_week) for case in placer.all_of(chosen, effort=1)]
[('a', 0), ('b', 1)]
"""

from __future__ import annotations

from typing import TYPE_CHECKING

from program.planning.aims import KEPT, WHAT
from program.planning.demand import demands, parts_of
from program.planning.greedy import Bench, by_scarcity
from program.planning.plan import PlannedCase
from program.planning.problem import by_id
from program.planning.solver import Model
from program.planning.solving import hint, read, solve, solver
from program.planning.stays import load_of
from program.planning.whole import narrow

if TYPE_CHECKING:
    from collections.abc import Callable, Collection, Iterator

    from program.planning.demand import Demand
    from program.planning.problem import Item, PlanInput
    from program.planning.solving import Attention
    from program.planning.stays import Load

Cases = tuple[PlannedCase, ...]
FEW = 120  # so many cases are placed by the solver when placing one after another fails
HANDFUL = 30  # so many are placed more quickly without linear programs; more find no weeks so
CENTS_A_MINUTE = 150  # when extras are put in order: a common shop rate, no source
GATE = (KEPT, WHAT[0])


class Placer:
    """Places cases of one input."""

    def __init__(
        self, plan_input: PlanInput, worth: Callable[[Demand], float], watch: Attention
    ) -> None:
        self.plan_input, self.worth, self.watch = plan_input, worth, watch
        self._rows = {row.case.id: row for row in demands(plan_input)}
        self._supplies = by_id(plan_input.supplies)

    def all_of(self, chosen: Cases, *, effort: float) -> Cases | None:
        """Return all that was chosen with its weeks, or None when no way was found."""
        part: Cases = ()
        for bench in self._benches(chosen):
            if len(bench.placed) == len(chosen):
                return bench.cases
            part = max(part, bench.cases, key=len)
        if len(chosen) > FEW or self.watch.stop():
            return None
        model = settled(narrow(self.plan_input, chosen), chosen)
        hint(model, part)
        run = solver(effort, linear=len(chosen) > HANDFUL)
        status = solve(model.cp, run, self.watch)
        return read(model, run) if status in {"optimal", "feasible"} else None

    def most_of(self, chosen: Cases) -> Cases:
        """Return as much of what was chosen as finds room, and others in place of the rest."""
        found = []
        for bench in self._benches(chosen):
            bench.add_all(self.worth)
            found.append(bench.cases)
        return max(found, key=lambda cases: [aim.measure(self.plan_input, cases) for aim in GATE])

    def _benches(self, chosen: Cases) -> Iterator[Bench]:
        """Yield the weeks with what was chosen placed in one order and another."""
        loads = [self._load(planned) for planned in chosen]
        for worth in (self.worth, by_scarcity(self.plan_input), _size):
            bench = Bench(self.plan_input)
            bench.place(sorted(loads, key=lambda load: (-worth(load.row), load.row.case.id)))
            yield bench

    def with_extras(self, cases: Cases, wanted: Collection[str]) -> Cases:
        """Return the cases with as many extras as find room, those that are wanted first."""
        bench = Bench(self.plan_input)
        bench.adopt((planned, self._load(planned)) for planned in cases)
        extras = [item for planned in cases for item in self._rows[planned.case_id].extras]
        extras.sort(key=lambda item: (item.id not in wanted, -_density(item), item.id))
        for item in extras:
            bench.add_extra(item)
        return bench.cases

    def _load(self, planned: PlannedCase) -> Load:
        row = self._rows[planned.case_id]
        buys = {name: part.buy_week for name, part in parts_of(row.items).items()}
        ready = [
            self._supplies[source.supply_id].week if source.supply_id else buys[source.need_id]
            for source in planned.parts
        ]
        done, parts = planned.item_ids, planned.parts
        return load_of(self.plan_input, row, done, parts=parts, ready=max(ready, default=0))


def settled(rows: PlanInput, cases: Cases) -> Model:
    """Return a model in which only the weeks are open; the input holds what is done and no more."""
    model = Model(rows, extras=True)
    sources = {(source.need_id, source.supply_id) for case in cases for source in case.parts}
    for y in model.y.values():
        model.cp.add(y == 1)
    for item_id in model.extras:
        model.cp.add(model.done[item_id] == 1)
    for use, supplied in model.supplied.items():
        model.cp.add(supplied == (use in sources))
    return model


def _size(row: Demand) -> float:
    return float(sum(item.in_bay_minutes for item in row.must))


def _density(item: Item) -> float:
    """Return safety points for each minute, cents counted as minutes of shop time they buy."""
    cents = item.cash_cents + sum(part.price_cents or 0 for part in item.parts)
    return item.points / (item.minutes + cents / CENTS_A_MINUTE + 1)
