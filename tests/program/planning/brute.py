"""The best plan of a small program by trying every one.

Written from the rules in `problem.py` alone: nothing here is imported from the solver, from what
counts demand, or from what pays. Every choice of items of every car is tried, best first, with
every source of every part, every pair of weeks, and every number of days in the bay and on the
lift. Whether hours and money reach is told by the theorem of the least cut (Ford and Fulkerson
1956, from memory). Where not everybody may do all work, each person is given minutes of each car in
each week, by HiGHS through scipy, a solver by others.
"""

from __future__ import annotations

from itertools import chain, combinations, product
from typing import TYPE_CHECKING

from tests.program.planning.handing import hands_reach
from tests.program.planning.small import DAY
from tests.program.planning.works import Stay, Work, in_bay, minutes_of, once

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from program.planning.problem import Case, Item, PlanInput
    from tests.program.planning.small import Staff

Best = tuple[int, int]  # need weight, safety points
Ready = tuple[int, ...]  # the first week in which each car may start


def _waits(given: PlanInput, case: Case) -> bool:
    return case.hold is not None or case.id in given.pinned_out


def _works(given: PlanInput, case: Case) -> Iterator[Work]:
    """Yield the car left out, and every choice of items with all that must be done."""
    yield Work(case=case, items=None)
    own = [item for item in given.items if item.case_id == case.id]
    must = {item.id for item in own if item.tier <= 1}
    while more := {b for item in own if item.id in must for b in item.prerequisites} - must:
        must |= more
    extras = [item for item in own if item.id not in must]
    sure = [item for item in own if item.id in must]
    bay = given.weeks[0].capacity.get("bay_days") is not None and _bay(sure) > 0
    for some in chain.from_iterable(combinations(extras, n) for n in range(len(extras) + 1)):
        done = (*sure, *some)
        names = {item.id for item in done}
        if not _waits(given, case) and all(names.issuperset(i.prerequisites) for i in done):
            yield Work(case=case, items=done, held=bay)


def _bay(items: Iterable[Item]) -> int:
    total = once(
        (item.access, min(item.access_minutes, in_bay(item)), in_bay(item)) for item in items
    )
    return (total + DAY - 1) // DAY


def _lift(items: Sequence[Item]) -> int:
    names = {item.id for item in items if item.on_lift}
    while more := {b for item in items if item.id in names for b in item.prerequisites} - names:
        names |= more
    return _bay([item for item in items if item.id in names])


def best(given: PlanInput, staff: Staff | None = None) -> Best:
    """Return the most need weight, and the most safety points among the plans that reach it."""
    choices = list(product(*(list(_works(given, case)) for case in given.cases)))
    choices.sort(key=_worth, reverse=True)
    return next(_worth(works) for works in choices if _possible(given, works, staff))


def _worth(works: Sequence[Work]) -> Best:
    need = sum(work.case.need_weight for work in works if work.items is not None)
    return need, sum(item.points for work in works for item in work.done)


def _possible(given: PlanInput, works: Sequence[Work], staff: Staff | None) -> bool:
    if sum(minutes_of(w) for w in works if w.items is not None) > _there(given, "minutes"):
        return False
    if sum(_bay(work.done) for work in works) > _there(given, "bay_days"):
        return False
    return any(_scheduled(given, works, ready, staff) for ready in _ready_weeks(given, works))


def _there(given: PlanInput, name: str) -> int:
    return sum(week.capacity[name] for week in given.weeks)


def _ready_weeks(given: PlanInput, works: Sequence[Work]) -> set[Ready]:
    """Return when each car's parts may be there, for every way to get and to pay all of them."""
    needs = [(part, n) for n, work in enumerate(works) for i in work.done for part in i.parts]
    supplies = {supply.id: supply for supply in given.supplies}
    found: set[Ready] = set()
    for sources in product(
        *([*part.supply_ids, *([""] if part.price_cents is not None else [])] for part, _ in needs)
    ):
        if any(sources.count(name) > row.quantity for name, row in supplies.items()):
            continue
        bought = {part.id for (part, _), name in zip(needs, sources, strict=True) if not name}
        if not _payable(given, works, bought):
            continue
        ready = [work.case.earliest_week for work in works]
        for (part, n), name in zip(needs, sources, strict=True):
            ready[n] = max(ready[n], supplies[name].week if name else part.buy_week)
        found.add(tuple(ready))
    return found


def _payable(given: PlanInput, works: Sequence[Work], bought: set[str]) -> bool:
    """Return whether every set of bills is within the money of the funds that may pay any."""
    bills: dict[str, int] = {}
    extra = 0
    for item in (item for work in works for item in work.done):
        parts = sum(part.price_cents or 0 for part in item.parts if part.id in bought)
        bills[item.id] = max(item.cash_cents + parts - item.set_aside_cents, 0)
    for case in given.cases:
        sure = next((w.items for w in _works(given, case) if w.items is not None), ())
        extra += sum(
            bills.get(item.id, 0)
            for item in given.items
            if item.case_id == case.id and item not in sure
        )
    if given.extras_cents is not None and extra > given.extras_cents:
        return False
    owed = [name for name, cents in bills.items() if cents]
    for some in chain.from_iterable(combinations(owed, n + 1) for n in range(len(owed))):
        payers = [f for f in given.funds if f.pays is None or f.pays.intersection(some)]
        money = sum(fund.available_cents * 100 // (100 + given.reserve_percent) for fund in payers)
        if sum(bills[name] for name in some) > money:
            return False
    return True


def _stays(given: PlanInput, work: Work, ready: int) -> Iterator[Stay]:
    days = [len(week.open_on) for week in given.weeks]
    bay, lift = _bay(work.done), _lift(work.done)
    outside = sum(item.outside_days for item in work.done)
    lifted = "lift_days" in given.weeks[0].capacity
    for start in range(ready, len(days)):
        for home in range(start, len(days)):
            inside = range(start, home + 1)
            for held in product(
                *(range(days[w] + 1) if w in inside else (0,) for w in range(len(days)))
            ):
                gap = sum(days[w] - held[w] for w in inside[1:-1])
                if (
                    sum(held) < bay
                    or sum(days[w] - held[w] for w in inside) < outside
                    or (work.held and (held[start] == 0 or gap > outside))
                ):
                    continue
                for on in product(*(range(n + 1) if lifted and lift else (0,) for n in held)):
                    if not lifted or (sum(on) >= lift and _unbroken(on, held)):
                        yield Stay(start=start, home=home, bay=held, lift=on)


def _unbroken(on: Sequence[int], held: Sequence[int]) -> bool:
    """Return whether a car that is on the lift stays there until it was for the last time."""
    weeks = [week for week, days in enumerate(on) if days]
    return not weeks or all(on[w] == held[w] for w in range(weeks[0] + 1, weeks[-1]))


def _scheduled(given: PlanInput, works: Sequence[Work], ready: Ready, staff: Staff | None) -> bool:
    """Return whether some stay for each car, together, is within what the weeks hold."""
    options = [
        [None] if work.items is None else _least(given, work, first)
        for work, first in zip(works, ready, strict=True)
    ]
    return _extend(given, works, options, [], staff)


def _least(given: PlanInput, work: Work, ready: int) -> list[Stay | None]:
    """Return the stays of which none takes less of everything for the same days in the bay."""
    stays = list(_stays(given, work, ready))
    return [
        stay
        for stay in stays
        if not any(
            other != stay
            and (other.start, other.home, other.bay) == (stay.start, stay.home, stay.bay)
            and all(a <= b for a, b in zip(other.lift, stay.lift, strict=True))
            for other in stays
        )
    ]


def _extend(
    given: PlanInput,
    works: Sequence[Work],
    options: Sequence[Sequence[Stay | None]],
    chosen: list[Stay | None],
    staff: Staff | None,
) -> bool:
    if len(chosen) == len(works):
        return (
            _places_reach(given, works, chosen)
            and _hours_reach(given, works, chosen)
            and (staff is None or hands_reach(staff, works, chosen))
        )
    for stay in options[len(chosen)]:
        after = [*chosen, stay]
        if _bays_reach(given, after) and _extend(given, works, options, after, staff):
            return True
    return False


def _bays_reach(given: PlanInput, stays: Sequence[Stay | None]) -> bool:
    taken = [stay for stay in stays if stay]
    return all(
        sum(stay.bay[n] for stay in taken) <= week.capacity["bay_days"]
        and sum(stay.lift[n] for stay in taken) <= week.capacity.get("lift_days", 0)
        for n, week in enumerate(given.weeks)
    )


def _hours_reach(given: PlanInput, works: Sequence[Work], stays: Sequence[Stay | None]) -> bool:
    """Return whether the hours of any weeks hold what can't be done in the other weeks."""
    pairs = [(work, stay) for work, stay in zip(works, stays, strict=True) if stay]
    weeks = range(len(given.weeks))
    for some in chain.from_iterable(combinations(weeks, n) for n in range(len(weeks) + 1)):
        rest = 0
        for work, stay in pairs:
            free = sum(max(item.minutes - in_bay(item), 0) for item in work.done)
            free += work.case.uses["minutes"]
            elsewhere = sum(
                DAY * stay.bay[w] + free for w in range(stay.start, stay.home + 1) if w not in some
            )
            rest += max(minutes_of(work) - elsewhere, 0)
        if rest > sum(given.weeks[w].capacity["minutes"] for w in some):
            return False
    return True


def _places_reach(given: PlanInput, works: Sequence[Work], stays: Sequence[Stay | None]) -> bool:
    """Return whether cars that come find room beside those that are here and not yet home."""
    for n, week in enumerate(given.weeks):
        here = coming = 0
        for work, stay in zip(works, stays, strict=True):
            place = work.case.stands.get("places", 0)
            if work.case.comes:
                coming += place if stay and stay.start <= n <= stay.home else 0
            else:
                here += 0 if stay and stay.home < n else place
        if coming and here + coming > week.capacity["places"]:
            return False
    return True
