"""The smallest extra that brings a waiting case in, with every chosen case kept.

>>> from datetime import date
>>> from program.planning.problem import Case, PlanInput, Week
>>> week = Week(starts_on=date(2026, 11, 30), capacity={"minutes": 100})
>>> rows = (Case(id="a", need_weight=6, uses={"minutes": 90}),
...         Case(id="b", need_weight=5, uses={"minutes": 40}))
>>> given = PlanInput(weeks=(week,), cases=rows)
>>> bench = Bench(plan_input=given, kept=("a",), case_id="b")
>>> (extra,) = single_extras(bench)
>>> extra.name, extra.amount, dict(extra.weeks), extra.verified
('minutes', 30, {0: 30}, True)
>>> str(extra.sentence)
'0:30 hours of shop time more in the week of November 30 would bring it in.'
"""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum
from functools import partial
from typing import TYPE_CHECKING, Any

from program.planning.demand import bounded, parts_of
from program.planning.joining import Bench, cents_into, least_of, money_model
from program.planning.mixing import less
from program.planning.problem import by_id
from program.planning.shortages import short_of
from program.planning.solver import Relief
from program.planning.solving import lowest, solver
from program.planning.trying import Change, ChangeKind, open_fund
from program.planning.wording import (
    as_noun,
    in_week,
    kind_of,
    listed,
    no_amount,
    no_other,
    no_part,
    would_do,
)
from shared.money import usd
from shared.say import say

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping

    from ortools.sat.python import cp_model

    from program.planning.problem import Fund, Item, PartNeed
    from program.planning.shortages import Short
    from program.planning.solver import Model
    from shared.say import Say


class ExtraKind(StrEnum):
    """What an extra is made of."""

    MONEY = "money"
    RESOURCE = "resource"
    PART = "part"


@dataclass(frozen=True, kw_only=True)
class Extra:
    """The least of one thing that alone brings a case in, with every chosen case kept.

    `name` is the fund, the resource or the need; `amount` is in cents, minutes, days or units, and
    None when no amount alone is enough. `weeks` tells which week needs how much of a resource.
    `changes` are the same, to be tried. `verified`: solved again with it and with one unit less;
    where no amount is enough, that was proven.
    """

    kind: ExtraKind
    name: str
    amount: int | None
    weeks: Mapping[int, int] = field(default_factory=dict)
    verified: bool
    changes: tuple[Change, ...] = ()
    sentence: Say


def single_extras(bench: Bench) -> tuple[Extra, ...]:
    """Return the extra of each single thing that the case takes: money, resources, parts.

    Money is asked of the fund that may pay anything and of each fund that may pay one of its items.
    """
    short = short_of(bench.plan_input, bench.kept, bench.case_id)
    return (
        *(_money(bench, fund, short) for fund in _payers(bench)),
        *(_resource(bench, name, short) for name in _taken(bench)),
        *_parts(bench, short),
    )


def told(extras: Iterable[Extra]) -> tuple[Say, ...]:
    """Return each extra that is enough as a sentence, and one of all others that are not."""
    rows = tuple(extras)
    enough = tuple(row.sentence for row in rows if row.amount is not None)
    others = [row for row in rows if row.amount is None]
    if not others:
        return enough
    return (*enough, no_other(among=bool(enough), proven=all(row.verified for row in others)))


def _payers(bench: Bench) -> list[Fund]:
    rows = bench.plan_input
    costly = [item.id for item in bench.row.must if _costs(item)]
    first = open_fund(rows)
    others = [f for f in rows.funds if f.pays is not None or f.restricted]
    return (
        [first, *(f for f in others if any(f.may_pay(name) for name in costly))] if costly else []
    )


def _costs(item: Item) -> bool:
    return bool(item.cash_cents or any(part.price_cents for part in item.parts))


def _taken(bench: Bench) -> list[str]:
    """Return the resources that the case takes, standing included."""
    must = {item.id for item in bench.row.must}
    totals = bench.row.totals(must, bench.plan_input.bay_day_minutes)
    taken = {name for name, amount in totals.items() if amount}
    return [name for name in bounded(bench.plan_input) if name in taken | {*bench.row.case.stands}]


def _money(bench: Bench, fund: Fund, short: Short) -> Extra:
    """Return the least to be given to one fund, what is kept back for supplements included."""
    thing = say("money in the {fund}", fund=fund.label)
    if short.resources or short.need_ids:
        return _never(ExtraKind.MONEY, fund.id, no_amount(thing, proven=True))
    answer = least_of(partial(money_model, bench, fund.id), bench.effort)
    if answer.value is None:
        refused = answer.status == "infeasible"
        return _never(ExtraKind.MONEY, fund.id, no_amount(thing, proven=refused), proven=refused)
    cents = cents_into(fund, answer.value, bench.plan_input.reserve_percent)
    change = Change(kind=ChangeKind.MONEY, what=_name(bench, fund), amount=cents)
    verified = bool(bench.holds([change])) and bench.holds([less(change)]) is False
    given = say("{cents} more in the {fund}", cents=usd(cents), fund=fund.label)
    return Extra(
        kind=ExtraKind.MONEY,
        name=fund.id,
        amount=cents,
        verified=verified,
        changes=(change,),
        sentence=would_do(given, least=verified),
    )


def _never(kind: ExtraKind, name: str, sentence: Say, *, proven: bool = True) -> Extra:
    return Extra(kind=kind, name=name, amount=None, verified=proven, sentence=sentence)


def _name(bench: Bench, fund: Fund) -> str:
    """Return the fund's id, or nothing for one that the input doesn't have."""
    return fund.id if fund.id in by_id(bench.plan_input.funds) else ""


def _resource(bench: Bench, name: str, short: Short) -> Extra:
    """Return the least of one resource over all weeks, in as few weeks as that goes."""
    thing = kind_of(name)
    if short.cents or short.need_ids or any(key != name for key in short.resources):
        return _never(ExtraKind.RESOURCE, name, no_amount(thing, proven=True))
    model, amounts = _more_model(bench, name)
    run = solver(bench.effort)
    touched = [_touched(model, amount) for amount in amounts]
    answer = lowest(model, (len(amounts) + 1) * sum(amounts) + sum(touched), run)
    if answer.value is None:
        refused = answer.status == "infeasible"
        return _never(ExtraKind.RESOURCE, name, no_amount(thing, proven=refused), proven=refused)
    found = {week: run.value(amount) for week, amount in enumerate(amounts)}
    return _found(bench, name, {week: amount for week, amount in found.items() if amount})


def _found(bench: Bench, name: str, by_week: Mapping[int, int]) -> Extra:
    changes = tuple(
        Change(kind=ChangeKind.TIME, what=name, amount=amount, week=week)
        for week, amount in sorted(by_week.items())
    )
    verified = bool(bench.holds(changes)) and _too_few(bench, name, sum(by_week.values()) - 1)
    weeks = bench.plan_input.weeks
    given = listed([in_week(name, amount, weeks[week]) for week, amount in sorted(by_week.items())])
    return Extra(
        kind=ExtraKind.RESOURCE,
        name=name,
        amount=sum(by_week.values()),
        weeks=by_week,
        verified=verified,
        changes=changes,
        sentence=would_do(given, least=verified),
    )


def _too_few(bench: Bench, name: str, amount: int) -> bool:
    """Return whether so much more of a resource was proven not to be enough."""
    merged = bench.merged(Relief(resources=frozenset({name})))
    merged.cp.add(merged.more[0, name] <= amount)
    if bench.solvable(merged) is False:
        return True
    model, amounts = _more_model(bench, name)
    model.cp.add(sum(amounts) <= amount)
    return bench.solvable(model) is False


def _more_model(bench: Bench, name: str) -> tuple[Model, list[cp_model.IntVar]]:
    """Return a model with more of one resource, and how much more in each week."""
    model = bench.model(bench.plan_input, Relief(resources=frozenset({name})))
    return model, [model.more[week, name] for week in model.weeks]


def _touched(model: Model, amount: Any) -> cp_model.IntVar:
    touched = model.cp.new_bool_var("touched")
    model.cp.add(amount == 0).only_enforce_if(~touched)
    return touched


def _parts(bench: Bench, short: Short) -> tuple[Extra, ...]:
    """Return each part of which one gift is enough; else one row that says that none is."""
    found, proven = [], True
    parts = parts_of(bench.row.must)
    for part in parts.values():
        helps = 0 if part.supply_ids else part.price_cents or 0
        if short.resources or {*short.need_ids} - {part.id} or short.cents > helps:
            continue
        change = Change(kind=ChangeKind.PART, what=part.id, amount=1)
        holds = bench.holds([change])
        proven = proven and holds is not None
        if holds:
            found.append(_given(part, change))
    if found or not parts:
        return tuple(found)
    return (_never(ExtraKind.PART, "", no_part(proven=proven), proven=proven),)


def _given(part: PartNeed, change: Change) -> Extra:
    label = part.label or part.id
    return Extra(
        kind=ExtraKind.PART,
        name=part.id,
        amount=1,
        verified=True,
        changes=(change,),
        sentence=would_do(say("One given {part}", part=as_noun(label)), least=True),
    )
