"""The least effort, against trying everything, a mixed integer solver, and a textbook case."""

from __future__ import annotations

from itertools import chain, combinations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from vehicles.operations.selection import Way, select

WAYS = st.lists(
    st.tuples(st.integers(1, 30), st.frozensets(st.integers(1, 7), min_size=1, max_size=4)),
    min_size=1,
    max_size=9,
)


def make_ways(rows: list[tuple[int, frozenset[int]]]) -> list[Way]:
    return [
        Way(key=f"w{at:02}", effort=effort, clears=clears)
        for at, (effort, clears) in enumerate(rows)
    ]


def effort(ways: list[Way]) -> int:
    return sum(way.effort for way in ways)


def wanted_of(ways: list[Way]) -> set[int]:
    return {one for way in ways for one in way.clears}


def tried(ways: list[Way], wanted: set[int]) -> tuple[int, int, list[str]]:
    """Try every set of ways: the second opinion."""
    sizes = range(1, len(ways) + 1)
    choices = chain.from_iterable(combinations(ways, size) for size in sizes)
    return min(
        (effort(list(some)), len(some), [way.key for way in some])
        for some in choices
        if wanted <= wanted_of(list(some))
    )


@given(WAYS)
def test_nothing_asks_less_than_what_is_chosen(rows: list[tuple[int, frozenset[int]]]) -> None:
    ways = make_ways(rows)
    chosen = select(ways, wanted_of(ways))
    found = (effort(chosen), len(chosen), [way.key for way in chosen])
    assert found == tried(ways, wanted_of(ways))


@given(WAYS)
def test_a_solver_by_others_finds_no_less(rows: list[tuple[int, frozenset[int]]]) -> None:
    """Source: HiGHS through highspy, a mixed integer solver by others."""
    highspy = pytest.importorskip("highspy", reason="highspy, the oracle, is not installed")
    ways = make_ways(rows)
    highs = highspy.Highs()
    highs.silent()
    highs.setOptionValue("mip_rel_gap", 0.0)
    taken = {way.key: highs.addBinary() for way in ways}
    for one in wanted_of(ways):
        highs.addConstr(sum(taken[way.key] for way in ways if one in way.clears) >= 1)
    highs.minimize(sum(way.effort * taken[way.key] for way in ways))
    assert effort(select(ways, wanted_of(ways))) == round(highs.getObjectiveValue())


@given(WAYS, st.integers(1, 7))
def test_less_to_clear_never_asks_more(rows: list[tuple[int, frozenset[int]]], gone: int) -> None:
    ways = make_ways(rows)
    wanted = wanted_of(ways)
    assert effort(select(ways, wanted - {gone})) <= effort(select(ways, wanted))


@given(WAYS)
def test_the_order_of_the_ways_changes_nothing(rows: list[tuple[int, frozenset[int]]]) -> None:
    ways = make_ways(rows)
    wanted = wanted_of(ways)
    assert select(ways, wanted) == select(ways[::-1], wanted)


def test_the_largest_set_first_would_take_three_where_two_are_enough() -> None:
    """The usual example against the greedy rule of set cover, from memory."""
    sets = {"a": {1, 2, 3, 4, 5, 6}, "b": {1, 2, 3, 7}, "c": {4, 5, 6, 8}, "d": {7, 8}}
    ways = [Way(key=key, effort=1, clears=frozenset(some)) for key, some in sets.items()]
    assert [way.key for way in select(ways, set(range(1, 9)))] == ["a", "d"]
    two = [way for way in ways if way.key != "d"]
    assert [way.key for way in select(two, set(range(1, 9)))] == ["b", "c"]


def test_a_tie_goes_to_the_lower_key() -> None:
    ways = [Way(key=key, effort=5, clears=frozenset({1})) for key in ("pads", "rotors")]
    assert [way.key for way in select(ways[::-1], {1})] == ["pads"]


def test_what_nothing_clears_is_refused() -> None:
    with pytest.raises(ValueError, match=r"^Nothing clears 2\.$"):
        select([Way(key="pads", effort=5, clears=frozenset({1}))], {1, 2})


def test_a_way_without_effort_is_refused() -> None:
    with pytest.raises(ValueError, match=r"^“pads” asks no effort\.$"):
        Way(key="pads", effort=0, clears=frozenset({1}))
