"""Giving weeks to what was chosen, and extras to what has its weeks."""

from __future__ import annotations

from dataclasses import replace

import pytest

from program.planning import placing
from program.planning.greedy import greedy
from program.planning.placing import Placer
from program.planning.plan import PartSource, PlannedCase
from program.planning.problem import Case, Item, PartNeed, PlanInput, Supply
from program.planning.solving import Attention
from tests.program.planning.programs import seeds, week
from tests.program.planning.rules import Impatient, broken
from tests.program.planning.test_greedy import with_quirks

NOBODY = Attention(None)


def tight() -> tuple[PlanInput, tuple[PlannedCase, ...]]:
    """Return six cars that fill two weeks of 100, and fit in no order of size: 20 are left over.

    One week holds 50 + 30 + 20 and the other 40 + 35 + 25, or none holds all.
    """
    sizes = {"a": 50, "b": 40, "c": 35, "d": 30, "e": 25, "f": 20}
    cases = tuple(
        Case(id=name, need_weight=1, stands={"room": size}, comes=True)
        for name, size in sizes.items()
    )
    chosen = (PlannedCase(case_id=n, start_week=0, home_week=0, item_ids=()) for n in sizes)
    return PlanInput(weeks=(week(0, room=100), week(1, room=100)), cases=cases), tuple(chosen)


@pytest.mark.parametrize("seed", seeds(6, 40))
def test_extras_that_find_room_break_no_rule(seed: int) -> None:
    plan_input = replace(with_quirks(seed), extras_cents=20_000)
    placer = Placer(plan_input, lambda row: float(row.case.need_weight), NOBODY)
    before = greedy(plan_input)
    after = placer.with_extras(before, ())
    assert broken(plan_input, after) == set()
    assert [case.case_id for case in after] == [case.case_id for case in before]
    assert sum(len(case.item_ids) for case in after) >= sum(len(case.item_ids) for case in before)


def test_extras_are_done_where_hours_and_money_are_left() -> None:
    items = (
        Item(id="must", case_id="c", tier=0, minutes=60),
        Item(id="x", case_id="c", tier=2, points=9, minutes=60, prerequisites=("y",)),
        Item(id="y", case_id="c", tier=3, points=1, minutes=30),
        Item(id="z", case_id="c", tier=2, points=30, cash_cents=1),
    )
    plan_input = PlanInput(
        weeks=(week(minutes=150),), cases=(Case(id="c", need_weight=1),), items=items
    )
    placer = Placer(plan_input, lambda _: 1.0, NOBODY)
    assert placer.with_extras(greedy(plan_input), ())[0].item_ids == ("must", "x", "y")


def test_what_fits_one_way_only_is_placed_by_the_solver() -> None:
    plan_input, chosen = tight()
    placed = Placer(plan_input, lambda _: 1.0, NOBODY).all_of(chosen, effort=1)
    assert placed is not None
    assert [case.case_id for case in placed] == list("abcdef")
    assert broken(plan_input, placed) == set()


def test_what_can_not_fit_is_not_placed() -> None:
    plan_input, chosen = tight()
    less = replace(plan_input, weeks=(week(0, room=100), week(1, room=99)))
    assert Placer(less, lambda _: 1.0, NOBODY).all_of(chosen, effort=1) is None


def test_who_stops_the_search_has_nothing_placed_by_the_solver() -> None:
    plan_input, chosen = tight()
    placer = Placer(plan_input, lambda _: 1.0, Attention(Impatient(0)))
    assert placer.all_of(chosen, effort=1) is None


def test_too_many_for_the_solver_are_not_placed(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(placing, "FEW", 5)
    plan_input, chosen = tight()
    assert Placer(plan_input, lambda _: 1.0, NOBODY).all_of(chosen, effort=1) is None


def test_most_of_what_was_chosen_is_placed_and_others_beside_it() -> None:
    plan_input, chosen = tight()
    less = replace(
        plan_input,
        cases=(*plan_input.cases, Case(id="g", need_weight=1, stands={"room": 5}, comes=True)),
    )
    placed = Placer(less, lambda _: 1.0, NOBODY).most_of(chosen)
    assert broken(less, placed) == set()
    assert [case.case_id for case in placed] == list("abcdeg")


def test_a_car_begins_when_its_part_is_there() -> None:
    part = PartNeed(id="p", price_cents=5, buy_week=1, supply_ids=("s",))
    plan_input = PlanInput(
        weeks=(week(0, minutes=60), week(1, minutes=60), week(2, minutes=60)),
        cases=(Case(id="c", need_weight=1),),
        items=(Item(id="i", case_id="c", tier=0, minutes=60, parts=(part,)),),
        supplies=(Supply(id="s", week=2),),
    )

    def begins(source: PartSource) -> int:
        chosen = PlannedCase(
            case_id="c", start_week=0, home_week=0, item_ids=("i",), parts=(source,)
        )
        placed = Placer(plan_input, lambda _: 1.0, NOBODY).all_of((chosen,), effort=1)
        assert placed is not None
        return placed[0].start_week

    assert begins(PartSource(need_id="p", supply_id="s", cents=0)) == 2
    assert begins(PartSource(need_id="p", supply_id="", cents=5)) == 1
