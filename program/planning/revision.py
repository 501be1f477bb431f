"""What changed in the facts since a plan was computed, in sentences a coordinator understands.

>>> from dataclasses import replace
>>> from datetime import date
>>> from program.planning.problem import Case, Fund, PlanInput, Week
>>> week = Week(starts_on=date(2026, 11, 30), capacity={"minutes": 600})
>>> before = PlanInput(weeks=(week,), cases=(Case(id="26-046", need_weight=9),),
...                    funds=(Fund(id="g", label="general fund", available_cents=500_00),))
>>> fund = replace(before.funds[0], available_cents=380_00)
>>> now = replace(before, funds=(fund,), weeks=(replace(week, capacity={"minutes": 420}),))
>>> for sentence in stale(before, now):
...     print(sentence)
General fund has $120.00 less.
The week of November 30 has 3:00 hours of shop time less.
>>> stale(before, before)
()
"""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from program.planning.canonical import canonical
from program.planning.changes import LONGEST, NO_ONE
from program.planning.problem import MINUTES, by_id
from program.planning.wording import amount_of, first_of, opening, week_of
from shared.money import usd
from shared.say import say

if TYPE_CHECKING:
    from collections.abc import Collection, Iterator, Mapping

    from program.planning.problem import Case, Fund, Item, PartNeed, PlanInput, Week
    from shared.say import Say


def stale(
    before: PlanInput, now: PlanInput, *, limit: int = LONGEST, gone: Mapping[str, Say] = NO_ONE
) -> tuple[Say, ...]:
    """Return what changed in the facts since a plan was computed; empty when nothing did.

    Cases come first, most need first, then their work, money, hours and parts.
    """
    pair = _Facts(before, now, gone)
    found = [
        *pair.cases(),
        *pair.pins(),
        *pair.items(),
        *pair.funds(),
        *pair.weeks(),
        *pair.supplies(),
        *pair.rules(),
    ]
    return first_of(found, limit)


class _Facts:
    """Two inputs beside each other."""

    def __init__(self, before: PlanInput, now: PlanInput, gone: Mapping[str, Say]) -> None:
        self.before, self.now, self.gone = canonical(before), canonical(now), gone

    def cases(self) -> Iterator[Say]:
        was, now = by_id(self.before.cases), by_id(self.now.cases)
        rows = {**was, **now}
        for name in sorted(rows, key=lambda name: (-rows[name].need_weight, name)):
            if name not in was:
                yield say("{case} is new.", case=name)
            elif name not in now:
                reason = self.gone.get(name) or say("it is no longer open")
                yield say("{case} is out: {reason}.", case=name, reason=reason)
            else:
                yield from _case_changes(was[name], now[name])

    def pins(self) -> Iterator[Say]:
        open_cases = by_id(self.now.cases)
        for name in sorted(open_cases):
            was, now = (
                (name in rows.pinned_in, name in rows.pinned_out)
                for rows in (self.before, self.now)
            )
            if was != now:
                yield _pinned(name, taken=now[0], left=now[1])

    def items(self) -> Iterator[Say]:
        was, now = by_id(self.before.items), by_id(self.now.items)
        still = {case.id for case in self.now.cases} & {case.id for case in self.before.cases}
        for name in sorted({**was, **now}):
            item = now.get(name) or was[name]
            if item.case_id not in still:
                continue
            label = opening(item.label or item.id)
            if name not in now:
                yield say(
                    "{item} of {case} is done or off the list.", item=label, case=item.case_id
                )
            elif name not in was:
                yield say("{item} of {case} is new.", item=label, case=item.case_id)
            elif was[name] != now[name]:
                yield from _item_changes(was[name], now[name])

    def funds(self) -> Iterator[Say]:
        was, now = by_id(self.before.funds), by_id(self.now.funds)
        for name in sorted({**was, **now}):
            fund = opening((now.get(name) or was[name]).label)
            if name not in was:
                yield say("{fund} is new.", fund=fund)
            elif name not in now:
                yield say("{fund} pays for nothing any more.", fund=fund)
            else:
                yield from _fund_changes(fund, was[name], now[name])

    def weeks(self) -> Iterator[Say]:
        was = {week.starts_on: week for week in self.before.weeks}
        now = {week.starts_on: week for week in self.now.weeks}
        for day in sorted({**was, **now}):
            if day in was and day in now:
                yield from _week_changes(was[day], now[day])
            else:
                week = week_of(now.get(day) or was[day])
                there = say("new in") if day in now else say("no longer in")
                yield say("The {week} is {there} the plan.", week=week, there=there)

    def supplies(self) -> Iterator[Say]:
        was, now = by_id(self.before.supplies), by_id(self.now.supplies)
        for name in sorted({**was, **now}):
            supply = now.get(name) or was[name]
            label = opening(supply.label or supply.id)
            if name not in now:
                yield say("{supply} is gone.", supply=label)
            elif name not in was:
                yield say("{supply} can be used now.", supply=label)
            elif was[name].week != now[name].week:
                later = now[name].week > was[name].week
                yield say(
                    "{supply} comes {when}.",
                    supply=label,
                    when=say("later") if later else say("sooner"),
                )
            elif was[name].quantity != now[name].quantity:
                count = now[name].quantity
                yield say("{supply}: {count} are there now.", supply=label, count=count)

    def rules(self) -> Iterator[Say]:
        was, now = self.before, self.now
        if (was.prior.cases if was.prior else None) != (now.prior.cases if now.prior else None):
            yield say("Another plan was approved.")
        names = ("reserve_percent", "bay_day_minutes", "extras_cents", "gift_week")
        if any(getattr(was, name) != getattr(now, name) for name in names):
            yield say("The program's rules for plans were changed.")


def _case_changes(was: Case, now: Case) -> Iterator[Say]:
    if now.hold and now.hold != was.hold:
        yield say("{case} is held now. {reason}", case=now.id, reason=now.hold)
    elif was.hold and not now.hold:
        yield say("{case} is no longer held.", case=now.id)
    if was.stays != now.stays:
        if now.stays:
            yield say("{case} was started or promised.", case=now.id)
        else:
            yield say("{case} is no longer promised.", case=now.id)
    if was.need_weight != now.need_weight:
        yield say(
            "{case} has a need of {now} points, not {was}.",
            case=now.id,
            now=now.need_weight,
            was=was.need_weight,
        )
    if (was.uses, was.stands, was.earliest_week) != (now.uses, now.stands, now.earliest_week):
        yield say("What {case} takes beside its repairs is different.", case=now.id)


def _pinned(case_id: str, *, taken: bool, left: bool) -> Say:
    if taken:
        return say("{case} was taken in by a person.", case=case_id)
    if left:
        return say("{case} was left out by a person.", case=case_id)
    return say("{case} is free to be chosen again.", case=case_id)


def _item_changes(was: Item, now: Item) -> Iterator[Say]:
    """Yield what became of an item: its prices by name, the rest in one sentence."""
    label = opening(now.label or now.id)
    prices = {part.id: part for part in was.parts}
    for part in now.parts:
        before = prices.get(part.id)
        if before and before.price_cents != part.price_cents:
            yield _price(now.case_id, before, part)
    if {part.id for part in now.parts} != set(prices):
        yield say("{item} of {case} lacks other parts now.", item=label, case=now.case_id)
    if was.cash_cents != now.cash_cents:
        yield say(
            "{item} of {case} costs {now} beside its parts, not {was}.",
            item=label,
            case=now.case_id,
            now=usd(now.cash_cents),
            was=usd(was.cash_cents),
        )
    if was.minutes != now.minutes:
        yield say(
            "{item} of {case} takes {now}, not {was}.",
            item=label,
            case=now.case_id,
            now=amount_of(MINUTES, now.minutes),
            was=amount_of(MINUTES, was.minutes),
        )
    both = {part.id for part in now.parts} & set(prices)
    if _rest(was, both) != _rest(now, both):
        yield say("{item} of {case} was changed.", item=label, case=now.case_id)


def _rest(item: Item, part_ids: Collection[str]) -> Item:
    """Return an item without what has sentences of its own."""
    parts = tuple(replace(p, price_cents=None) for p in item.parts if p.id in part_ids)
    return replace(item, parts=parts, cash_cents=0, minutes=0)


def _price(case_id: str, was: PartNeed, now: PartNeed) -> Say:
    label = opening(now.label or now.id)
    if now.price_cents is None:
        return say("{part} of {case} is not for sale any more.", part=label, case=case_id)
    if was.price_cents is None:
        return say(
            "{part} of {case} can be bought for {now}.",
            part=label,
            case=case_id,
            now=usd(now.price_cents),
        )
    return say(
        "{part} of {case} costs {now}, not {was}.",
        part=label,
        case=case_id,
        now=usd(now.price_cents),
        was=usd(was.price_cents),
    )


def _fund_changes(name: str, was: Fund, now: Fund) -> Iterator[Say]:
    change = now.available_cents - was.available_cents
    if change:
        yield _more_or_less(
            say("{fund}", fund=name), say("{cents}", cents=usd(abs(change))), change
        )
    if was.floor_cents != now.floor_cents:
        yield say("{fund} keeps back {cents}.", fund=name, cents=usd(now.floor_cents))
    if was.pays != now.pays:
        yield say("{fund} may pay for other work than before.", fund=name)
    if was.lapses_on != now.lapses_on:
        yield say("{fund} lapses on another day.", fund=name)


def _week_changes(was: Week, now: Week) -> Iterator[Say]:
    week = say("The {week}", week=week_of(now))
    for name in sorted({**was.capacity, **now.capacity}):
        change = now.capacity.get(name, 0) - was.capacity.get(name, 0)
        if change:
            yield _more_or_less(week, amount_of(name, abs(change)), change)
    if was.days != now.days:
        yield say("{week} is open on other days.", week=week)


def _more_or_less(what: Say, amount: Say, change: int) -> Say:
    if change > 0:
        return say("{what} has {amount} more.", what=what, amount=amount)
    return say("{what} has {amount} less.", what=what, amount=amount)
