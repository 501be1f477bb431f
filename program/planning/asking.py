"""What to ask for first: the parts which, if given, would free the most need.

>>> from datetime import date
>>> from program.planning.problem import Case, Item, PartNeed, PlanInput, Week
>>> from program.planning.selection import select
>>> radiator = PartNeed(id="n1", label="radiator")
>>> given = PlanInput(
...     weeks=(Week(starts_on=date(2026, 11, 30), capacity={}),),
...     cases=(Case(id="26-043", need_weight=8),),
...     items=(Item(id="a", case_id="26-043", tier=1, parts=(radiator,)),),
... )
>>> for ask in ask_first(given, select(given)):
...     print(ask.sentence)
One radiator would free 26-043: 8 points more of need.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from program.planning.canonical import canonical
from program.planning.demand import barred, demands, forced, parts_of
from program.planning.selection import NEED
from program.planning.solver import Model, Relief
from program.planning.solving import highest, hint, solver
from program.planning.wording import frees, saves

if TYPE_CHECKING:
    from collections.abc import Iterable

    from ortools.sat.python import cp_model

    from program.planning.plan import Plan
    from program.planning.problem import PartNeed, PlanInput
    from shared.say import Say

ASK_EFFORT = 2.0  # deterministic seconds for each part
ASKS = 10


@dataclass(frozen=True, kw_only=True)
class Ask:
    """One part of a kind: the cases it would free, and the need weight they add.

    `need_id` is the need that the gift would fill in that plan. `displaced` are chosen cases that
    would wait instead, when that still brings more need home. `cents_saved` is its price when the
    program would otherwise buy it.
    """

    kind: str
    need_id: str
    label: str
    freed: tuple[str, ...] = ()
    displaced: tuple[str, ...] = ()
    gain: int = 0
    cents_saved: int = 0
    sentence: Say


def ask_first(
    plan_input: PlanInput, plan: Plan, *, limit: int = ASKS, effort: float = ASK_EFFORT
) -> list[Ask]:
    """Return the parts to ask for, most need first, then those that would only save money.

    Each row stands alone: one unit of that kind is given, nothing else changes. A gift can free a
    second car by the money that it saves.
    """
    rows = canonical(plan_input)
    parts = {
        part.id: part
        for row in demands(rows)
        if not barred(rows, row.case)
        for part in parts_of(row.must).values()
    }
    found = list(_freeing(rows, plan, parts, limit, effort))
    named = {ask.kind for ask in found}
    bought = [parts[need] for need in _bought(plan) if need in parts]
    bought.sort(key=lambda part: (-(part.price_cents or 0), part.id))
    for part in bought:
        if part.gift_kind not in named and part.price_cents:
            named.add(part.gift_kind)
            found.append(_saving(part, part.price_cents))
    return found[:limit]


def _bought(plan: Plan) -> Iterable[str]:
    sources = (source for case in plan.cases for source in case.parts)
    return (source.need_id for source in sources if source.supply_id is None)


def _saving(part: PartNeed, cents: int) -> Ask:
    label = part.label or part.id
    return Ask(
        kind=part.gift_kind,
        need_id=part.id,
        label=label,
        cents_saved=cents,
        sentence=saves(label, cents),
    )


def _freeing(
    rows: PlanInput, plan: Plan, parts: dict[str, PartNeed], limit: int, effort: float
) -> Iterable[Ask]:
    """Yield the best gift, then the best of the others, until none brings more need home."""
    kinds = {part.gift_kind for part in parts.values()}
    model = Model(rows, extras=False, relief=Relief(gifts=dict.fromkeys(kinds, 1)))
    model.cp.add(sum(model.gift.values()) == 1)
    for name in sorted(forced(rows) & set(plan.case_ids)):
        model.cp.add(model.y[name] == 1)
    hint(model, plan.cases)
    need = NEED.expression(model)
    model.cp.add(need > plan.value)
    kept = sum(model.y[name] for name in plan.case_ids)
    for _ in range(min(limit, len(kinds))):
        run = solver(effort)
        answer = highest(model, (len(plan.cases) + 1) * need + kept, run)
        if answer.value is None:
            return
        ask = _read(model, run, plan, parts)
        model.cp.add(model.gift[ask.kind] == 0)
        model.cp.add(need <= plan.value + ask.gain)  # fewer gifts never free more
        yield ask


def _read(model: Model, run: cp_model.CpSolver, plan: Plan, parts: dict[str, PartNeed]) -> Ask:
    need_id = next(name for name, given in sorted(model.given.items()) if run.value(given))
    part = parts[need_id]
    chosen = {name for name, y in model.y.items() if run.value(y)}
    freed = tuple(sorted(chosen - set(plan.case_ids)))
    displaced = tuple(sorted(set(plan.case_ids) - chosen))
    reached = sum(row.case.need_weight for row in model.rows if row.case.id in chosen)
    label, gain = part.label or need_id, reached - plan.value
    return Ask(
        kind=part.gift_kind,
        need_id=need_id,
        label=label,
        freed=freed,
        displaced=displaced,
        gain=gain,
        cents_saved=part.price_cents or 0,
        sentence=frees(label, freed, displaced, gain),
    )
