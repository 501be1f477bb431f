"""The plan's input in one fixed order, checked, and its fingerprint.

>>> from datetime import date
>>> from program.planning.problem import Case, Week
>>> week = Week(starts_on=date(2026, 11, 30), capacity={})
>>> rows = (Case(id="2", need_weight=1), Case(id="1", need_weight=1))
>>> [case.id for case in canonical(PlanInput(weeks=(week,), cases=rows)).cases]
['1', '2']
>>> one, other = (PlanInput(weeks=(week,), cases=order) for order in (rows, rows[::-1]))
>>> fingerprint(one) == fingerprint(other)
True
"""

from __future__ import annotations

from dataclasses import replace
from graphlib import CycleError, TopologicalSorter
from hashlib import sha256
from itertools import pairwise
from typing import TYPE_CHECKING

from program.planning.demand import bounded, demands
from program.planning.hands import HOURS_OF, kinds_of, told_apart
from program.planning.problem import BAY_DAYS, LIFT_DAYS, MINUTES, Item, PlanInput, R, by_id

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator

    from program.planning.demand import Demand
    from program.planning.hands import Kind


def canonical(plan_input: PlanInput) -> PlanInput:
    """Return the same input with its rows in order of id and its references checked.

    Raises:
        ValueError: an id stands twice, a reference leads nowhere, an amount is negative, access is
            longer than its work, hours of some people are no part of it or can't be told apart, a
            lift stands in no bay, or items need each other in a circle.
    """
    ordered = replace(
        plan_input,
        weeks=tuple(sorted(plan_input.weeks, key=lambda week: week.starts_on)),
        cases=_unique(plan_input.cases, "case"),
        items=tuple(map(_in_order, _unique(plan_input.items, "repair item"))),
        funds=_unique(plan_input.funds, "fund"),
        supplies=_unique(plan_input.supplies, "supply"),
    )
    _refuse_loose_ends(ordered)
    _refuse_unknown_resources(ordered)
    _refuse_negatives(ordered)
    _refuse_impossible_work(ordered)
    return ordered


def fingerprint(plan_input: PlanInput) -> str:
    """Return a hash that is equal for equal inputs, whatever the order of their rows."""
    rows = canonical(plan_input)
    text = repr(_plain(rows))
    return sha256(text.encode()).hexdigest()


def _plain(value: object) -> object:
    """Return nested values with every set and mapping in one fixed order."""
    if isinstance(value, dict):
        return sorted((str(key), _plain(entry)) for key, entry in value.items())
    if isinstance(value, frozenset):
        return sorted(map(str, value))
    if isinstance(value, tuple):
        return [_plain(entry) for entry in value]
    if hasattr(value, "__dataclass_fields__"):
        return [_plain(getattr(value, name)) for name in value.__dataclass_fields__]
    return str(value)


def _in_order(item: Item) -> Item:
    if len(item.parts) <= 1:
        return item
    return replace(item, parts=tuple(sorted(item.parts, key=lambda part: part.id)))


def _unique(rows: Iterable[R], name: str) -> tuple[R, ...]:
    listed = sorted(rows, key=lambda row: row.id)
    for before, after in pairwise(listed):
        if before.id == after.id:
            raise ValueError(f"The {name} {after.id} stands twice in the plan's input.")
    return tuple(listed)


def _refuse_loose_ends(plan_input: PlanInput) -> None:
    items, cases = by_id(plan_input.items), by_id(plan_input.cases)
    supplies = by_id(plan_input.supplies)
    _unique([part for item in plan_input.items for part in item.parts], "part")
    for item in plan_input.items:
        if item.case_id not in cases:
            raise ValueError(
                f"The repair item {item.id} names the case {item.case_id}, which isn't there."
            )
        for before in item.prerequisites:
            if before not in items or items[before].case_id != item.case_id:
                raise ValueError(
                    f"The repair item {item.id} needs {before}, which isn't an item of its car."
                )
        for part in item.parts:
            for supply_id in part.supply_ids:
                if supply_id not in supplies:
                    raise ValueError(
                        f"The part {part.id} names the supply {supply_id}, which isn't there."
                    )
    _refuse_circles(plan_input.items)


def _refuse_circles(items: Iterable[Item]) -> None:
    try:
        rows = {item.id: item.prerequisites for item in items if item.prerequisites}
        TopologicalSorter(rows).prepare()
    except CycleError as error:
        circle = ", ".join(reversed(error.args[1]))
        raise ValueError(f"These repair items need each other in a circle: {circle}.") from None


def _refuse_unknown_resources(plan_input: PlanInput) -> None:
    named = bounded(plan_input)
    if LIFT_DAYS in named and BAY_DAYS not in named:
        raise ValueError(
            "The weeks name lift days and no bay days. A day on a lift is one of them."
        )
    known = {MINUTES, BAY_DAYS, LIFT_DAYS, *named}
    uses = [(case.id, case.uses) for case in plan_input.cases]
    uses += [(case.id, case.stands) for case in plan_input.cases]
    uses += [(item.id, item.uses) for item in plan_input.items]
    for row_id, taken in uses:
        for name in taken:
            if name not in known:
                raise ValueError(f"{row_id} takes “{name}”, which no week of the plan names.")


def _refuse_negatives(plan_input: PlanInput) -> None:
    for name, amounts in _amounts(plan_input):
        if min(amounts, default=0) < 0:
            wrong = next(amount for amount in amounts if amount < 0)
            raise ValueError(f"{name} has the amount {wrong}. Amounts are zero or more.")


def _amounts(plan_input: PlanInput) -> Iterator[tuple[str, tuple[int, ...]]]:
    for week in plan_input.weeks:
        yield f"The week of {week.starts_on}", (*week.capacity.values(),)
    for case in plan_input.cases:
        uses = (*case.uses.values(), *case.stands.values())
        yield case.id, (case.need_weight, case.earliest_week, *uses)
    for item in plan_input.items:
        money = (item.points, item.cash_cents, item.set_aside_cents)
        minutes = (item.in_bay_minutes, item.minutes, item.access_minutes, item.outside_days)
        yield item.id, (*money, *minutes, *item.uses.values())
        for part in item.parts:
            yield part.id, (part.price_cents or 0,)
    for supply in plan_input.supplies:
        yield supply.id, (supply.quantity, supply.week)


def _refuse_impossible_work(plan_input: PlanInput) -> None:
    for item in plan_input.items:
        if item.access_minutes > item.minutes:
            raise ValueError(
                f"The repair item {item.id} has {item.access_minutes} minutes of access in "
                f"{item.minutes} minutes of work."
            )
    named = bounded(plan_input)
    for row in demands(plan_input) if any(name.startswith(HOURS_OF) for name in named) else ():
        _refuse_hours_apart(row)


def _refuse_hours_apart(row: Demand) -> None:
    """Hours of those who may do some work are a part of its minutes, by kind."""
    pieces = [(row.case.id, row.case.uses, row.case.uses.get(MINUTES, 0))]
    for item in row.items:
        shared = item.access_minutes if item.access else 0
        pieces.append((f"The repair item {item.id}", item.uses, item.minutes - shared))
    kinds: set[Kind] = set()
    for name, uses, minutes in pieces:
        own = kinds_of(uses)
        kinds.update(own)
        if sum(own.values()) > minutes:
            raise ValueError(
                f"{name} takes {sum(own.values())} minutes of some people in {minutes} minutes of "
                "work beside shared access."
            )
    try:
        told_apart(kinds, {})
    except ValueError as error:
        raise ValueError(f"{row.case.id}: {error}") from None
