"""What is tried on a plan: the same facts with something more, or less.

>>> from datetime import date
>>> from program.planning.problem import Fund, PlanInput, Week
>>> week = Week(starts_on=date(2026, 11, 30), capacity={"minutes": 600})
>>> given = PlanInput(weeks=(week,), cases=(), funds=(Fund(id="g", label="g", available_cents=5),))
>>> tried = apply(given, [Change(kind=ChangeKind.MONEY, amount=500), Change.from_json(
...     {"kind": "time", "what": "minutes", "amount": -180, "week": 0})])
>>> tried.funds[0].available_cents, tried.weeks[0].capacity
(505, {'minutes': 420})
>>> apply(given, [Change(kind=ChangeKind.PRICE, what="n7", amount=1)])
Traceback (most recent call last):
ValueError: No part n7 is in this plan.
"""

from __future__ import annotations

from dataclasses import asdict, dataclass, replace
from enum import StrEnum
from typing import TYPE_CHECKING, Any, Self

from program.planning.canonical import canonical
from program.planning.problem import BAY_DAYS, LIFT_DAYS, MINUTES, Fund, PlanInput, Supply, by_id
from shared.say import say

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable

    from program.planning.plan import Addition
    from program.planning.problem import Case, Item, PartNeed, Week

NEW_FUND = "money"  # the id of a fund for money that may pay anything, when there is none
GIFT = "gift "  # the beginning of the ids of supplies that are only tried


class ChangeKind(StrEnum):
    """What may be tried."""

    MONEY = "money"  # cents in a fund; without a name, in the one that may pay anything
    TIME = "time"  # minutes, or units of any resource, in a week
    BAY = "bay"  # days of a bay, opened or closed, in a week; one with a lift by name
    PART = "part"  # units of a part given, by the id of its need or by its kind
    IN = "in"  # a case has to go home
    OUT = "out"  # a case waits
    HOLD = "hold"  # nobody may plan a case
    PRICE = "price"  # what a part costs
    LATE = "late"  # weeks by which a supply comes later


@dataclass(frozen=True, kw_only=True)
class Change:
    """One thing that is tried; `what` and `amount` as its kind says, `week` counted from 0."""

    kind: ChangeKind
    what: str = ""
    amount: int = 0
    week: int = 0

    def to_json(self) -> dict[str, Any]:
        """Return the change as JSON holds it."""
        return asdict(self)

    @classmethod
    def from_json(cls, data: dict[str, Any]) -> Self:
        """Return the change that `to_json` wrote."""
        return cls(**data | {"kind": ChangeKind(data["kind"])})


def apply(plan_input: PlanInput, changes: Iterable[Change]) -> PlanInput:
    """Return the input with the changes made, in canonical order.

    Raises:
        ValueError: a change names what isn't there, or leaves less than nothing.
    """
    rows = canonical(plan_input)
    for change in changes:
        rows = _APPLY[change.kind](rows, change)
    return canonical(rows)


def changes_for(addition: Addition) -> tuple[Change, ...]:
    """Return an addition as changes that can be tried."""
    money = [Change(kind=ChangeKind.MONEY, amount=addition.cents)] if addition.cents else []
    times = [
        Change(kind=ChangeKind.TIME, what=name, amount=amount, week=week)
        for (week, name), amount in sorted(addition.resources.items())
    ]
    parts = [Change(kind=ChangeKind.PART, what=name, amount=1) for name in addition.need_ids]
    return (*money, *times, *parts)


def open_fund(plan_input: PlanInput) -> Fund:
    """Return the fund into which money without a purpose goes: of those that may pay anything.

    It is the one least below what is to be kept back, then the first by id; an empty one, which
    the input doesn't have, when no fund may pay anything.
    """
    rows = [fund for fund in plan_input.funds if fund.pays is None and not fund.restricted]
    new = Fund(id=NEW_FUND, label="money", available_cents=0)
    return min(rows, key=lambda fund: (_below_floor(fund), fund.id), default=new)


def _below_floor(fund: Fund) -> int:
    return max(fund.floor_cents - fund.available_cents, 0)


def _money(rows: PlanInput, change: Change) -> PlanInput:
    funds = by_id(rows.funds)
    fund = funds.get(change.what) if change.what else open_fund(rows)
    if fund is None:
        raise ValueError(f"No fund {change.what} is in this plan.")
    left = fund.available_cents + change.amount
    if left < 0 and change.amount < 0:
        raise ValueError(f"{fund.label} has less than that to give up.")
    funds[fund.id] = replace(fund, available_cents=left)
    return replace(rows, funds=tuple(by_id(funds.values()).values()))


def _time(rows: PlanInput, change: Change) -> PlanInput:
    return _more(rows, change.what or MINUTES, change)


def _bay(rows: PlanInput, change: Change) -> PlanInput:
    if change.what not in {"", BAY_DAYS, LIFT_DAYS}:
        raise ValueError(f"“{change.what}” is no kind of bay.")
    lifted = _more(rows, LIFT_DAYS, change) if change.what == LIFT_DAYS else rows
    return _more(lifted, BAY_DAYS, change)


def _more(rows: PlanInput, name: str, change: Change) -> PlanInput:
    if not 0 <= change.week < len(rows.weeks):
        raise ValueError(f"The plan has no week {change.week + 1}.")
    if not any(name in week.capacity for week in rows.weeks):
        raise ValueError(f"No week of this plan counts {name.replace('_', ' ')}.")
    weeks = list(rows.weeks)
    weeks[change.week] = _changed_week(weeks[change.week], name, change.amount)
    return replace(rows, weeks=tuple(weeks))


def _changed_week(week: Week, name: str, amount: int) -> Week:
    there = week.capacity.get(name, 0) + amount
    if there < 0:
        raise ValueError(
            f"The week from {week.starts_on} has less {name.replace('_', ' ')} than that."
        )
    return replace(week, capacity={**week.capacity, name: there})


def with_gift(rows: PlanInput, change: Change) -> PlanInput:
    """Return an input in canonical order, and so again, with a part given.

    It serves the one need that is named, or every need of the kind.
    """
    fits = {part.id for item in rows.items for part in item.parts if _is(part, change.what)}
    if not fits:
        raise ValueError(f"No part {change.what} is in this plan.")
    if change.amount < 1:
        raise ValueError("A gift is one unit or more.")
    taken = {supply.id for supply in rows.supplies}
    name = GIFT + change.what
    while name in taken:
        name += " again"
    gift = Supply(id=name, quantity=change.amount, week=rows.gift_week)
    served = _parts_changed(
        rows, fits, lambda part: replace(part, supply_ids=(*part.supply_ids, name))
    )
    supplies = sorted((*rows.supplies, gift), key=lambda supply: supply.id)
    return replace(served, supplies=tuple(supplies))


def _is(part: PartNeed, name: str) -> bool:
    return name in {part.id, part.gift_kind}


def _parts_changed(
    rows: PlanInput, part_ids: Iterable[str], change: Callable[[PartNeed], PartNeed]
) -> PlanInput:
    wanted = set(part_ids)

    def changed(item: Item) -> Item:
        if wanted.isdisjoint(part.id for part in item.parts):
            return item
        parts = (change(part) if part.id in wanted else part for part in item.parts)
        return replace(item, parts=tuple(parts))

    return replace(rows, items=tuple(changed(item) for item in rows.items))


def _price(rows: PlanInput, change: Change) -> PlanInput:
    fits = {part.id for item in rows.items for part in item.parts if part.id == change.what}
    if not fits:
        raise ValueError(f"No part {change.what} is in this plan.")
    if change.amount < 0:
        raise ValueError("A price is zero or more.")
    return _parts_changed(rows, fits, lambda part: replace(part, price_cents=change.amount))


def _late(rows: PlanInput, change: Change) -> PlanInput:
    supplies = by_id(rows.supplies)
    if change.what not in supplies:
        raise ValueError(f"No supply {change.what} is in this plan.")
    supply = supplies[change.what]
    if supply.week + change.amount < 0:
        raise ValueError("A supply can't come before the plan's first week.")
    supplies[supply.id] = replace(supply, week=supply.week + change.amount)
    return replace(rows, supplies=tuple(supplies.values()))


def _case(rows: PlanInput, case_id: str) -> Case:
    found = by_id(rows.cases).get(case_id)
    if found is None:
        raise ValueError(f"No case {case_id} is in this plan.")
    return found


def _in(rows: PlanInput, change: Change) -> PlanInput:
    case = _case(rows, change.what)
    if case.hold is not None:
        raise ValueError(f"{case.id} can't be taken in yet. {case.hold}")
    return replace(
        rows,
        pinned_in=rows.pinned_in | {case.id},
        pinned_out=rows.pinned_out - {case.id},
    )


def _out(rows: PlanInput, change: Change) -> PlanInput:
    case = _case(rows, change.what)
    return replace(
        rows,
        pinned_in=rows.pinned_in - {case.id},
        pinned_out=rows.pinned_out | {case.id},
    )


def _hold(rows: PlanInput, change: Change) -> PlanInput:
    held = replace(_case(rows, change.what), hold=say("It is held for this question."))
    return replace(rows, cases=tuple(held if row.id == held.id else row for row in rows.cases))


_APPLY: dict[ChangeKind, Callable[[PlanInput, Change], PlanInput]] = {
    ChangeKind.MONEY: _money,
    ChangeKind.TIME: _time,
    ChangeKind.BAY: _bay,
    ChangeKind.PART: with_gift,
    ChangeKind.IN: _in,
    ChangeKind.OUT: _out,
    ChangeKind.HOLD: _hold,
    ChangeKind.PRICE: _price,
    ChangeKind.LATE: _late,
}
