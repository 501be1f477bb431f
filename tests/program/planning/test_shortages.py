from __future__ import annotations

from dataclasses import replace
from typing import Any

import pytest

from program.planning.canonical import canonical
from program.planning.explain import why_not
from program.planning.problem import PartNeed, Supply
from program.planning.selection import select
from program.planning.shortages import Short, lacks_at_once, short_of
from shared.say import say
from tests.program.planning.garages import two_cars
from tests.program.planning.programs import program, seeds, week


@pytest.mark.parametrize("seed", seeds(4, 40))
def test_what_is_short_at_once_is_never_more_than_what_is_really_lacking(seed: int) -> None:
    plan_input = program(seed, cases=8, quirks=False)
    plan = select(plan_input)
    for lack in lacks_at_once(plan_input, plan):
        addition = why_not(plan_input, plan, lack.case_id).addition
        if addition is not None:
            assert lack.cents <= addition.cents
            assert set(lack.short.need_ids) <= set(addition.need_ids)
            for name, amount in lack.short.resources.items():
                assert amount <= addition.total(name)


def test_a_case_that_is_short_of_nothing_by_the_sums_is_told_so() -> None:
    rows = two_cars(weeks=(week(0, minutes=100), week(1, minutes=30)), items=two_cars().items[:1])
    plan = select(replace(rows, pinned_out=frozenset("b")))
    (lack,) = lacks_at_once(rows, plan)
    assert str(lack.lacks) == (
        "lacks nothing by the sums; its weeks, parts or bills don't come together"
    )
    assert short_of(rows, ["a"], "b").cents == 0


def test_a_held_case_is_told_what_holds_it_and_nothing_else() -> None:
    held = replace(two_cars().cases[1], hold=say("waits for consent"))
    rows = two_cars(cases=(two_cars().cases[0], held))
    (lack,) = lacks_at_once(rows, select(rows))
    assert (str(lack.lacks), lack.held, lack.exact) == ("waits for consent", True, True)


def test_a_part_that_neither_a_purchase_nor_a_supply_brings_in_these_weeks_is_lacking() -> None:
    supplies = (Supply(id="none", quantity=0), Supply(id="late", week=2), Supply(id="s"))

    def lacks(**fields: Any) -> tuple[str, ...]:
        item = replace(two_cars().items[1], parts=(PartNeed(id="n", **fields),))
        rows = two_cars(items=(two_cars().items[0], item), supplies=supplies)
        return short_of(rows, ["a"], "b").need_ids

    assert [lacks(), lacks(price_cents=1, buy_week=2), lacks(supply_ids=("none", "late"))] == [
        ("n",),
        ("n",),
        ("n",),
    ]
    assert [lacks(price_cents=1), lacks(supply_ids=("late", "s"))] == [(), ()]


def test_what_a_case_lacks_is_added_up_beside_what_the_kept_ones_take() -> None:
    rows = canonical(two_cars(weeks=(week(0, minutes=100),)))
    (lack,) = lacks_at_once(rows, select(replace(rows, pinned_out=frozenset("b"))))
    spendable = rows.funds[0].spendable_cents(rows.reserve_percent)
    assert lack.short == Short(cents=300_00 - spendable, resources={"minutes": 30})
    assert (lack.cents, str(lack.lacks)) == (
        140_00,
        "lacks $140.00 and 0:30 hours of shop time at the least",
    )
