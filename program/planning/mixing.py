"""The cheapest mix of extras that brings a waiting case in, with every chosen case kept.

>>> from datetime import date
>>> from program.planning.problem import Case, PlanInput, Week
>>> week = Week(starts_on=date(2026, 11, 30), capacity={"minutes": 100})
>>> rows = (Case(id="a", need_weight=6, uses={"minutes": 90}),
...         Case(id="b", need_weight=5, uses={"minutes": 40}))
>>> mix = cheapest_mix(Bench(plan_input=PlanInput(weeks=(week,), cases=rows), kept=("a",),
...                          case_id="b"))
>>> dict(mix.addition.resources), mix.verified
({(0, 'minutes'): 30}, True)
>>> less(mix.changes[0]).amount
29
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, replace
from typing import TYPE_CHECKING, Any

from program.planning.demand import bounded, parts_of
from program.planning.joining import Bench, all_weeks, cents_into
from program.planning.plan import Addition
from program.planning.problem import BAY_DAYS, LIFT_DAYS, MINUTES
from program.planning.solver import Relief
from program.planning.solving import lowest, solver
from program.planning.trying import Change, changes_for, open_fund

if TYPE_CHECKING:
    from collections.abc import Collection

    from ortools.sat.python import cp_model

    from program.planning.demand import Demand
    from program.planning.problem import PartNeed, PlanInput
    from program.planning.solver import Model
    from program.planning.solving import Answer

# What is asked for first when one thing can stand for another: money before hours before days
# before a part. Source of the order: program policy.
PART_PRICE = 10**7
DAY_PRICE = 40_000
UNIT_PRICE = 100
PRICES = {MINUTES: UNIT_PRICE, BAY_DAYS: DAY_PRICE, LIFT_DAYS: DAY_PRICE}


@dataclass(frozen=True, kw_only=True)
class Mix:
    """The cheapest mix of extras, if one is enough; `verified` as with each `Extra`."""

    addition: Addition | None
    verified: bool
    changes: tuple[Change, ...] = ()


def cheapest_mix(bench: Bench) -> Mix:
    """Return the cheapest mix of money, resources and parts, without one when none is enough.

    A part is in it only where it can't be bought.
    """
    found, model, run = _mixed(bench)
    if found.value is None:
        return Mix(addition=None, verified=found.status == "infeasible")
    rows = bench.plan_input
    more = {key: run.value(amount) for key, amount in model.more.items()}
    addition = Addition(
        cents=cents_into(open_fund(rows), run.value(model.more_cents), rows.reserve_percent),
        resources={key: amount for key, amount in sorted(more.items()) if amount},
        need_ids=tuple(name for name, given in sorted(model.given.items()) if run.value(given)),
    )
    changes = changes_for(addition)
    return Mix(addition=addition, verified=_is_least(bench, changes), changes=changes)


def _mixed(bench: Bench) -> tuple[Answer, Model, cp_model.CpSolver]:
    """Return the cheapest mix as a search holds it: over all weeks as one, then in its weeks."""
    scarce = scarce_parts(bench.plan_input, bench.row)
    relief = Relief(
        cents=True,
        resources=frozenset(bounded(bench.plan_input)),
        gifts=Counter(part.gift_kind for part in scarce),
    )
    own = {part.id for part in scarce}
    merged, at_once = bench.merged(relief), solver(bench.effort)
    bound = lowest(merged, _asked(merged, own), at_once)
    if bound.status == "infeasible":
        return bound, merged, at_once
    if bound.value is not None:
        model, run = bench.model(bench.plan_input, relief), solver(bench.effort)
        for name in model.resources:
            total = at_once.value(merged.more[0, name])
            model.cp.add(sum(model.more[week, name] for week in model.weeks) == total)
        model.cp.add(model.more_cents == at_once.value(merged.more_cents))
        found = lowest(model, _asked(model, own), run)
        if found.value is not None:
            return found, model, run
    model, run = bench.model(bench.plan_input, relief), solver(bench.effort)
    total = _asked(model, own)
    model.cp.add(total >= bound.bound)
    return lowest(model, total, run), model, run


def _asked(model: Model, own: Collection[str]) -> Any:
    """Return the price of what is asked for in a model; only the case's own parts are given."""
    for need_id, given in model.given.items():
        if need_id not in own:
            model.cp.add(given == 0)
    asked = sum(
        PRICES.get(name, UNIT_PRICE) * amount
        for (_, name), amount in model.more.items()
        if all_weeks(name) == name
    )
    return asked + model.more_cents + PART_PRICE * sum(model.given.values())


def scarce_parts(rows: PlanInput, row: Demand) -> list[PartNeed]:
    """Return the parts of a case that can't be bought within these weeks."""
    weeks = len(rows.weeks)
    parts = parts_of(row.must).values()
    return [part for part in parts if part.price_cents is None or part.buy_week >= weeks]


def _is_least(bench: Bench, changes: tuple[Change, ...]) -> bool:
    """Return whether the changes are enough, and not with one unit less of any of them."""
    return bool(bench.holds(changes)) and all(
        bench.holds([*changes[:n], *_one_less(change), *changes[n + 1 :]]) is False
        for n, change in enumerate(changes)
    )


def _one_less(change: Change) -> list[Change]:
    return [less(change)] if change.amount > 1 else []


def less(change: Change) -> Change:
    """Return a change with one unit less."""
    return replace(change, amount=change.amount - 1)
