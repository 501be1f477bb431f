"""Better plans near one that is there: a few cases are planned anew while all others stay.

>>> from datetime import date
>>> from program.planning.problem import Case, PlanInput, Week
>>> week = Week(starts_on=date(2026, 11, 30), capacity={"minutes": 100})
>>> rows = tuple(Case(id=name, need_weight=weight, uses={"minutes": minutes})
...              for name, weight, minutes in [("a", 6, 90), ("b", 4, 40), ("c", 3, 60)])
>>> given = PlanInput(weeks=(week,), cases=rows)
>>> b = PlannedCase(case_id="b", start_week=0, home_week=0, item_ids=(), uses={(0, "minutes"): 40})
>>> left = around(given, [b], ["c"])
>>> left.weeks[0].capacity, [case.id for case in left.cases]
({'minutes': 60}, ['c'])
"""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from typing import TYPE_CHECKING

from program.planning.demand import bills, demands, standing
from program.planning.payments import pay
from program.planning.plan import PlannedCase
from program.planning.solver import Model
from program.planning.solving import highest, hint, lowest, read, solver

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable

    from program.planning.aims import Aim
    from program.planning.problem import Fund, PlanInput, Week
    from program.planning.solving import Attention

Cases = tuple[PlannedCase, ...]


def better_near(
    plan_input: PlanInput,
    cases: Cases,
    free: Collection[str],
    aims: Iterable[Aim],
    *,
    effort: float,
    watch: Attention,
) -> Cases:
    """Return a plan that reaches more of the last aim and no less of those before it.

    Only the cases that are `free` are planned anew, those among them that the plan leaves out
    included; without a better plan the one given is returned.
    """
    *before, aim = aims
    rows = around(plan_input, cases, free)
    own = tuple(case for case in cases if case.case_id in free)
    model = Model(rows, extras=len(before) > 1)
    for kept in before:
        reached, value = kept.expression(model), kept.measure(rows, own)
        if not isinstance(reached, int):
            model.cp.add(reached >= value if kept.highest else reached <= value)
    expression, now = aim.expression(model), aim.measure(rows, own)
    if isinstance(expression, int):
        return cases
    model.cp.add(expression >= now + 1 if aim.highest else expression <= now - 1)
    hint(model, own)
    run = solver(effort)
    answer = (highest if aim.highest else lowest)(model, expression, run, watch)
    if answer.value is None:
        return cases
    rest = [case for case in cases if case.case_id not in free]
    return tuple(sorted([*rest, *read(model, run)], key=lambda case: case.case_id))


def around(plan_input: PlanInput, cases: Iterable[PlannedCase], free: Collection[str]) -> PlanInput:
    """Return what is left to the cases that are `free` when all others stay as they are."""
    listed = list(cases)
    rest = [case for case in listed if case.case_id not in free]
    used = Counter(source.supply_id for case in rest for source in case.parts)
    allowance = plan_input.extras_cents
    if allowance is not None:
        allowance -= _extras(plan_input, rest)
    return replace(
        plan_input,
        weeks=_weeks(plan_input, rest, free),
        cases=tuple(case for case in plan_input.cases if case.id in free),
        items=tuple(item for item in plan_input.items if item.case_id in free),
        funds=_funds(plan_input, listed, free),
        supplies=tuple(
            replace(row, quantity=row.quantity - used[row.id]) for row in plan_input.supplies
        ),
        reserve_percent=0,
        extras_cents=allowance,
    )


def _weeks(
    plan_input: PlanInput, rest: list[PlannedCase], free: Collection[str]
) -> tuple[Week, ...]:
    """Return the weeks less what the others take, those that wait and stand here included."""
    others = tuple(case for case in plan_input.cases if case.id not in free)
    stay = replace(plan_input, cases=others, items=())
    taken = Counter(standing(stay, rest, coming=False))
    taken.update(standing(stay, rest, coming=True))
    for case in rest:
        taken.update(case.uses)
    return tuple(
        replace(
            week,
            capacity={
                name: max(amount - taken[number, name], 0) for name, amount in week.capacity.items()
            },
        )
        for number, week in enumerate(plan_input.weeks)
    )


def _funds(
    plan_input: PlanInput, cases: list[PlannedCase], free: Collection[str]
) -> tuple[Fund, ...]:
    """Return the funds less what they pay for the others as long as nothing changes."""
    reserve = plan_input.reserve_percent
    owners = {item.id: item.case_id for item in plan_input.items}
    paid = Counter[str]()
    payments = pay(bills(plan_input, cases), plan_input.funds, reserve_percent=reserve)
    for payment in payments or ():
        if owners[payment.item_id] not in free:
            paid[payment.fund_id] += payment.cents
    return tuple(
        replace(fund, available_cents=fund.spendable_cents(reserve) - paid[fund.id], floor_cents=0)
        for fund in plan_input.funds
    )


def _extras(plan_input: PlanInput, cases: Iterable[PlannedCase]) -> int:
    """Return the cents that go into extras of these cases."""
    extras = {item.id for row in demands(plan_input) for item in row.extras}
    owed = bills(plan_input, cases)
    return sum(cents for item_id, cents in owed.items() if item_id in extras)
