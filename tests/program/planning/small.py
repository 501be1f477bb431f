"""Small programs over some weeks, small enough that every plan can be tried."""

from __future__ import annotations

from dataclasses import dataclass, replace
from datetime import timedelta
from random import Random
from typing import TYPE_CHECKING

from program.planning.hands import Hand, shared_hours
from program.planning.problem import Case, Fund, Item, PartNeed, PlanInput, Supply, Week
from shared.say import say
from tests.program.planning.programs import MONDAY

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence

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


@dataclass(frozen=True, kw_only=True)
class Staff:
    """Who may do what: people's minutes and groups by week, and the group of each piece of work."""

    hours: Mapping[str, tuple[int, ...]]
    may: Mapping[str, tuple[frozenset[str], ...]]
    group: Mapping[str, str]  # by id of an item or a case


def staffed(seed: int) -> tuple[PlanInput, Staff]:
    """Return two cars with long jobs and bays enough, in which not everybody may do all work."""
    draw, rows = Random(seed), _two_long_cars(small_program(seed))
    weeks = range(len(rows.weeks))
    people = [f"p{n}" for n in range(draw.choice((2, 2, 3)))]
    staff = Staff(
        hours={name: tuple(draw.choice((0, 30, 60, 120)) for _ in weeks) for name in people},
        may={group: _may(draw, people, len(weeks)) for group in ("brakes", "fuel", "final")},
        group={row.id: draw.choice(("", "brakes", "fuel")) for row in rows.items}
        | {row.id: "final" for row in rows.cases if draw.random() < 0.5},
    )
    return _with_hours(rows, staff), staff


def _two_long_cars(rows: PlanInput) -> PlanInput:
    """Return two cars of a program whose parts are there and paid, in bays enough."""
    cases = tuple(replace(case, hold=None, earliest_week=0, stands={}) for case in rows.cases[:2])
    ids = {case.id for case in cases}
    items = [replace(i, parts=(), cash_cents=0) for i in rows.items if i.case_id in ids]
    return replace(
        rows,
        weeks=tuple(
            replace(week, capacity={"bay_days": 4}, open_on=week.open_on[:2]) for week in rows.weeks
        ),
        cases=cases,
        items=tuple(replace(i, outside_days=0, on_lift=False) for i in items),
        pinned_out=frozenset(),
    )


def _with_hours(rows: PlanInput, staff: Staff) -> PlanInput:
    """Return the input with the hours of the staff, and what each piece of work takes of them."""
    ids = {name: n for n, name in enumerate(sorted(staff.hours))}
    hands = [Hand(id=ids[name], name=name, minutes=own) for name, own in staff.hours.items()]
    may = {
        group: [{ids[name] for name in week} for week in own] for group, own in staff.may.items()
    }
    shared = shared_hours(hands, may)

    def hours(row_id: str, minutes: int) -> dict[str, int]:
        names = [row.name for row in shared if staff.group.get(row_id) in row.groups]
        return dict.fromkeys(names, minutes)

    def there(week: int) -> dict[str, int]:
        every = {"minutes": sum(own[week] for own in staff.hours.values())}
        return every | {one.name: one.minutes[week] for one in shared}

    return replace(
        rows,
        weeks=tuple(
            replace(row, capacity={**row.capacity, **there(n)}) for n, row in enumerate(rows.weeks)
        ),
        cases=tuple(
            replace(case, uses={**case.uses, **hours(case.id, case.uses["minutes"])})
            for case in rows.cases
        ),
        items=tuple(
            replace(item, uses=hours(item.id, item.minutes - item.access_minutes))
            for item in rows.items
        ),
    )


def _may(draw: Random, people: Sequence[str], weeks: int) -> tuple[frozenset[str], ...]:
    """Return who may do some work in each week; sometimes a paper runs out."""
    able = frozenset(name for name in people if draw.random() < 0.6)
    out = draw.choice(people) if draw.random() < 0.3 else ""
    return tuple(able - {out} if week else able for week in range(weeks))


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
