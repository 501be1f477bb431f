"""All weeks of a plan taken as one long week, of which every plan of the weeks is a plan.

What can't be reached in it can't be reached at all; and to choose in it is far quicker, since
nothing says when.

>>> from datetime import date
>>> from program.planning.problem import Case
>>> weeks = tuple(Week(starts_on=date(2026, 12, day), capacity={"minutes": 500}) for day in (7, 14))
>>> given = PlanInput(weeks=weeks, cases=(Case(id="1", need_weight=5, earliest_week=1),))
>>> week = whole(given).weeks[0]
>>> week.capacity, len(week.days)
({'minutes': 1000, 'minutes from week 1 on': 500}, 10)
"""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction
from typing import TYPE_CHECKING

from program.planning.demand import bounded, demands, parts_of, standing
from program.planning.plan import StageName
from program.planning.problem import HELD, PlanInput, Week, add_up

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable

    from program.planning.demand import Demand
    from program.planning.plan import PlannedCase
    from program.planning.problem import Item


def whole(plan_input: PlanInput) -> PlanInput:
    """Return the input with all weeks as one: every plan of the input is a plan of it.

    What can only begin later is held to what the later weeks hold, under names of their own.
    """
    last, ready = len(plan_input.weeks), ready_weeks(plan_input)
    begins = sorted({week for week in ready.values() if 0 < week < last})
    names = bounded(plan_input)
    capacity = {name: _sum_from(plan_input, 0, name) for name in names}
    for week in begins:
        capacity |= {_later(name, week): _sum_from(plan_input, week, name) for name in names}
    cases = []
    for row in demands(plan_input):
        later = [week for week in begins if week <= ready[row.case.id]]
        uses = [row.case.uses, _held_to(plan_input, row, later)]
        uses += [row.case.stands] if row.case.comes else []
        taken = add_up(*filter(None, uses))
        cases.append(replace(row.case, uses=taken, stands={}, comes=False, earliest_week=0))
    days = tuple(day for week in plan_input.weeks for day in week.days)
    long = Week(starts_on=plan_input.weeks[0].starts_on, capacity=capacity, open_on=days)
    return replace(
        plan_input,
        weeks=(long,),
        cases=tuple(cases),
        items=tuple(_at_once(item, last) for item in plan_input.items),
        supplies=tuple(
            replace(row, week=int(row.week >= last)) if row.week else row
            for row in plan_input.supplies
        ),
    )


def _held_to(plan_input: PlanInput, row: Demand, weeks: Iterable[int]) -> dict[str, int]:
    """Return what a case takes at least of what the weeks from each of these on hold."""
    taken: dict[str, int] = {}
    for week in weeks:
        least = row.totals({item.id for item in row.must}, plan_input.bay_day_minutes)
        taken |= {_later(name, week): least.get(name, 0) for name in bounded(plan_input)}
    return taken


def ready_weeks(plan_input: PlanInput) -> dict[str, int]:
    """Return the week before which no case can begin, by its own start and its parts."""
    weeks = {supply.id: supply.week for supply in plan_input.supplies}
    found = {}
    for row in demands(plan_input):
        ready = row.case.earliest_week
        for part in parts_of(row.must).values():
            ways = [weeks[name] for name in part.supply_ids]
            ways += [part.buy_week] if part.price_cents is not None else []
            ready = max(ready, min(ways, default=len(plan_input.weeks)))
        found[row.case.id] = ready
    return found


def _later(name: str, week: int) -> str:
    return f"{name} from week {week} on"


def _sum_from(plan_input: PlanInput, week: int, name: str) -> int:
    return sum(row.capacity.get(name, 0) for row in plan_input.weeks[week:])


def _at_once(item: Item, last: int) -> Item:
    """Return an item whose parts can be bought at once, if they can be within the weeks."""
    if not any(part.buy_week for part in item.parts):
        return item
    parts = tuple(replace(part, buy_week=int(part.buy_week >= last)) for part in item.parts)
    return replace(item, parts=parts)


def narrow(plan_input: PlanInput, cases: Collection[PlannedCase]) -> PlanInput:
    """Return the input with nothing in it but what these cases do."""
    planned = {case.case_id for case in cases}
    done = {item_id for case in cases for item_id in case.item_ids}
    out = tuple(case for case in plan_input.cases if case.id not in planned)
    here = standing(replace(plan_input, cases=out, items=()), (), coming=False)
    weeks = tuple(
        replace(
            week,
            capacity={
                name: max(amount - here.get((number, name), 0), 0)
                for name, amount in week.capacity.items()
            },
        )
        for number, week in enumerate(plan_input.weeks)
    )
    return replace(
        plan_input,
        weeks=weeks,
        cases=tuple(case for case in plan_input.cases if case.id in planned),
        items=tuple(item for item in plan_input.items if item.id in done),
    )


def _least_early(rows: PlanInput, cases: Collection[PlannedCase]) -> int:
    """Return what need weight times weeks until home can't fall below.

    By the end of each week no more need is home than the hours, or the bays, or anything else of
    the weeks up to it could have brought home, by fractions of cases if need be.
    """
    rows_of = {row.case.id: row for row in demands(rows)}
    totals = {
        case.case_id: rows_of[case.case_id].totals(case.item_ids, rows.bay_day_minutes)
        for case in cases
    }
    weights = {case.id: case.need_weight for case in rows.cases}
    late, last = 0, len(rows.weeks) - 1
    home = [sum(weights.values())] * last
    for name in bounded(rows):
        sizes = [(weights[case_id], total.get(name, 0)) for case_id, total in totals.items()]
        sizes.sort(key=lambda pair: Fraction(pair[1], max(pair[0], 1)))
        there = 0
        for week in range(last):
            there += rows.weeks[week].capacity.get(name, 0)
            home[week] = min(home[week], _most(sizes, there))
    for most in home:
        late += sum(weights.values()) - most
    return late


def _most(sizes: Iterable[tuple[int, int]], there: int) -> int:
    """Return the most weight that so much holds, the last by a fraction, rounded down."""
    weight = 0
    for own, size in sizes:
        if size > there:
            return weight + own * there // size
        weight += own
        there -= size
    return weight


def _least_stay(rows: PlanInput, cases: Collection[PlannedCase]) -> int:
    """Return what the days in a bay and on a lift can't fall below."""
    done, named = {case.case_id: case.item_ids for case in cases}, HELD.intersection(bounded(rows))
    totals = [row.totals(done[row.case.id], rows.bay_day_minutes) for row in demands(rows)]
    return sum(total.get(name, 0) for total in totals for name in named)


def _nothing(rows: PlanInput, cases: Collection[PlannedCase]) -> int:  # noqa: ARG001 (bounds are alike)
    return 0


LEAST = {
    StageName.EARLY: _least_early,
    StageName.MOVED: _nothing,
    StageName.STAY: _least_stay,
}
