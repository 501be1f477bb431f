"""The best choice near a plan, beside the plan of the whole search."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

import pytest

from program.planning.canonical import canonical
from program.planning.choosing import Choice, Start, choose, choose_after, surely, taking
from program.planning.hints import hint_of
from program.planning.selection import select
from program.planning.trying import Change, ChangeKind, apply
from tests.program.planning.garages import garage
from tests.program.planning.programs import floor, program, seeds, week

if TYPE_CHECKING:
    from program.planning.problem import PlanInput

IN, OUT = ChangeKind.IN, ChangeKind.OUT


def made(seed: int) -> PlanInput:
    return canonical(floor(seed, program(seed, cases=9, quirks=False)))


@pytest.mark.parametrize("seed", seeds(3, 20))
def test_no_plan_that_takes_a_case_passes_what_the_prices_say_of_it(seed: int) -> None:
    rows = made(seed)
    for case in rows.cases:
        pinned = replace(rows, pinned_in=frozenset({case.id}))
        best = select(pinned)
        if best.case(case.id):
            assert best.value <= taking(hint_of(pinned), [case.id]).bound


@pytest.mark.parametrize("seed", seeds(3, 20))
def test_a_choice_reaches_what_the_whole_search_reaches(seed: int) -> None:
    rows = made(seed)
    plan = select(rows)
    for case in rows.cases:
        pinned = replace(rows, pinned_in=frozenset({case.id}))
        best = select(pinned)
        start = Start(rows=pinned, plan=plan, prices=taking(hint_of(pinned), [case.id]))
        found = choose(start, 0)
        reached = best.value if best.case(case.id) else None
        assert (case.id, found.value) == (case.id, reached)
        assert reached is None or found.bound == reached


@pytest.mark.parametrize("seed", seeds(2, 12))
def test_a_choice_after_a_change_is_that_of_the_changed_input(seed: int) -> None:
    rows = made(seed)
    plan, money = select(rows), min(fund.available_cents for fund in rows.funds)
    fund = next(fund.id for fund in rows.funds if fund.available_cents == money)
    tried = [
        [Change(kind=ChangeKind.MONEY, what=fund, amount=-money)],
        [Change(kind=ChangeKind.TIME, amount=-100)],
        *([Change(kind=IN, what=case.id)] for case in rows.cases if not plan.case(case.id)),
        [Change(kind=OUT, what=plan.case_ids[0])],
    ]
    for changes in tried:
        after = apply(rows, changes)
        found = choose_after(after, plan, effort=4.0)
        assert (found.value, found.bound) == (select(after).value, found.value)


def test_as_many_are_kept_as_can_be_of_those_that_have_to_stay_in() -> None:
    rows = canonical(replace(garage(), pinned_in=frozenset({"26-046", "26-047"})))
    found = choose_after(rows, select(rows), effort=2.0)
    assert (found.value, found.bound, found.case_ids) == (5, 5, ("26-047",))


def test_a_greedy_plan_without_the_cases_that_stay_promises_nothing() -> None:
    rows = garage()
    assert (surely(rows, []), surely(rows, ["26-046"])) == (5, 0)


def test_more_than_the_prices_allow_is_refused_without_a_search() -> None:
    rows = canonical(replace(garage(), weeks=(week(minutes=0),)))
    plan, prices = select(rows), hint_of(rows)
    start = Start(rows=rows, plan=plan, prices=prices)
    assert choose(start, prices.bound + 1) == Choice(bound=prices.bound)
