"""The least of each single thing, tried again: with it, and with one unit less of it."""

from __future__ import annotations

from dataclasses import replace

import pytest

from program.planning.canonical import canonical
from program.planning.explain import why_not
from program.planning.joining import Bench, cents_into
from program.planning.problem import Case, Fund, Item, PartNeed, PlanInput
from program.planning.relief import Extra, ExtraKind, single_extras
from program.planning.selection import select
from program.planning.shortages import lacks_at_once, short_of
from program.planning.trying import Change, apply
from shared.say import say
from tests.program.planning.programs import program, seeds, week


def goes_home(plan_input: PlanInput, changes: tuple[Change, ...], wanted: frozenset[str]) -> bool:
    """Return whether a plan of the changed input, asked to, takes all the wanted cases."""
    after = select(replace(apply(plan_input, changes), pinned_in=wanted), effort=1.0)
    return wanted <= set(after.case_ids)


def one_less(extra: Extra) -> tuple[Change, ...]:
    """Return an extra's changes with one unit less in its last week."""
    *rest, last = extra.changes
    fewer = replace(last, amount=last.amount - 1)
    return (*rest, *([fewer] if fewer.amount else []))


@pytest.mark.parametrize("seed", seeds(3, 20))
def test_each_extra_brings_its_case_in_and_one_unit_less_does_not(seed: int) -> None:
    plan_input = program(seed, cases=8, quirks=False)
    plan = select(plan_input)
    for case in plan_input.cases:
        if plan.case(case.id):
            continue
        wanted = frozenset((*plan.case_ids, case.id))
        for extra in why_not(plan_input, plan, case.id).extras:
            assert extra.verified
            if extra.amount is not None:
                assert goes_home(plan_input, extra.changes, wanted)
                assert not goes_home(plan_input, one_less(extra), wanted)


@pytest.mark.parametrize("seed", seeds(2, 12))
def test_where_no_amount_is_enough_a_great_deal_of_it_is_not(seed: int) -> None:
    plan_input = program(seed, cases=8, quirks=False)
    plan = select(plan_input)
    weeks = range(len(plan_input.weeks))
    for case in plan_input.cases:
        if plan.case(case.id):
            continue
        wanted = frozenset((*plan.case_ids, case.id))
        for extra in why_not(plan_input, plan, case.id).extras:
            if extra.amount is not None or extra.kind == ExtraKind.PART:
                continue
            kind = "money" if extra.kind == ExtraKind.MONEY else "time"
            rows = [{"kind": kind, "what": extra.name, "amount": 10**7, "week": n} for n in weeks]
            much = tuple(Change.from_json(row) for row in rows)
            assert not goes_home(plan_input, much, wanted)


@pytest.mark.parametrize("seed", seeds(3, 20))
def test_the_mix_is_enough_and_not_with_one_unit_less_of_anything(seed: int) -> None:
    plan_input = program(seed, cases=8, quirks=False)
    plan = select(plan_input)
    for lack in lacks_at_once(plan_input, plan):
        why = why_not(plan_input, plan, lack.case_id)
        assert why.verified
        wanted = frozenset((*plan.case_ids, lack.case_id))
        for n, change in enumerate(why.changes):
            fewer = replace(change, amount=change.amount - 1)
            rest = (*why.changes[:n], *([fewer] if fewer.amount else []), *why.changes[n + 1 :])
            assert not goes_home(plan_input, rest, wanted)


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


def two_cars(**fields: object) -> PlanInput:
    """Return one car that goes home and one that lacks a radiator's price or an hour."""
    radiator = PartNeed(id="n", label="Radiator", price_cents=300_00)
    rows = PlanInput(
        weeks=(week(0, minutes=100), week(1, minutes=40)),
        cases=(Case(id="a", need_weight=9), Case(id="b", need_weight=5)),
        items=(
            Item(id="i", case_id="a", tier=0, minutes=90),
            Item(id="j", case_id="b", tier=0, minutes=40, parts=(radiator,)),
        ),
        funds=(
            Fund(id="general", label="general fund", available_cents=205_00),
            Fund(
                id="tires",
                label="tires fund",
                available_cents=0,
                restricted=True,
                pays=frozenset({"i"}),
            ),
        ),
    )
    return replace(rows, **fields)  # type: ignore[arg-type]


def extras_of(rows: PlanInput) -> dict[str, Extra]:
    bench = Bench(plan_input=canonical(rows), kept=("a",), case_id="b")
    return {extra.name: extra for extra in single_extras(bench)}


def test_money_names_the_fund_and_a_given_part_does_as_well() -> None:
    extras = extras_of(two_cars())
    assert [str(extra.sentence) for extra in extras.values()] == [
        "$140.00 more in the general fund would bring it in.",
        "No amount of shop time alone would bring it in.",
        "One given radiator would bring it in.",
    ]


def test_a_fund_that_may_pay_none_of_its_items_is_not_asked() -> None:
    assert "tires" not in extras_of(two_cars())


def test_hours_are_asked_for_in_as_few_weeks_as_will_do() -> None:
    rows = two_cars(weeks=(week(0, minutes=100), week(1, minutes=20)))
    rich = replace(rows, funds=(replace(rows.funds[0], available_cents=900_00),))
    extra = extras_of(rich)["minutes"]
    assert (extra.amount, dict(extra.weeks), extra.verified) == (10, {1: 10}, True)
    assert str(extra.sentence) == (
        "0:10 hours of shop time more in the week of December 7 would bring it in."
    )


def test_money_fills_what_is_to_be_kept_back_before_it_can_be_spent() -> None:
    fund = Fund(id="g", label="g", available_cents=100_00, floor_cents=150_00)
    assert cents_into(fund, 100_00, 15) == 50_00 + 115_00
    assert cents_into(fund, 0, 15) == 0


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
