"""Why a case waits, what would bring it in, and whom it would displace.

>>> from datetime import date
>>> from program.planning.problem import Case, PlanInput, Week
>>> from program.planning.selection import select
>>> week = Week(starts_on=date(2026, 11, 30), capacity={"minutes": 100})
>>> rows = tuple(Case(id=name, need_weight=weight, uses={"minutes": minutes})
...              for name, weight, minutes in [("a", 6, 90), ("b", 5, 40), ("c", 3, 60)])
>>> given = PlanInput(weeks=(week,), cases=rows)
>>> why = why_not(given, select(given), "a")
>>> str(why.lacks), str(why.swap.sentence)
('lacks 1:30 hours of shop time', 'Taking it in would leave out b and c: 2 points less of need.')
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from program.planning.canonical import canonical
from program.planning.demand import bounded, demands, forced, parts_of
from program.planning.plan import Addition
from program.planning.problem import BAY_DAYS, MINUTES
from program.planning.selection import NEED, select
from program.planning.solver import Model, Relief
from program.planning.solving import EFFORT, highest, hint, lowest, solver
from program.planning.wording import lacking, never_fits, swapped, which_funds

if TYPE_CHECKING:
    from program.planning.demand import Demand
    from program.planning.plan import Plan
    from program.planning.problem import PlanInput
    from shared.say import Say

# What is asked for first when one thing can stand for another: money before hours before days
# before a part. Source of the order: program policy.
PART_PRICE = 10**7
BAY_DAY_PRICE = 40_000
UNIT_PRICE = 100


@dataclass(frozen=True, kw_only=True)
class Swap:
    """What taking a case in would cost the others. A loss of 0 is a tie."""

    displaced: tuple[str, ...]
    loss: int
    sentence: Say


@dataclass(frozen=True, kw_only=True)
class WhyNot:
    """Why one case waits. `lacks` completes “26-046 …”; `reasons` are whole sentences."""

    case_id: str
    lacks: Say
    reasons: tuple[Say, ...] = ()
    addition: Addition | None = None
    swap: Swap | None = None


def why_not(plan_input: PlanInput, plan: Plan, case_id: str, *, effort: float = EFFORT) -> WhyNot:
    """Return what keeps a case out of a plan.

    Raises:
        ValueError: there is no such case, or it goes home by this plan.
    """
    rows = canonical(plan_input)
    row = next((row for row in demands(rows) if row.case.id == case_id), None)
    if row is None or plan.case(case_id):
        raise ValueError(f"{case_id} is no case that waits in this plan.")
    if row.case.hold is not None:
        return WhyNot(case_id=case_id, lacks=row.case.hold)
    rows = replace(rows, pinned_out=rows.pinned_out - {case_id})
    addition = _addition(rows, plan, row, effort)
    if addition is None:
        reasons = never_fits(rows, row)
        return WhyNot(case_id=case_id, lacks=reasons[0], reasons=reasons)
    return WhyNot(
        case_id=case_id,
        lacks=lacking(addition, parts_of(rows.items)),
        reasons=which_funds(rows, plan, row) if addition.cents else (),
        addition=addition,
        swap=_swap(rows, plan, case_id, effort),
    )


def _addition(rows: PlanInput, plan: Plan, row: Demand, effort: float) -> Addition | None:
    """Return the cheapest relief under which the chosen cases and this one all go home."""
    scarce = Counter(
        part.gift_kind
        for part in parts_of(row.must).values()
        if part.price_cents is None or part.buy_week >= len(rows.weeks)
    )
    relief = Relief(cents=True, resources=frozenset(bounded(rows)), gifts=scarce)
    model = Model(rows, extras=False, relief=relief)
    hint(model, plan.cases)
    for name in sorted({*plan.case_ids, row.case.id}):
        model.cp.add(model.y[name] == 1)
    prices = {MINUTES: UNIT_PRICE, BAY_DAYS: BAY_DAY_PRICE}
    asked = sum(prices.get(name, UNIT_PRICE) * more for (_, name), more in model.more.items())
    run = solver(effort)
    answer = lowest(model, asked + model.more_cents + PART_PRICE * sum(model.gift.values()), run)
    if answer.value is None:
        return None
    more = {key: run.value(amount) for key, amount in model.more.items()}
    cents = run.value(model.more_cents)
    return Addition(
        cents=-(-cents * (100 + rows.reserve_percent) // 100),
        resources={key: amount for key, amount in more.items() if amount},
        need_ids=tuple(name for name, given in sorted(model.given.items()) if run.value(given)),
    )


def _swap(rows: PlanInput, plan: Plan, case_id: str, effort: float) -> Swap | None:
    """Return what is lost when the case is taken in and nothing is added."""
    model = Model(rows, extras=False)
    for name in sorted({*forced(rows) & set(plan.case_ids), case_id}):
        model.cp.add(model.y[name] == 1)
    run = solver(effort)
    kept = sum(model.y[name] for name in plan.case_ids)
    answer = highest(model, (len(plan.cases) + 1) * NEED.expression(model) + kept, run)
    if answer.value is None:
        return None
    chosen = {name for name, y in model.y.items() if run.value(y)}
    displaced = tuple(name for name in plan.case_ids if name not in chosen)
    loss = plan.value - sum(row.case.need_weight for row in model.rows if row.case.id in chosen)
    return Swap(displaced=displaced, loss=loss, sentence=swapped(displaced, loss))


def pin_cost(plan_input: PlanInput, plan: Plan, *, effort: float = EFFORT) -> int:
    """Return the need weight that the pins of the input cost against a plan without them."""
    free = replace(plan_input, pinned_in=frozenset(), pinned_out=frozenset())
    return select(free, effort=effort).value - plan.value
