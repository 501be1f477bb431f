from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING, Any

import pytest

from program.planning.asking import ask_bounds, ask_exact, ask_first
from program.planning.equivalents import Cash, same_in_cash
from program.planning.problem import Fund, PartNeed
from program.planning.selection import select
from program.planning.trying import Change, ChangeKind, apply
from shared.say import say
from tests.program.planning.garages import two_parts
from tests.program.planning.programs import program, seeds

if TYPE_CHECKING:
    from program.planning.asking import Ask
    from program.planning.plan import Plan
    from program.planning.problem import PlanInput


@pytest.mark.parametrize("seed", seeds(2, 20))
def test_the_cash_gains_as_much_as_the_part_and_one_cent_less_does_not(seed: int) -> None:
    plan_input = program(seed, cases=7, quirks=False)
    plan = select(plan_input)
    for ask in ask_first(plan_input, plan, limit=3):
        cash = same_in_cash(plan_input, plan, ask) if ask.gain else None
        if cash is None or cash.cents is None:
            continue
        gains = [
            select(
                apply(
                    plan_input,
                    [Change(kind=ChangeKind.MONEY, what=cash.fund_id, amount=cents)],
                )
            ).value
            - plan.value
            for cents in (cash.cents, cash.cents - 1)
        ]
        assert gains[0] >= ask.gain > gains[1]
        assert cash.exact


def test_a_part_that_nobody_sells_has_no_price_in_cash() -> None:
    item = two_parts().items[0]
    rows = two_parts(items=(replace(item, parts=item.parts[2:]), two_parts().items[1]))
    plan = select(rows)
    (ask,) = ask_exact(rows, plan, ask_bounds(rows, plan))
    cash = same_in_cash(rows, plan, ask)
    assert (str(cash.sentence), cash.exact) == ("No money alone does it.", True)


def test_the_fund_that_needs_least_is_told() -> None:
    part = PartNeed(id="p", label="tire", price_cents=300_00)
    tires = Fund(
        id="tires",
        label="tires fund",
        available_cents=200_00,
        restricted=True,
        pays=frozenset({"a"}),
    )
    item = replace(two_parts().items[0], parts=(part,))
    general = Fund(id="general", label="general fund", available_cents=0, floor_cents=100_00)
    rows = two_parts(items=(item, two_parts().items[1]), funds=(tires, general))
    plan = select(rows)
    (ask,) = ask_first(rows, plan)
    assert str(same_in_cash(rows, plan, ask).sentence) == ("The same as $145.00 in the tires fund.")


def tire_without_price(**fields: Any) -> tuple[PlanInput, Plan, Ask]:
    """Return a car that lacks the money for one tire, its plan, and what to ask for."""
    part = PartNeed(id="p", label="tire", price_cents=300_00)
    item, other = two_parts().items
    rows = two_parts(items=(replace(item, parts=(part,)), other), **fields)
    plan = select(rows)
    (ask,) = ask_first(rows, plan)
    return rows, plan, ask


def test_a_search_without_effort_tells_that_no_money_was_found() -> None:
    rows, plan, ask = tire_without_price()
    cash = same_in_cash(rows, plan, ask, effort=0.0)
    assert cash == Cash(exact=False, sentence=say("No money alone was found to do it."))


def test_money_goes_into_a_fund_that_is_not_there_yet() -> None:
    rows, plan, ask = tire_without_price(funds=())
    cash = same_in_cash(rows, plan, ask)
    assert (cash.fund_id, cash.cents, cash.exact) == ("money", 345_00, True)
    assert str(cash.sentence) == "The same as $345.00 in the money."
