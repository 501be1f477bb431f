"""Invented programs of any size, as large as a planner could ever meet; the same for a seed.

Source: the generator described in words in section 2.3 of the project's notes on algorithms, our
own: eight kinds of work, five ranks, gated cars, five funds, pledges. What the notes leave open is
set here: bay days are there for such a share of the work that hours and bays both run short, and
the work of a car spans as many weeks as it takes.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import replace
from datetime import date, timedelta
from random import Random
from typing import NamedTuple

from program.planning.demand import Demand, bill
from program.planning.problem import Case, Fund, Item, PartNeed, PlanInput, Supply, Week

MONDAY = date(2026, 11, 30)
WEEKS = 8
MONEY, HOURS, BAYS = 45, 55, 58  # percent of what the gates of all cars take
DAY = 420
SAFETY = ("brakes", "tires", "steering")
FAMILIES = ("with children", "older", "working", "other")


class Kind(NamedTuple):
    """A kind of work: median price in cents, median minutes."""

    name: str
    cents: int
    minutes: int


KINDS = (
    Kind("brakes", 180_00, 120),
    Kind("tires", 320_00, 60),
    Kind("steering", 240_00, 160),
    Kind("exhaust", 210_00, 100),
    Kind("lights", 90_00, 40),
    Kind("electrical", 260_00, 140),
    Kind("engine", 900_00, 360),
    Kind("transmission", 850_00, 330),
)
GATES = KINDS[-2:]
SHARES = {"general": 40, "safety": 20, "counties": 15, "children": 15, "engines": 10}


class Household(NamedTuple):
    """What the rules of funds ask about."""

    county: int
    family: str


def generate(cases: int, seed: int = 0) -> PlanInput:
    """Return a program of so many cars and eight weeks."""
    draw = Random(seed * 10_007 + cases)
    rows = [Case(id=f"c{n:04}", need_weight=draw.randint(10, 90)) for n in range(cases)]
    homes = {case.id: Household(draw.randrange(4), draw.choice(FAMILIES)) for case in rows}
    items = [item for case in rows for item in _items(draw, case.id)]
    supplies, items = _pledges(draw, items)
    return PlanInput(
        weeks=_weeks(rows, items),
        cases=tuple(rows),
        items=tuple(items),
        funds=_funds(items, homes),
        supplies=tuple(supplies),
        reserve_percent=0,
    )


def _items(draw: Random, case_id: str) -> list[Item]:
    gated = draw.random() < 0.35
    made: list[Item] = []
    for n in range(draw.randint(5, 15)):
        gate = gated and not made
        kind = draw.choice(GATES if gate else KINDS)
        before = made[0].id if gated and made else ""
        if not gated and made and draw.random() < 0.15:
            before = draw.choice(made).id
        made.append(_item(draw, f"{case_id}/{n:02}-{kind.name}", kind, before))
    return made


def _item(draw: Random, item_id: str, kind: Kind, before: str) -> Item:
    rank = draw.choices(range(5), (20, 20, 25, 20, 15))[0]
    cents = int(kind.cents * draw.lognormvariate(0, 0.5))
    return Item(
        id=item_id,
        case_id=item_id.partition("/")[0],
        tier=rank,
        points=(160, 120, 40, 20, 4)[rank],
        minutes=max(int(kind.minutes * draw.lognormvariate(0, 0.4)), 10),
        prerequisites=(before,) if before else (),
        parts=(PartNeed(id=f"{item_id}/p", kind=kind.name, price_cents=cents),),
    )


def _pledges(draw: Random, items: list[Item]) -> tuple[list[Supply], list[Item]]:
    """Return supplies of one to three pieces, each for up to six items of a kind."""
    kinds: dict[str, list[int]] = defaultdict(list)
    for place, item in enumerate(items):
        kinds[item.parts[0].kind].append(place)
    rows, fits = [], defaultdict[int, list[str]](list)
    for n in range(max(len(items) * 4 // 100, 1)):
        same = kinds[draw.choice(sorted(kinds))]
        rows.append(Supply(id=f"s{n:05}", quantity=draw.randint(1, 3)))
        for place in draw.sample(same, min(draw.randint(1, 6), len(same))):
            fits[place].append(rows[-1].id)
    served = [
        replace(item, parts=(replace(item.parts[0], supply_ids=tuple(fits[place])),))
        for place, item in enumerate(items)
    ]
    return rows, served


def _weeks(cases: list[Case], items: list[Item]) -> tuple[Week, ...]:
    must = [row.must for row in _demands(cases, items)]
    minutes = sum(item.minutes for own in must for item in own)
    days = sum(-(-sum(item.minutes for item in own) // DAY) for own in must)
    there = {"minutes": minutes * HOURS // 100, "bay_days": days * BAYS // 100}
    return tuple(
        Week(
            starts_on=MONDAY + timedelta(weeks=number),
            capacity={name: amount // WEEKS for name, amount in there.items()},
        )
        for number in range(WEEKS)
    )


def _demands(cases: list[Case], items: list[Item]) -> list[Demand]:
    own: dict[str, list[Item]] = defaultdict(list)
    for item in items:
        own[item.case_id].append(item)
    return [Demand(case, tuple(own[case.id])) for case in cases]


def _funds(items: list[Item], homes: dict[str, Household]) -> tuple[Fund, ...]:
    own = _demands([Case(id=name, need_weight=0) for name in homes], items)
    cents = (
        sum(
            bill(item, {p.id: p.price_cents or 0 for p in item.parts})
            for row in own
            for item in row.must
        )
        * MONEY
        // 100
    )

    def allowed(kinds: tuple[str, ...], counties: int, families: tuple[str, ...]) -> frozenset[str]:
        return frozenset(
            item.id
            for item in items
            if (not kinds or item.parts[0].kind in kinds)
            and homes[item.case_id].county < counties
            and homes[item.case_id].family in families
        )

    rules = {
        "general": None,
        "safety": allowed(SAFETY, 4, FAMILIES),
        "counties": allowed((), 2, FAMILIES),
        "children": allowed((), 4, FAMILIES[:1]),
        "engines": allowed(("engine", "electrical"), 4, FAMILIES[:2]),
    }
    return tuple(
        Fund(
            id=name,
            label=name,
            available_cents=cents * SHARES[name] // 100,
            restricted=pays is not None,
            pays=pays,
        )
        for name, pays in rules.items()
    )
