"""Every plan of a small program, by trying all of them: no solver and no cleverness."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from itertools import combinations, product
from random import Random
from typing import TYPE_CHECKING

from program.planning.demand import bills, demands
from program.planning.payments import pay
from program.planning.plan import PartSource, PlannedCase
from program.planning.problem import Case, Fund, Item, PartNeed, PlanInput, Supply
from tests.program.planning.programs import week

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from program.planning.demand import Demand

OPEN = (date(2026, 11, 30), date(2026, 12, 1))
Aims = tuple[int, int, int]  # need weight, safety points, cash with a minus sign


def tiny(seed: int) -> PlanInput:
    """Return four cars in one week, small enough to try every plan."""
    draw = Random(seed)
    cases = [Case(id=f"c{n}", need_weight=draw.randint(1, 6)) for n in range(4)]
    items = [
        Item(
            id=f"{case.id}/{n}",
            case_id=case.id,
            tier=draw.choice((0, 1, 3)),
            points=draw.randint(0, 9),
            cash_cents=draw.randint(0, 9),
            set_aside_cents=draw.choice((0, 0, 5)),
            minutes=draw.randint(1, 9) * 10,
            prerequisites=(f"{case.id}/0",) if n and draw.random() < 0.3 else (),
            parts=(
                PartNeed(
                    id=f"{case.id}/{n}/p",
                    price_cents=draw.choice((None, 5, 12)),
                    supply_ids=draw.choice(((), ("s0",), ("s0", "s1"), ("s1",))),
                ),
            )
            if draw.random() < 0.6
            else (),
        )
        for case in cases
        for n in range(2)
    ]
    names = [item.id for item in items]
    funds = (
        Fund(id="g", label="g", available_cents=draw.randint(0, 25)),
        Fund(
            id="r",
            label="r",
            available_cents=draw.randint(0, 25),
            restricted=True,
            pays=frozenset(draw.sample(names, 4)),
        ),
    )
    return PlanInput(
        weeks=(
            replace(
                week(minutes=draw.randint(8, 30) * 10, bay_days=draw.randint(3, 6)), open_on=OPEN
            ),
        ),
        cases=tuple(cases),
        items=tuple(items),
        funds=funds,
        supplies=(Supply(id="s0"), Supply(id="s1")),
        bay_day_minutes=50,
        extras_cents=draw.choice((None, 10)),
    )


def every_plan(plan_input: PlanInput) -> Iterator[Aims]:
    """Yield the aims of every plan that keeps the rules."""
    rows = demands(plan_input)
    for chosen in product((False, True), repeat=len(rows)):
        taken = [row for row, y in zip(rows, chosen, strict=True) if y]
        extras = [item for row in taken for item in row.extras]
        for size in range(len(extras) + 1):
            for some in combinations(extras, size):
                items = [item for row in taken for item in row.must] + list(some)
                yield from every_way(plan_input, taken, items)


def fits(plan_input: PlanInput, taken: Sequence[Demand], items: Sequence[Item]) -> bool:
    """Return whether prerequisites, hours and bays allow these items of these cars."""
    done = {item.id for item in items}
    totals = [row.totals(done, plan_input.bay_day_minutes) for row in taken]
    return (
        all(before in done for item in items for before in item.prerequisites)
        and all(total.get("bay_days", 0) <= len(plan_input.weeks[0].days) for total in totals)
        and all(
            sum(total.get(name, 0) for total in totals) <= there
            for name, there in plan_input.weeks[0].capacity.items()
        )
    )


def every_way(
    plan_input: PlanInput, taken: Sequence[Demand], items: Sequence[Item]
) -> Iterator[Aims]:
    if not fits(plan_input, taken, items):
        return
    parts = [part for item in items for part in item.parts]
    ways = [[*part.supply_ids, *([None] if part.price_cents is not None else [])] for part in parts]
    extras = {item.id for row in taken for item in row.extras}
    for sources in product(*ways):
        supplied = [name for name in sources if name]
        if len(supplied) > len(set(supplied)):
            continue
        planned = [
            PlannedCase(
                case_id=row.case.id,
                start_week=0,
                home_week=0,
                item_ids=tuple(item.id for item in items if item.case_id == row.case.id),
                parts=tuple(
                    PartSource(
                        need_id=part.id,
                        supply_id=name,
                        cents=0 if name else part.price_cents or 0,
                    )
                    for part, name in zip(parts, sources, strict=True)
                    if part.id.startswith(row.case.id)
                ),
            )
            for row in taken
        ]
        owed = bills(plan_input, planned)
        extra = sum(cents for item_id, cents in owed.items() if item_id in extras)
        if plan_input.extras_cents is not None and extra > plan_input.extras_cents:
            continue
        if pay(owed, plan_input.funds, reserve_percent=plan_input.reserve_percent) is None:
            continue
        yield (
            sum(row.case.need_weight for row in taken),
            sum(item.points for item in items),
            -sum(owed.values()),
        )
