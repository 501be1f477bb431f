"""Whether a plan keeps every rule, counted anew from the input and without the solver.

Asked before a plan is approved, and by the tests of everything that makes plans.

>>> from datetime import date
>>> from program.planning.problem import Case, PlanInput, Week
>>> from program.planning.selection import select
>>> from dataclasses import replace
>>> week = Week(starts_on=date(2026, 11, 30), capacity={"minutes": 100})
>>> given = PlanInput(weeks=(week,), cases=(Case(id="a", need_weight=6, uses={"minutes": 90}),))
>>> check_plan(given, select(given))
[]
>>> less = replace(given, weeks=(replace(week, capacity={"minutes": 80}),))
>>> [str(problem.sentence) for problem in check_plan(less, select(given))]
['The week of November 30 takes 90 minutes, and 80 are there.']
"""

from __future__ import annotations

from collections import Counter
from itertools import chain
from typing import TYPE_CHECKING

from program.planning.canonical import canonical
from program.planning.demand import bills, bounded, demands, forced, parts_of, standing
from program.planning.hands import ANYBODY, told_apart
from program.planning.problem import BAY_DAYS, HELD, LIFT_DAYS, MINUTES, by_id
from program.planning.wording import week_of
from shared.money import usd
from shared.problems import Problem
from shared.say import say

if TYPE_CHECKING:
    from collections.abc import Iterator

    from program.planning.demand import Demand
    from program.planning.plan import PartSource, Plan, PlannedCase
    from program.planning.problem import PartNeed, PlanInput
    from shared.say import Say


def check_plan(plan_input: PlanInput, plan: Plan) -> list[Problem]:
    """Return every rule that the plan breaks, as sentences; empty when it can be approved.

    A case that was to stay in and doesn't fit is in `plan.problems`, and not repeated here.
    """
    rows = canonical(plan_input)
    own = {row.case.id: row for row in demands(rows)}
    strange = [_problem(sentence) for sentence in _strangers(rows, plan)]
    if strange:
        return strange
    known = {problem.where for problem in plan.problems}
    found = [
        _problem(say("{case} has to stay in the plan.", case=case_id), case_id)
        for case_id in sorted(forced(rows) - set(plan.case_ids) - known)
    ]
    for planned in plan.cases:
        found += _case_problems(rows, own[planned.case_id], planned)
    return [*found, *_supply_problems(rows, plan), *_week_problems(rows, plan), *_money(rows, plan)]


def _strangers(rows: PlanInput, plan: Plan) -> Iterator[Say]:
    """Yield what the plan names and the input doesn't have; nothing else can be counted then."""
    own = {row.case.id: {item.id for item in row.items} for row in demands(rows)}
    funds, supplies = by_id(rows.funds), {None, *by_id(rows.supplies)}
    for planned in plan.cases:
        if planned.case_id not in own:
            yield say("{case} is no case of the input.", case=planned.case_id)
        for item_id in sorted(set(planned.item_ids) - own.get(planned.case_id, set())):
            yield say("{item} is not an item of {case}.", item=item_id, case=planned.case_id)
        for payment in planned.payments:
            if payment.fund_id not in funds:
                yield say("{fund} is no fund of the input.", fund=payment.fund_id)
        for source in planned.parts:
            if source.supply_id not in supplies:
                yield say("{supply} is no supply of the input.", supply=source.supply_id)


def _problem(sentence: Say, where: str = "") -> Problem:
    return Problem(sentence, remedy=say("Compute the plan again."), where=where)


def _case_problems(rows: PlanInput, own: Demand, planned: PlannedCase) -> Iterator[Problem]:
    checks = chain(
        _gate_problems(rows, own, planned),
        _part_problems(rows, own, planned),
        _work_problems(rows, own, planned),
    )
    yield from (_problem(sentence, planned.case_id) for sentence in checks)


def _gate_problems(rows: PlanInput, own: Demand, planned: PlannedCase) -> Iterator[Say]:
    case, done = own.case, set(planned.item_ids)
    if case.hold is not None or case.id in rows.pinned_out:
        yield say("{case} may not be planned.", case=case.id)
    if not case.earliest_week <= planned.start_week <= planned.home_week < len(rows.weeks):
        yield say("{case} has no week to start or to go home.", case=case.id)
    for item in own.must:
        if item.id not in done:
            yield say("{item} must be done before {case} goes home.", item=item.id, case=case.id)
    items = by_id(own.items)
    for item_id in sorted(done):
        if not done.issuperset(items[item_id].prerequisites):
            yield say("{item} is done without what it needs before.", item=item_id)


def _part_problems(rows: PlanInput, own: Demand, planned: PlannedCase) -> Iterator[Say]:
    needs = parts_of(item for item in own.items if item.id in planned.item_ids)
    counts = Counter(source.need_id for source in planned.parts)
    for need_id in sorted(needs.keys() | counts.keys()):
        if need_id not in needs or counts[need_id] != 1:
            yield say("The part {part} has to have one source.", part=need_id)
    for source in planned.parts:
        part = needs.get(source.need_id)
        if part is not None:
            yield from _source_problems(rows, part, source, planned.start_week)


def _source_problems(
    rows: PlanInput, part: PartNeed, source: PartSource, start: int
) -> Iterator[Say]:
    if source.supply_id is None:
        if source.cents != part.price_cents:
            yield say("The part {part} can't be bought at that price.", part=part.id)
        ready = part.buy_week
    else:
        if source.supply_id not in part.supply_ids:
            yield say("The supply {supply} doesn't fit.", supply=source.supply_id)
        ready = by_id(rows.supplies)[source.supply_id].week
    if ready > start:
        yield say("The part {part} comes after its car takes a bay.", part=part.id)


def _work_problems(rows: PlanInput, own: Demand, planned: PlannedCase) -> Iterator[Say]:
    totals = own.totals(planned.item_ids, rows.bay_day_minutes)
    for name in bounded(rows):
        given, needed = planned.used(name), totals.get(name, 0)
        if given < needed or (given > needed and name not in HELD):
            yield say(
                "{case} takes {needed} of {name}, and the plan gives {given}.",
                case=planned.case_id,
                needed=needed,
                name=name,
                given=given,
            )
    weeks = {week for (week, _), amount in planned.uses.items() if amount} or {planned.start_week}
    outside = own.outside_days(planned.item_ids)
    ends = (planned.start_week, planned.home_week)
    if not ends[0] <= min(weeks) <= max(weeks) <= ends[1]:
        yield say("{case} is worked on outside its weeks.", case=planned.case_id)
    elif not outside and (min(weeks), max(weeks)) != ends:
        yield say("{case} is not worked on in its first or its last week.", case=planned.case_id)
    yield from _day_problems(rows, own, planned)
    yield from _hour_problems(rows, own, planned)
    if BAY_DAYS in bounded(rows):
        yield from _bay_problems(rows, own, planned)
    if LIFT_DAYS in bounded(rows):
        yield from _lift_problems(planned)


def _day_problems(rows: PlanInput, own: Demand, planned: PlannedCase) -> Iterator[Say]:
    """Yield what the open days from start to home don't hold: days in a bay, and outside."""
    outside = own.outside_days(planned.item_ids)
    must = own.totals({item.id for item in own.must}, rows.bay_day_minutes)
    held = BAY_DAYS in bounded(rows) and bool(must.get(BAY_DAYS))
    stay = range(planned.start_week, min(planned.home_week + 1, len(rows.weeks)))
    free = {week: len(rows.weeks[week].days) - _bay(planned, week) for week in stay}
    if outside > sum(free.values()):
        yield say(
            "{case} is outside for {days} days, and its weeks don't hold them.",
            case=planned.case_id,
            days=outside,
        )
    if held and not _bay(planned, planned.start_week):
        yield say("{case} starts without a bay.", case=planned.case_id)
    if held and sum(free[week] for week in stay[1:-1]) > outside:
        yield say("{case} leaves its bay before its last week.", case=planned.case_id)


def _bay(planned: PlannedCase, week: int) -> int:
    return planned.uses.get((week, BAY_DAYS), 0)


def _bay_problems(rows: PlanInput, own: Demand, planned: PlannedCase) -> Iterator[Say]:
    free = own.free_minutes(planned.item_ids)
    for week in range(planned.start_week, min(planned.home_week + 1, len(rows.weeks))):
        days = _bay(planned, week)
        if days > len(rows.weeks[week].days):
            yield say(
                "{case} can't stand in a bay for {days} days.", case=planned.case_id, days=days
            )
        most = rows.bay_day_minutes * days + free
        if len(rows.weeks) > 1 and planned.uses.get((week, MINUTES), 0) > most:
            yield say("{case} has more work than days in a bay.", case=planned.case_id)


def _hour_problems(rows: PlanInput, own: Demand, planned: PlannedCase) -> Iterator[Say]:
    """Yield where hours of those who may do some work lie in other weeks than that work."""
    kinds = own.kinds(planned.item_ids)
    named, skilled = bounded(rows), [kind for kind in kinds if kind]
    for week in range(len(rows.weeks) if skilled else 0):
        taken = {name: planned.uses.get((week, name), 0) for kind in skilled for name in kind}
        work = told_apart(skilled, taken)
        again = {name: sum(work[kind] for kind in skilled if name in kind) for name in taken}
        if MINUTES in named:
            work[ANYBODY] = planned.uses.get((week, MINUTES), 0) - sum(work.values())
        if again != taken or min(work.values()) < 0:
            yield say(
                "{case} takes hours of some people in the {week} for work of another week.",
                case=planned.case_id,
                week=week_of(rows.weeks[week]),
            )
        most = rows.bay_day_minutes * _bay(planned, week)
        paced = BAY_DAYS in named and MINUTES in named and len(rows.weeks) > 1
        if paced and any(work[kind] > most + kinds[kind].free for kind in work):
            yield say("{case} has more work of one kind than days in a bay.", case=planned.case_id)


def _lift_problems(planned: PlannedCase) -> Iterator[Say]:
    """Yield where the lift is not held from the first day on it to the last."""
    lift = {week: days for (week, name), days in planned.uses.items() if name == LIFT_DAYS and days}
    if any(days > _bay(planned, week) for week, days in lift.items()):
        yield say("{case} is on a lift and in no bay.", case=planned.case_id)
    between = range(min(lift) + 1, max(lift)) if lift else ()
    if any(lift.get(week, 0) < _bay(planned, week) for week in between):
        yield say("{case} comes off its lift before it can roll.", case=planned.case_id)


def _supply_problems(rows: PlanInput, plan: Plan) -> Iterator[Problem]:
    used = Counter(source.supply_id for case in plan.cases for source in case.parts)
    for supply in rows.supplies:
        if used[supply.id] > supply.quantity:
            yield _problem(say("The supply {supply} is given twice.", supply=supply.id))


def _week_problems(rows: PlanInput, plan: Plan) -> Iterator[Problem]:
    here = standing(rows, plan.cases, coming=False)
    coming = standing(rows, plan.cases, coming=True)
    for key in ((n, name) for n in range(len(rows.weeks)) for name in bounded(rows)):
        chosen = plan.used(*key) + coming.get(key, 0)
        week, name = rows.weeks[key[0]], key[1]
        there = week.capacity.get(name, 0)
        used = chosen + here.get(key, 0)
        if chosen and used > there:
            yield _problem(
                say(
                    "The {week} takes {used} {name}, and {there} are there.",
                    week=week_of(week),
                    used=used,
                    name=name.replace("_", " "),
                    there=there,
                )
            )


def _money(rows: PlanInput, plan: Plan) -> Iterator[Problem]:
    owed, paid = bills(rows, plan.cases), Counter[str]()
    funds = by_id(rows.funds)
    for payment in (payment for case in plan.cases for payment in case.payments):
        paid[payment.item_id] += payment.cents
        if not funds[payment.fund_id].may_pay(payment.item_id) or payment.cents <= 0:
            yield _problem(
                say("{fund} may not pay {item}.", fund=payment.fund_id, item=payment.item_id)
            )
    for item_id in sorted(owed.keys() | paid.keys()):
        if owed.get(item_id, 0) != paid[item_id]:
            yield _problem(say("The bill of {item} is not paid exactly.", item=item_id))
    for fund in rows.funds:
        if plan.paid_by(fund.id) > fund.spendable_cents(rows.reserve_percent):
            cents = usd(plan.paid_by(fund.id))
            yield _problem(say("{fund} has no {cents} to spend.", fund=fund.label, cents=cents))
    extras = {item.id for row in demands(rows) for item in row.extras}
    if (
        rows.extras_cents is not None
        and sum(owed[i] for i in owed.keys() & extras) > rows.extras_cents
    ):
        yield _problem(
            say("The extras pass their allowance of {cents}.", cents=usd(rows.extras_cents))
        )
