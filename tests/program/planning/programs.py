"""Invented programs of any size, the same for the same seed: plausible, not measured."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from random import Random
from typing import TYPE_CHECKING, Any

import pytest

from program.planning.aims import WHAT
from program.planning.canonical import canonical
from program.planning.demand import bills
from program.planning.payments import pay
from program.planning.plan import Plan, Stage
from program.planning.problem import Case, Fund, Item, PartNeed, PlanInput, Supply, Week
from program.planning.solver import Model
from program.planning.solving import highest, read, solver

if TYPE_CHECKING:
    from collections.abc import Mapping

MONDAY = date(2026, 11, 30)
SYSTEMS = ("brakes", "tires", "steering", "exhaust", "cooling", "engine", "electrical", "body")
PRICES = (9_000, 14_000, 12_000, 18_000, 16_000, 40_000, 11_000, 20_000)


def seeds(quick: int, all_of_them: int) -> list[Any]:
    """Return seeds of which the first few are tried always, and all with the slow tests."""
    rest = range(quick, all_of_them)
    return [*range(quick), *(pytest.param(seed, marks=pytest.mark.slow) for seed in rest)]


def week(number: int = 0, **capacity: int) -> Week:
    return Week(starts_on=MONDAY + timedelta(weeks=number), capacity=capacity)


def program(
    seed: int, *, cases: int = 24, weeks: int = 3, scale: float = 0.45, quirks: bool = True
) -> PlanInput:
    """Return a program whose money covers about `scale` of what the gates of all cars cost."""
    draw = Random(seed)
    households = [
        Case(
            id=f"c{n:03}",
            need_weight=draw.randint(1, 12),
            uses={"minutes": draw.choice((60, 90, 120))},
            stays=quirks and n == 0,
        )
        for n in range(cases)
    ]
    items = [item for case in households for item in _items(draw, case.id)]
    supplies, items = _supplies(draw, items)
    gate = [item for item in items if item.tier <= 1]
    cost = sum(item.cash_cents + sum(p.price_cents or 0 for p in item.parts) for item in gate)
    minutes = sum(item.minutes for item in gate) + sum(c.uses["minutes"] for c in households)
    return PlanInput(
        weeks=tuple(
            week(
                n, minutes=int(minutes * 0.55 / weeks), bay_days=max(cases * 2 // weeks * 2 // 3, 3)
            )
            for n in range(weeks)
        ),
        cases=tuple(households),
        items=tuple(items),
        funds=_funds(draw, items, int(cost * scale)),
        supplies=tuple(supplies),
    )


def floor(seed: int, plan_input: PlanInput) -> PlanInput:
    """Return the program with what a floor adds: lift, places, shared access, days outside."""
    draw = Random(seed)
    items = [
        replace(
            item,
            on_lift=draw.random() < 0.25,
            access=draw.choice(("", "front", "dash")),
            access_minutes=draw.choice((0, 10, 20, 30)),
            outside_days=draw.choice((0, 0, 0, 0, 0, 1, 2, 4)),
        )
        for item in plan_input.items
    ]
    cases = [
        replace(case, stands={"places": int(draw.random() < 0.6)}, comes=draw.random() < 0.5)
        for case in plan_input.cases
    ]
    return replace(
        plan_input,
        weeks=tuple(
            replace(
                row,
                capacity={
                    **row.capacity,
                    "lift_days": max(row.capacity["bay_days"] // 4, 2),
                    "places": len(cases) // draw.choice((2, 4)),
                },
            )
            for row in plan_input.weeks
        ),
        cases=tuple(cases),
        items=tuple(
            replace(item, access_minutes=min(item.access_minutes, item.minutes)) for item in items
        ),
    )


def proven(plan_input: PlanInput) -> Plan:
    """Return the plan of the model alone: most need, then most safety points, both proven.

    No plan is given to the solver to start from.
    """
    rows = canonical(plan_input)
    model, run, stages = Model(rows, extras=True), solver(60), []
    for aim in WHAT[:2]:
        answer = highest(model, aim.expression(model), run)
        assert answer.value is not None
        model.cp.add(aim.expression(model) >= answer.value)
        stages.append(
            Stage(name=aim.name, value=answer.value, bound=answer.bound, proven=answer.proven)
        )
    cases = read(model, run)
    paid = pay(bills(rows, cases), rows.funds, reserve_percent=rows.reserve_percent) or ()
    return Plan(
        cases=tuple(
            replace(case, payments=tuple(p for p in paid if p.item_id in case.item_ids))
            for case in cases
        ),
        stages=tuple(stages),
    )


def _items(draw: Random, case_id: str) -> list[Item]:
    made: list[Item] = []
    for n in range(draw.randint(2, 6)):
        kind = draw.randrange(len(SYSTEMS))
        item_id = f"{case_id}/{n}-{SYSTEMS[kind]}"
        price = int(PRICES[kind] * draw.lognormvariate(0, 0.5))
        parts = [
            PartNeed(
                id=f"{item_id}/p",
                label=f"part for {SYSTEMS[kind]}",
                kind=f"{SYSTEMS[kind]}-{draw.randint(1, 12)}",
                price_cents=None if draw.random() < 0.08 else price,
                buy_week=int(draw.random() < 0.1),
            )
        ]
        before = (made[0].id,) if made and draw.random() < 0.2 else ()
        made.append(
            Item(
                id=item_id,
                case_id=case_id,
                tier=draw.choices((0, 1, 2, 3, 4), (20, 20, 25, 20, 15))[0],
                points=draw.choice((0, 2, 10, 20, 30, 40, 120, 160)),
                cash_cents=draw.choice((0, 500, 2_000)),
                minutes=draw.randint(4, 36) * 10,
                prerequisites=before,
                parts=tuple(parts) if draw.random() < 0.8 else (),
            )
        )
    return made


def _supplies(draw: Random, items: list[Item]) -> tuple[list[Supply], list[Item]]:
    """Return a supply for about every tenth part, and the items that may use them."""
    kinds = sorted({part.kind for item in items for part in item.parts})
    given = [kind for kind in kinds if draw.random() < 0.15]
    rows = [
        Supply(id=f"s-{kind}", quantity=draw.randint(1, 2), week=draw.choice((0, 0, 1)))
        for kind in given
    ]
    names = {kind: (f"s-{kind}",) for kind in given}
    return rows, [_served(item, names) for item in items]


def _served(item: Item, names: Mapping[str, tuple[str, ...]]) -> Item:
    fields = {name: getattr(item, name) for name in item.__dataclass_fields__}
    parts = [
        PartNeed(
            id=part.id,
            label=part.label,
            kind=part.kind,
            price_cents=part.price_cents,
            buy_week=part.buy_week,
            supply_ids=names.get(part.kind, ()),
        )
        for part in item.parts
    ]
    return Item(**{**fields, "parts": tuple(parts)})


def _funds(draw: Random, items: list[Item], cents: int) -> tuple[Fund, ...]:
    """Return an unrestricted fund with 40 percent of the money, and four restricted ones."""
    county = {item.case_id: draw.random() < 0.5 for item in items}

    def allowed(*systems: str, local: bool = False) -> frozenset[str]:
        fits = [item for item in items if not systems or item.id.split("-")[-1] in systems]
        return frozenset(item.id for item in fits if county[item.case_id] or not local)

    shares = {
        "brake-gift": (25, allowed("brakes", "tires", "steering"), None),
        "county-grant": (20, allowed(local=True), date(2027, 6, 30)),
        "winter": (10, allowed("cooling", "electrical"), date(2027, 3, 31)),
        "engines": (5, allowed("engine", local=True), None),
    }
    restricted = [
        Fund(
            id=name,
            label=name,
            available_cents=cents * share // 100,
            restricted=True,
            pays=pays,
            lapses_on=lapses,
        )
        for name, (share, pays, lapses) in shares.items()
    ]
    general = Fund(id="general", label="General", available_cents=cents * 40 // 100)
    return (general, *restricted)
