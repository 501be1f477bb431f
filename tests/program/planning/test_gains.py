from __future__ import annotations

from dataclasses import replace

import pytest

from program.planning.canonical import canonical
from program.planning.gains import Gain, better, bound_of
from program.planning.problem import Case, PlanInput
from program.planning.selection import select
from program.planning.trying import Change, ChangeKind, apply
from tests.program.planning.garages import garage
from tests.program.planning.programs import program, seeds, week

MONEY = Change(kind=ChangeKind.MONEY, amount=400_00)


@pytest.mark.parametrize("seed", seeds(3, 20))
def test_a_gain_is_what_solving_the_richer_input_again_gives(seed: int) -> None:
    rows = canonical(program(seed, cases=8, quirks=False))
    plan = select(rows)
    rich = apply(rows, [MONEY])
    after, gain = select(rich), better(rich, plan)
    assert (plan.value + gain.points, gain.exact) == (after.value, True)
    assert gain.points <= bound_of(rich, plan)[0]


def test_an_input_with_nothing_more_gains_nothing() -> None:
    rows = canonical(garage())
    assert better(rows, select(rows)) == Gain()


def unserved() -> tuple[object, ...]:
    """Return the garage's items with a radiator that nobody has."""
    first, second = garage().items
    return first, replace(second, parts=(replace(second.parts[0], supply_ids=()),))


def test_a_gain_names_who_goes_home_and_which_need_the_gift_served() -> None:
    rows = canonical(garage(supplies=(), items=unserved()))
    plan = select(rows)
    rich = apply(rows, [Change(kind=ChangeKind.PART, what="radiator", amount=1)])
    assert better(rich, plan, added="gift radiator") == Gain(
        points=5, bound=5, freed=("26-047",), used=("n",)
    )


def test_a_gain_names_who_goes_home_no_longer() -> None:
    rows = canonical(garage())
    rich = apply(rows, [Change(kind=ChangeKind.MONEY, amount=345_00)])
    assert better(rich, select(rows)) == Gain(
        points=4, bound=4, freed=("26-046",), displaced=("26-047",)
    )


def four_cars() -> PlanInput:
    """Return four cars: with 80 minutes more, `a` and either of two like cars go home."""
    weights = {"a": (6, 90), "b": (5, 90), "c": (5, 90), "d": (1, 100)}
    cases = tuple(
        Case(id=name, need_weight=need, uses={"minutes": minutes})
        for name, (need, minutes) in weights.items()
    )
    return PlanInput(weeks=(week(minutes=100),), cases=cases)


def test_of_equal_choices_it_is_one_that_keeps_most_of_the_cars() -> None:
    rows = canonical(four_cars())
    plan = select(replace(rows, pinned_out=frozenset("a")))
    rich = replace(rows, weeks=(week(minutes=180),))
    gain = better(rich, plan)
    assert (gain.points, gain.exact) == (11 - plan.value, True)
    assert gain.displaced == ()


def test_a_search_without_effort_leaves_the_bound_of_the_prices() -> None:
    rows = canonical(program(1, cases=8, quirks=False))
    plan, rich = select(rows), apply(rows, [MONEY])
    gain = better(rich, plan, effort=0.0)
    assert (gain.points, gain.exact) == (0, False)
    assert gain.bound == bound_of(rich, plan)[0]
