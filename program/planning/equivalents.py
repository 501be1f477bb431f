"""The money that would do the same as a part that is given.

>>> from datetime import date
>>> from program.planning.asking import ask_first
>>> from program.planning.problem import Case, Fund, Item, PartNeed, PlanInput, Week
>>> from program.planning.selection import select
>>> radiator = PartNeed(id="n1", label="radiator", price_cents=300_00)
>>> given = PlanInput(
...     weeks=(Week(starts_on=date(2026, 11, 30), capacity={}),),
...     cases=(Case(id="26-043", need_weight=8),),
...     items=(Item(id="a", case_id="26-043", tier=1, parts=(radiator,)),),
...     funds=(Fund(id="general", label="general fund", available_cents=205_00),),
... )
>>> plan = select(given)
>>> (ask,) = ask_first(given, plan)
>>> str(same_in_cash(given, plan, ask).sentence)
'The same as $140.00 in the general fund.'
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import partial
from typing import TYPE_CHECKING

from program.planning.canonical import canonical
from program.planning.choosing import GAIN_EFFORT, narrowed, start_of
from program.planning.hints import hint_of
from program.planning.joining import ENDLESS, cents_into, least_of, pay_with
from program.planning.problem import Fund, by_id
from program.planning.solver import BIG_CENTS
from program.planning.telling import same_as
from program.planning.trying import Change, ChangeKind, apply, open_fund

if TYPE_CHECKING:
    from ortools.sat.python import cp_model

    from program.planning.asking import Ask
    from program.planning.choosing import Start
    from program.planning.plan import Plan
    from program.planning.problem import PlanInput
    from program.planning.solver import Model
    from shared.say import Say


@dataclass(frozen=True, kw_only=True)
class Cash:
    """The least cents, put into one fund, that gain as much as a gift; None when no money does.

    `exact`: less in that fund was proven not to, or that no money does.
    """

    fund_id: str = ""
    cents: int | None = None
    exact: bool = True
    sentence: Say


def same_in_cash(
    plan_input: PlanInput, plan: Plan, ask: Ask, *, effort: float = GAIN_EFFORT
) -> Cash:
    """Return the least money that gains as much need as a part, in the fund where it is least.

    Asked are the fund that may pay anything and every fund that may pay for the part.
    """
    rows = canonical(plan_input)
    item = next(i for i in rows.items if any(part.id == ask.need_id for part in i.parts))
    first = open_fund(rows)
    payers = [first, *(f for f in rows.funds if f.id != first.id and f.may_pay(item.id))]
    found = [(fund, *_least(rows, plan, fund, ask.gain, effort)) for fund in payers]
    enough = [(cents, fund.id, fund, exact) for fund, cents, exact in found if cents is not None]
    if not enough:
        proven = all(exact for _, _, exact in found)
        return Cash(exact=proven, sentence=same_as(None, "", proven=proven))
    cents, _, fund, exact = min(enough, key=lambda row: row[:2])
    sentence = same_as(cents, fund.label, proven=exact)
    return Cash(fund_id=fund.id, cents=cents, exact=exact, sentence=sentence)


def _least(
    rows: PlanInput, plan: Plan, fund: Fund, gain: int, effort: float
) -> tuple[int | None, bool]:
    """Return the least cents for one fund, and whether that is proven."""
    known = by_id(rows.funds)
    name = fund.id if fund.id in known else ""
    rich = apply(rows, [Change(kind=ChangeKind.MONEY, what=name, amount=BIG_CENTS)])
    start, least = start_of(rows, plan, hint_of(rich)), plan.value + gain
    if start.prices.bound < least:
        return None, True
    answer = least_of(partial(_money_model, start, least, fund), effort)
    if answer.value is None:
        return None, answer.status == "infeasible"
    return cents_into(fund, answer.value, rows.reserve_percent), answer.proven


def _money_model(
    start: Start, least: int, fund: Fund, *, merged: bool
) -> tuple[Model, cp_model.IntVar]:
    """Return a model of so much need in which one fund has more to spend, and how much more."""
    rows = start.rows
    endless = Fund(id="endless", label="", available_cents=ENDLESS)
    model = narrowed(start, least, (endless,), merged=merged)
    more = model.cp.new_int_var(0, BIG_CENTS, "more cents")
    funds = rows.funds if fund.id in by_id(rows.funds) else (*rows.funds, fund)
    pay_with(model, funds, {fund.id: more}, rows.reserve_percent)
    return model, more
