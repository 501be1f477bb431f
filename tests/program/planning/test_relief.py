"""The least of each single thing, tried again: with it, and with one unit less of it."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from program.planning.canonical import canonical
from program.planning.explain import why_not
from program.planning.joining import Bench
from program.planning.mixing import Mix, cheapest_mix
from program.planning.plan import Addition
from program.planning.problem import PartNeed, Supply
from program.planning.relief import Extra, ExtraKind, single_extras
from program.planning.selection import select
from program.planning.shortages import lacks_at_once
from program.planning.trying import Change, ChangeKind, apply
from tests.program.planning.garages import two_cars
from tests.program.planning.programs import program, seeds, week

if TYPE_CHECKING:
    from program.planning.problem import PlanInput


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


def test_a_search_without_effort_says_that_nothing_was_found() -> None:
    bench = Bench(plan_input=canonical(two_cars()), kept=("a",), case_id="b", effort=0.0)
    money, minutes, part = single_extras(bench)
    assert [str(extra.sentence) for extra in (money, part)] == [
        "No amount of money in the general fund alone was found to bring it in.",
        "No single part given was found to bring it in.",
    ]
    assert (money.verified, minutes.verified, part.verified) == (False, True, False)
    assert cheapest_mix(bench) == Mix(addition=None, verified=False)


def test_hours_that_were_not_found_in_time_are_not_called_impossible() -> None:
    rich = (replace(two_cars().funds[0], available_cents=900_00),)
    rows = canonical(two_cars(funds=rich, weeks=(week(0, minutes=100), week(1, minutes=20))))
    extras = single_extras(Bench(plan_input=rows, kept=("a",), case_id="b", effort=0.0))
    (minutes,) = [extra for extra in extras if extra.name == "minutes"]
    assert (minutes.amount, minutes.verified, str(minutes.sentence)) == (
        None,
        False,
        "No amount of shop time alone was found to bring it in.",
    )


def test_the_mix_asks_for_no_part_that_only_a_kept_car_needs() -> None:
    first, second = two_cars().items
    served = PartNeed(id="m", kind="radiator", supply_ids=("s",))
    items = (
        replace(first, parts=(served,)),
        replace(second, parts=(PartNeed(id="n", kind="radiator"),)),
    )
    rows = canonical(two_cars(items=items, supplies=(Supply(id="s"),)))
    mix = cheapest_mix(Bench(plan_input=rows, kept=("a",), case_id="b"))
    assert mix == Mix(
        addition=Addition(resources={}, need_ids=("n",)),
        verified=True,
        changes=(Change(kind=ChangeKind.PART, what="n", amount=1),),
    )
