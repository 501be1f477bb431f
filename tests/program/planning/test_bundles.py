from __future__ import annotations

from dataclasses import replace

import pytest

from program.planning.asking import ask_first
from program.planning.bundles import HelpKind, ask_bundles, ask_hours
from program.planning.problem import PartNeed
from program.planning.selection import select
from program.planning.solving import Deadline
from program.planning.trying import Change, ChangeKind, apply
from tests.program.planning.garages import two_parts
from tests.program.planning.programs import program, seeds


@pytest.mark.parametrize("seed", seeds(2, 20))
def test_a_bundle_gains_what_solving_again_with_its_parts_gives(seed: int) -> None:
    plan_input = program(seed, cases=8, quirks=False)
    plan = select(plan_input)
    for bundle in ask_bundles(plan_input, plan):
        after = select(apply(plan_input, bundle.changes))
        assert (after.value - plan.value, bundle.exact) == (bundle.gain, True)
        assert bundle.case_id in bundle.freed


@pytest.mark.parametrize("seed", seeds(2, 20))
def test_hours_gain_what_their_best_week_gives(seed: int) -> None:
    plan_input = program(seed, cases=8, quirks=False)
    plan = select(plan_input)
    found = {row.kind: row.gain for row in ask_hours(plan_input, plan)}
    for kind, name, amount in [
        (HelpKind.EVENING, "minutes", 180),
        (HelpKind.BAY_DAY, "bay_days", 1),
    ]:
        tried = [
            Change(kind=ChangeKind.TIME, what=name, amount=amount, week=number)
            for number in range(len(plan_input.weeks))
        ]
        gains = [select(apply(plan_input, [change])).value - plan.value for change in tried]
        assert found.get(kind, 0) == max(gains)


def test_three_parts_of_one_car_are_asked_for_together() -> None:
    rows = two_parts()
    (bundle,) = ask_bundles(rows, select(rows))
    assert str(bundle.sentence) == (
        "One water pump, one tire and one tire together would free 26-050: 7 points more of need."
    )
    assert [change.what for change in bundle.changes] == ["p", "t0", "t1"]


def test_a_set_of_one_kind_is_enough_when_the_rest_can_be_bought() -> None:
    pump = PartNeed(id="p", label="Water pump", price_cents=0)
    (item, other) = two_parts().items
    rows = two_parts(items=(replace(item, parts=(*item.parts[:2], pump)), other))
    (bundle,) = ask_bundles(rows, select(rows))
    assert bundle.need_ids == ("t0", "t1")


def test_cars_that_a_single_part_frees_are_left_out() -> None:
    rows = two_parts()
    assert ask_bundles(rows, select(rows), freed=["26-050"]) == ()


def test_no_bundle_is_told_when_nobody_waits_for_it() -> None:
    rows = two_parts()
    assert ask_bundles(rows, select(rows), watch=Deadline(0)) == ()
    assert ask_hours(rows, select(rows), watch=Deadline(0)) == ()


def test_an_evening_that_frees_more_than_any_part_says_so() -> None:
    rows = two_parts()
    plan = select(rows)
    best = max((ask.gain for ask in ask_first(rows, plan)), default=0)
    help_, *rest = ask_hours(rows, plan, part_gain=best)
    assert str(help_.sentence) == (
        "An evening in the week of November 30 would free more than any part: "
        "26-051, 4 points more of need."
    )
    assert [(row.kind, row.gain) for row in rest] == [(HelpKind.LIFT_EVENING, 4)]
    (same, _) = ask_hours(rows, plan, part_gain=4)
    assert str(same.sentence) == (
        "An evening in the week of November 30 would free 26-051: 4 points more of need."
    )
