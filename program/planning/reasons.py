"""Why a case goes home: what pays and why that fund, where parts come from, why then, why it.

>>> from datetime import date
>>> from program.planning.problem import Case, Fund, Item, PlanInput, Week
>>> from program.planning.selection import select
>>> gift = Fund(id="gift", label="brake gift", available_cents=500_00, restricted=True,
...             pays=frozenset({"a"}), lapses_on=date(2026, 12, 31))
>>> given = PlanInput(
...     weeks=(Week(starts_on=date(2026, 11, 30), capacity={"minutes": 600}),),
...     cases=(Case(id="26-046", need_weight=9),),
...     items=(Item(id="a", case_id="26-046", tier=1, cash_cents=200_00, minutes=90),),
...     funds=(gift,),
... )
>>> for sentence in why_in(given, select(given), "26-046").sentences:
...     print(sentence)
It brings 9 points of need home for $200.00 and 1:30 hours of shop time.
Nothing that it takes is scarce in these weeks.
Brake gift pays $200.00: it lapses on December 31, and goes first.
It goes home in the week of November 30.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from program.planning.canonical import canonical
from program.planning.demand import bounded, demands, parts_of
from program.planning.hands import HOURS_OF
from program.planning.hints import UNIT, hint_of
from program.planning.problem import HELD, by_id
from program.planning.trying import Change, ChangeKind
from program.planning.what_if import Answer, first_answer
from program.planning.wording import amount_of, listed, opening, week_of
from shared.money import usd
from shared.say import say

if TYPE_CHECKING:
    from collections.abc import Iterator

    from program.planning.demand import Demand
    from program.planning.plan import PartSource, Plan, PlannedCase
    from program.planning.problem import Fund, PartNeed, PlanInput
    from shared.say import Say

FIRST_MINUTES = 60  # a week with less than an hour left is full: no car is begun for less


@dataclass(frozen=True, kw_only=True)
class Paid:
    """What one fund pays for a case, and why that fund."""

    fund_id: str
    cents: int
    sentence: Say


@dataclass(frozen=True, kw_only=True)
class Part:
    """Where one part of a case comes from; bought when `supply_id` is None."""

    need_id: str
    supply_id: str | None
    cents: int
    week: int
    sentence: Say


@dataclass(frozen=True, kw_only=True)
class WhyIn:
    """Why one case goes home; each part of the answer is whole sentences."""

    case_id: str
    chosen: tuple[Say, ...]
    paid: tuple[Paid, ...]
    parts: tuple[Part, ...]
    weeks: tuple[Say, ...]

    @property
    def sentences(self) -> tuple[Say, ...]:
        """All of it, in the order in which it is read."""
        paid = (row.sentence for row in self.paid)
        return (*self.chosen, *paid, *(part.sentence for part in self.parts), *self.weeks)


def why_in(plan_input: PlanInput, plan: Plan, case_id: str) -> WhyIn:
    """Return why a case goes home by a plan. Solves nothing but a small linear program.

    Raises:
        ValueError: there is no such case, or it waits.
    """
    rows, planned = canonical(plan_input), plan.case(case_id)
    row = next((row for row in demands(rows) if row.case.id == case_id), None)
    if row is None or planned is None:
        raise ValueError(f"{case_id} is no case that goes home by this plan.")
    needs = parts_of(row.items)
    return WhyIn(
        case_id=case_id,
        chosen=tuple(_chosen(rows, plan, row, planned)),
        paid=tuple(_paid(rows, planned)),
        parts=tuple(_part(rows, needs[s.need_id], s) for s in planned.parts),
        weeks=tuple(_weeks(rows, plan, row, planned)),
    )


def lost_without(plan_input: PlanInput, plan: Plan, case_id: str) -> Answer:
    """Return what the plan would be without a case: how much need is lost, and who would go."""
    return first_answer(plan_input, plan, [Change(kind=ChangeKind.OUT, what=case_id)])


def _chosen(rows: PlanInput, plan: Plan, row: Demand, planned: PlannedCase) -> Iterator[Say]:
    if row.case.stays:
        yield say("Its work was started, or its day was promised: it stays in.")
    elif row.case.id in rows.pinned_in:
        yield say("A person took it in.")
    takes = [say("{cents}", cents=usd(planned.cash_cents))] if planned.cash_cents else []
    named = [name for name in bounded(rows) if not name.startswith(HOURS_OF)]
    used = {name: planned.used(name) for name in named}
    takes += [amount_of(name, amount) for name, amount in used.items() if amount]
    cost = listed(takes) if takes else say("nothing that is scarce")
    need = row.case.need_weight
    yield say("It brings {need} points of need home for {cost}.", need=need, cost=cost)
    yield _standing(rows, plan, row)


def _standing(rows: PlanInput, plan: Plan, row: Demand) -> Say:
    """Return where a case stands among the chosen, by need for the worth of what it takes."""
    hint = hint_of(rows)
    if hint.beyond.get(row.case.id) == row.case.need_weight * UNIT:
        return say("Nothing that it takes is scarce in these weeks.")
    chosen = [one for one in demands(rows) if plan.case(one.case.id)]
    chosen.sort(key=lambda one: (-hint.worth(one), one.case.id))
    place = 1 + [one.case.id for one in chosen].index(row.case.id)
    return say(
        "By need for what is scarce it stands {place} of {count} that go home.",
        place=place,
        count=len(chosen),
    )


def _paid(rows: PlanInput, planned: PlannedCase) -> Iterator[Paid]:
    """Yield the funds in the order in which they are used."""
    cents: dict[str, int] = {}
    for payment in planned.payments:
        cents[payment.fund_id] = cents.get(payment.fund_id, 0) + payment.cents
    funds = by_id(rows.funds)
    for name in sorted(cents, key=lambda name: (not funds[name].restricted, name)):
        text = say(
            "{fund} pays {cents}: {why}.",
            fund=opening(funds[name].label),
            cents=usd(cents[name]),
            why=_why_fund(funds[name]),
        )
        yield Paid(fund_id=name, cents=cents[name], sentence=text)


def _why_fund(fund: Fund) -> Say:
    if fund.lapses_on:
        day = fund.lapses_on
        return say("it lapses on {month} {day}, and goes first", month=f"{day:%B}", day=day.day)
    if fund.pays is not None:
        return say("it is restricted to work such as this, and used before open money")
    if fund.restricted:
        return say("it is restricted, and used before open money")
    return say("it may pay for anything, and is kept for last")


def _part(rows: PlanInput, part: PartNeed, source: PartSource) -> Part:
    label = opening(part.label or part.id)
    if source.supply_id is None:
        week = part.buy_week
        sentence = say("{part}: bought for {cents}.", part=label, cents=usd(source.cents))
    else:
        supply = by_id(rows.supplies)[source.supply_id]
        week, name = supply.week, supply.label or supply.id
        sentence = say("{part}: given, from {supply}.", part=label, supply=name)
    return Part(
        need_id=part.id,
        supply_id=source.supply_id,
        cents=source.cents,
        week=week,
        sentence=sentence,
    )


def _weeks(rows: PlanInput, plan: Plan, row: Demand, planned: PlannedCase) -> Iterator[Say]:
    start, home = (week_of(rows.weeks[n]) for n in (planned.start_week, planned.home_week))
    if start == home:
        yield say("It goes home in the {week}.", week=home)
    else:
        yield say(
            "Work begins in the {start}, and it goes home in the {home}.", start=start, home=home
        )
    if planned.start_week:
        yield _why_not_earlier(rows, plan, row, planned)


def _why_not_earlier(rows: PlanInput, plan: Plan, row: Demand, planned: PlannedCase) -> Say:
    """Return what keeps it from the week before its first: its parts, its own start, or hours."""
    start, needs = planned.start_week, parts_of(row.items)
    week = week_of(rows.weeks[start])
    if row.case.earliest_week == start:
        return say("It can't begin before the {week}.", week=week)
    late = [_part(rows, needs[s.need_id], s) for s in planned.parts]
    waited = [needs[part.need_id] for part in late if part.week == start]
    if waited:
        label = opening(waited[0].label or waited[0].id)
        return say(
            "{part} arrives in the {week}, and no car takes a bay before.", part=label, week=week
        )
    return _full(rows, plan, row, start - 1)


def _full(rows: PlanInput, plan: Plan, row: Demand, number: int) -> Say:
    """Return what is used up in a week, of all that the case takes."""
    totals = row.totals({item.id for item in row.must}, rows.bay_day_minutes)
    week = rows.weeks[number]
    left = {
        name: week.capacity.get(name, 0) - plan.used(number, name)
        for name in bounded(rows)
        if totals.get(name)
    }
    short = [name for name, there in left.items() if there < min(totals[name], _first(name))]
    if not short:
        return say(
            "The {week} can't hold it beside the cars that go before it.", week=week_of(week)
        )
    scarce = [amount_of(name, max(left[name], 0)) for name in sorted(short)]
    return say("The {week} has {left} left.", week=week_of(week), left=listed(scarce))


def _first(name: str) -> int:
    """Return how much a car has to find in its first week: one day in a bay, some hours."""
    return 1 if name in HELD else FIRST_MINUTES
