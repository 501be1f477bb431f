"""What has to stay in and doesn't fit: tried again with each of the others let go."""

from __future__ import annotations

from dataclasses import replace

import pytest

from program.planning.canonical import canonical
from program.planning.conflicts import Conflict, conflicts
from program.planning.problem import Case, Fund, Item, PlanInput
from program.planning.selection import select
from shared.say import say
from tests.program.planning.programs import program, seeds, week


def cars(**uses: int) -> PlanInput:
    """Return cars that take so many minutes each of the 100 of one week, all pinned in."""
    cases = tuple(
        Case(id=name, need_weight=5, uses={"minutes": minutes}) for name, minutes in uses.items()
    )
    return PlanInput(weeks=(week(minutes=100),), cases=cases, pinned_in=frozenset(uses))


def only_one(rows: PlanInput) -> Conflict:
    (conflict,) = conflicts(rows, select(rows))
    return conflict


def texts(conflict: Conflict) -> list[str]:
    return [str(sentence) for sentence in conflict.sentences]


def test_pins_that_can_be_obeyed_are_no_conflict() -> None:
    rows = cars(a=40, b=60)
    assert conflicts(rows, select(rows)) == ()


def test_a_pin_for_which_the_money_is_not_there_says_how_much_it_lacks() -> None:
    rows = PlanInput(
        weeks=(week(minutes=600),),
        cases=(Case(id="26-046", need_weight=6),),
        items=(Item(id="i", case_id="26-046", tier=0, cash_cents=300_00),),
        funds=(Fund(id="g", label="general fund", available_cents=205_00),),
        pinned_in=frozenset({"26-046"}),
    )
    conflict = only_one(rows)
    assert (conflict.beside, conflict.pins) == ((), ("26-046",))
    assert texts(conflict) == [
        "26-046 is pinned in, and can't go home within these weeks even by itself.",
        "It lacks $140.00.",
    ]


def test_two_pins_that_each_fit_and_not_both_name_each_other() -> None:
    conflict = only_one(cars(a=60, b=70))
    assert (conflict.case_id, conflict.beside, conflict.pins) == ("b", ("a",), ("a", "b"))
    assert texts(conflict) == [
        "b is pinned in, and can't go home beside a, which is pinned in too.",
        "Beside all that has to stay in it lacks 0:30 hours of shop time.",
    ]


def test_three_pins_of_which_any_two_fit_are_named_all() -> None:
    conflict = only_one(cars(a=40, b=40, c=40))
    assert (conflict.case_id, conflict.beside) == ("c", ("a", "b"))
    assert texts(conflict)[0] == (
        "c is pinned in, and can't go home beside a and b, which are pinned in too."
    )


def test_a_car_that_leaves_room_is_not_named() -> None:
    conflict = only_one(cars(a=10, b=60, c=70))
    assert (conflict.case_id, conflict.beside, conflict.pins) == ("c", ("b",), ("b", "c"))


def test_a_pin_beside_a_car_that_was_started_can_only_come_off_itself() -> None:
    rows = replace(cars(b=70), cases=(*cars(b=70).cases, *started(a=60)))
    conflict = only_one(rows)
    assert (conflict.case_id, conflict.pins) == ("b", ("b",))
    assert texts(conflict)[0] == (
        "b is pinned in, and can't go home beside a, which was started or promised."
    )


def started(**uses: int) -> tuple[Case, ...]:
    rows = cars(**uses).cases
    return tuple(replace(case, stays=True, need_weight=9) for case in rows)


def test_started_cars_that_do_not_all_fit_have_no_pin_to_take_off() -> None:
    rows = replace(cars(), cases=started(a=60, b=60, c=100))
    first, second = conflicts(rows, select(rows))
    assert (first.pins, second.pins) == ((), ())
    assert {*texts(first), *texts(second)} >= {
        "c was started or promised, and can't go home beside a, which was started or promised."
    }


def test_a_pin_on_a_car_that_is_held_says_what_it_is_held_for() -> None:
    rows = cars(a=10)
    held = replace(rows.cases[0], hold=say("It has not been inspected yet."))
    conflict = only_one(replace(rows, cases=(held,)))
    assert conflict.pins == ("a",)
    assert texts(conflict) == [
        "a is pinned in, and can't be planned yet.",
        "It has not been inspected yet.",
    ]


def test_a_pin_on_a_car_that_is_not_here_says_so() -> None:
    conflict = only_one(replace(cars(), pinned_in=frozenset("z")))
    assert (conflict.pins, texts(conflict)) == (
        ("z",),
        ["z is pinned in, and its car is not in the shop."],
    )


def test_a_pin_that_no_extra_helps_says_so() -> None:
    item = Item(id="i", case_id="a", tier=0, minutes=6 * 420)
    rows = replace(cars(a=0), items=(item,), weeks=(week(minutes=9_000, bay_days=50),))
    assert texts(only_one(rows)) == [
        "a is pinned in, and can't go home within these weeks even by itself.",
        "It needs 6 days in a bay, and these weeks have 5.",
    ]


def test_what_the_effort_does_not_settle_is_not_called_impossible() -> None:
    rows = cars(a=40, b=60)
    plan = select(replace(rows, pinned_out=frozenset("b")))
    (conflict,) = conflicts(rows, plan, effort=0.0)
    assert (conflict.proven, conflict.pins) == (False, ("b",))
    assert texts(conflict) == [
        "b is pinned in, and was not found to fit with the effort spent; it may fit all the same."
    ]


def test_a_pin_that_a_stopped_search_left_out_is_told_to_fit() -> None:
    rows = cars(a=40, b=60)
    (conflict,) = conflicts(rows, select(replace(rows, pinned_out=frozenset("b"))))
    assert (conflict.proven, texts(conflict)) == (
        False,
        ["b is pinned in, and would fit: the search ended before it was found. Compute again."],
    )


@pytest.mark.parametrize("seed", seeds(3, 20))
def test_without_any_one_of_a_conflict_the_others_fit(seed: int) -> None:
    given = program(seed, cases=8, quirks=False)
    rows = canonical(replace(given, pinned_in=frozenset(case.id for case in given.cases)))
    found = conflicts(rows, select(rows))
    assert found
    for conflict in found:
        clash = {conflict.case_id, *conflict.beside}
        assert not fits(rows, clash)
        assert all(fits(rows, clash - {name}) for name in clash)


def fits(rows: PlanInput, names: set[str]) -> bool:
    """Return whether a plan of these cars alone takes all of them."""
    out = frozenset(case.id for case in rows.cases) - names
    plan = select(replace(rows, pinned_in=frozenset(names), pinned_out=out))
    return names <= {*plan.case_ids}
