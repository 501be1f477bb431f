"""Small programs over some weeks, small enough that every plan can be tried."""

from __future__ import annotations

from datetime import timedelta
from random import Random
from typing import TYPE_CHECKING

from program.planning.problem import Case, Fund, Item, PartNeed, PlanInput, Supply, Week
from shared.say import say
from tests.program.planning.programs import MONDAY

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

DAY = 60  # minutes of a bay day here


def small_program(seed: int) -> PlanInput:
    """Return two to four cars and two or three short weeks; the same for the same seed."""
    draw = Random(seed)
    weeks = draw.choice((2, 2, 3))
    cases = [_case(draw, n) for n in range(draw.choice((2, 3, 3, 4)))]
    items = [item for case in cases for item in _items(draw, case.id)]
    lift, places = draw.random() < 0.6, draw.random() < 0.6
    held = [name for name, there in (("lift_days", lift), ("places", places)) if there]
    return PlanInput(
        weeks=tuple(_week(draw, n, held) for n in range(weeks)),
        cases=tuple(cases if places else [_without_place(case) for case in cases]),
        items=tuple(items),
        funds=_funds(draw, [item.id for item in items]),
        supplies=tuple(
            Supply(id=f"s{n}", quantity=draw.choice((1, 1, 2)), week=draw.choice((0, 0, 1)))
            for n in range(2)
        ),
        pinned_out=frozenset({"c1"}) if draw.random() < 0.1 else frozenset(),
        bay_day_minutes=DAY,
        extras_cents=draw.choice((None, None, 10)),
    )


def _case(draw: Random, number: int) -> Case:
    return Case(
        id=f"c{number}",
        need_weight=draw.randint(1, 6),
        uses={"minutes": draw.choice((0, 30))},
        earliest_week=draw.choice((0, 0, 0, 1)),
        hold=say("It waits.") if draw.random() < 0.05 else None,
        stands={"places": 1} if draw.random() < 0.7 else {},
        comes=draw.random() < 0.5,
    )


def _without_place(case: Case) -> Case:
    fields = {name: getattr(case, name) for name in case.__dataclass_fields__}
    return Case(**{**fields, "stands": {}})


def _items(draw: Random, case_id: str) -> Iterator[Item]:
    for n in range(draw.choice((1, 2, 2, 3))):
        minutes = draw.choice((0, 30, 60, 60, 90, 120, 180, 240))
        access = draw.random() < 0.5
        yield Item(
            id=f"{case_id}/{n}",
            case_id=case_id,
            tier=draw.choice((0, 1, 3)),
            points=draw.randint(0, 9),
            cash_cents=draw.randint(0, 9),
            set_aside_cents=draw.choice((0, 0, 5)),
            minutes=minutes,
            bay_minutes=draw.choice((None, None, None, 0, minutes // 2, minutes + 30)),
            prerequisites=(f"{case_id}/{n - 1}",) if n and draw.random() < 0.4 else (),
            parts=_parts(draw, f"{case_id}/{n}"),
            on_lift=draw.random() < 0.35,
            access="dash" if access else "",
            access_minutes=min(draw.choice((10, 30, 50)), minutes) if access else 0,
            outside_days=draw.choice((0, 0, 0, 0, 1, 2)),
        )


def _parts(draw: Random, item_id: str) -> tuple[PartNeed, ...]:
    if draw.random() < 0.5:
        return ()
    part = PartNeed(
        id=f"{item_id}/p",
        price_cents=draw.choice((None, 5, 12)),
        buy_week=draw.choice((0, 0, 1)),
        supply_ids=draw.choice(((), ("s0",), ("s0", "s1"), ("s1",))),
    )
    return (part,)


def _week(draw: Random, number: int, held: Iterable[str]) -> Week:
    monday = MONDAY + timedelta(weeks=number)
    days = draw.choice((1, 2, 2, 3))
    capacity = {"minutes": draw.randint(2, 9) * 30, "bay_days": draw.randint(1, 5)}
    capacity |= {name: draw.randint(0, 3) for name in held}
    open_on = tuple(monday + timedelta(days=n) for n in range(days))
    return Week(starts_on=monday, capacity=capacity, open_on=open_on)


def _funds(draw: Random, item_ids: Sequence[str]) -> tuple[Fund, ...]:
    return tuple(
        Fund(
            id=name,
            label=name,
            available_cents=draw.randint(0, 45),
            restricted=restricted,
            pays=frozenset(draw.sample(item_ids, len(item_ids) // 2)) if restricted else None,
        )
        for name, restricted in (("g", False), ("r", True), ("q", True))
    )
