from __future__ import annotations

from dataclasses import replace

import pytest

from program.planning.asking import ask_bounds, ask_exact, ask_first
from program.planning.problem import Case, Fund, Item, PartNeed, PlanInput
from program.planning.selection import select
from program.planning.solving import Deadline
from program.planning.trying import Change, ChangeKind, apply
from tests.program.planning.programs import program, seeds, week


def with_gift(plan_input: PlanInput, kind: str) -> PlanInput:
    """Return the input with one unit of a kind of part on the shelf, when gifts come."""
    return apply(plan_input, [Change(kind=ChangeKind.PART, what=kind, amount=1)])


@pytest.mark.parametrize("seed", seeds(3, 20))
def test_a_part_that_is_given_frees_exactly_the_need_it_was_asked_for(seed: int) -> None:
    plan_input = program(seed, cases=8, quirks=False)
    plan = select(plan_input)
    for ask in ask_first(plan_input, plan):
        after = select(with_gift(plan_input, ask.kind))
        assert (ask.kind, after.value) == (ask.kind, plan.value + ask.gain)


@pytest.mark.parametrize("seed", seeds(3, 30))
def test_every_gain_is_what_solving_again_with_the_part_gives(seed: int) -> None:
    out = frozenset(f"c{n:03}" for n in range(seed % 3))
    plan_input = replace(program(seed, cases=7, quirks=seed % 2 == 0), pinned_out=out)
    plan = select(plan_input)
    bounds = ask_bounds(plan_input, plan)
    rows = ask_exact(plan_input, plan, bounds, limit=99)
    assert all(ask.exact for ask in rows)
    gains, highest = {ask.kind: ask.gain for ask in rows}, {a.kind: a.bound for a in bounds}
    kinds = {part.gift_kind for item in plan_input.items for part in item.parts}
    for kind in sorted(kinds):
        gain = select(with_gift(plan_input, kind)).value - plan.value
        assert (kind, gain) == (kind, gains.get(kind, 0))
        assert gain <= highest.get(kind, 0)


@pytest.mark.parametrize("seed", seeds(2, 10))
def test_the_first_rows_are_the_best_of_all_rows(seed: int) -> None:
    plan_input = program(seed, cases=10, quirks=False)
    plan = select(plan_input)
    bounds = ask_bounds(plan_input, plan)
    every = ask_exact(plan_input, plan, bounds, limit=99)
    some = ask_exact(plan_input, plan, bounds, limit=3)
    assert [ask.gain for ask in some[:3]] == [ask.gain for ask in every[:3]]


def test_bounds_are_told_at_once_and_stay_when_nobody_waits_for_more() -> None:
    plan_input = program(0, cases=8, quirks=False)
    plan = select(plan_input)
    bounds = ask_bounds(plan_input, plan)
    assert [ask.bound for ask in bounds] == sorted((ask.bound for ask in bounds), reverse=True)
    assert ask_exact(plan_input, plan, bounds, watch=Deadline(0)) == bounds
    assert str(bounds[0].sentence).endswith(" points more of need at most.")


def two_cars_and_one_alternator() -> PlanInput:
    """Return two cars: the money pays either the alternator of one or the pump of the other."""
    alternator = PartNeed(id="n1", label="alternator", price_cents=200_00)
    pump = PartNeed(id="n2", label="water pump", price_cents=180_00)
    return PlanInput(
        weeks=(week(minutes=1_000),),
        cases=(Case(id="26-050", need_weight=7), Case(id="26-051", need_weight=6)),
        items=(
            Item(id="a", case_id="26-050", tier=1, cash_cents=70_00, parts=(alternator,)),
            Item(id="b", case_id="26-051", tier=1, parts=(pump,)),
        ),
        funds=(Fund(id="general", label="General", available_cents=299_00),),
    )


def test_one_part_frees_two_cars_by_the_money_it_saves() -> None:
    plan_input = two_cars_and_one_alternator()
    poorer = replace(plan_input, pinned_out=frozenset())
    plan = select(replace(poorer, funds=(replace(plan_input.funds[0], available_cents=290_00),)))
    assert plan.case_ids == ("26-051",)
    asks = ask_first(
        replace(poorer, funds=(replace(plan_input.funds[0], available_cents=290_00),)), plan
    )
    assert str(asks[0].sentence) == "One alternator would free 26-050: 7 points more of need."
    nothing = replace(poorer, funds=(replace(plan_input.funds[0], available_cents=90_00),))
    assert select(nothing).case_ids == ()


def test_one_part_frees_two_cars_at_once() -> None:
    """The chosen car's engine mount eats the money that two other cars lack."""
    mount = PartNeed(id="n1", label="engine mount", price_cents=200_00)
    plan_input = PlanInput(
        weeks=(week(),),
        cases=tuple(Case(id=f"26-05{n}", need_weight=weight) for n, weight in enumerate((9, 4, 4))),
        items=(
            Item(id="a", case_id="26-050", tier=1, parts=(mount,)),
            Item(id="b", case_id="26-051", tier=1, cash_cents=100_00),
            Item(id="c", case_id="26-052", tier=1, cash_cents=100_00),
        ),
        funds=(Fund(id="general", label="General", available_cents=230_00),),
    )
    plan = select(plan_input)
    (ask,) = ask_first(plan_input, plan)
    assert (plan.case_ids, ask.freed, ask.gain) == (("26-050",), ("26-051", "26-052"), 8)
    assert (ask.displaced, ask.cents_saved) == ((), 200_00)
    assert str(ask.sentence) == (
        "One engine mount would free 26-051 and 26-052: 8 points more of need."
    )


def test_one_unit_of_a_kind_frees_one_of_two_cars_that_lack_it() -> None:
    parts = [PartNeed(id=f"n{n}", label="radiator", kind="radiator") for n in range(2)]
    plan_input = PlanInput(
        weeks=(week(),),
        cases=(Case(id="a", need_weight=3), Case(id="b", need_weight=5)),
        items=tuple(
            Item(id=f"i{name}", case_id=name, tier=0, parts=(part,))
            for name, part in zip("ab", parts, strict=True)
        ),
    )
    (ask,) = ask_first(plan_input, select(plan_input))
    assert (ask.kind, ask.need_id, ask.freed, ask.gain) == ("radiator", "n1", ("b",), 5)


def test_a_part_that_frees_nothing_is_listed_with_what_it_saves() -> None:
    plan_input = two_cars_and_one_alternator()
    rich = replace(plan_input, funds=(replace(plan_input.funds[0], available_cents=900_00),))
    asks = ask_first(rich, select(rich))
    assert [str(ask.sentence) for ask in asks] == [
        "One alternator would save $200.00.",
        "One water pump would save $180.00.",
    ]


def test_a_case_pinned_out_is_not_asked_for() -> None:
    plan_input = replace(two_cars_and_one_alternator(), pinned_out=frozenset({"26-050", "26-051"}))
    assert ask_first(plan_input, select(plan_input)) == []


def test_what_is_cheaper_to_buy_than_to_ask_for_is_left_out() -> None:
    plan_input = two_cars_and_one_alternator()
    rich = replace(plan_input, funds=(replace(plan_input.funds[0], available_cents=900_00),))
    asks = ask_first(rich, select(rich), ask_floor_cents=190_00)
    assert [ask.need_id for ask in asks] == ["n1"]
