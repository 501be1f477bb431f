from __future__ import annotations

import re
from graphlib import CycleError, TopologicalSorter
from itertools import pairwise
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from vehicles.repairs.prerequisites import (
    Costed,
    by_causes,
    check,
    circle,
    closure,
    gate_of,
    held_by_gate,
    order,
)

GRAPHS = st.dictionaries(st.integers(1, 8), st.sets(st.integers(1, 8), max_size=3), max_size=8)


def networkx() -> Any:
    return pytest.importorskip("networkx", reason="networkx, a large library, is not installed")


def has_circle(needs: dict[int, set[int]]) -> bool:
    """Ask graphlib of the standard library, as the second opinion."""
    try:
        TopologicalSorter(needs).prepare()
    except CycleError:
        return True
    return False


def test_what_is_needed_comes_first_and_else_the_lower_number() -> None:
    assert order({5: {9}, 2: set(), 9: {2}, 1: set()}) == [1, 2, 9, 5]


def test_an_item_that_needs_itself_is_refused_by_name() -> None:
    with pytest.raises(ValueError, match=r"^“Water pump” needs itself\.$"):
        order({4: {4}}, {4: "Water pump"})


def test_a_circle_is_named_from_its_lowest_item_on() -> None:
    names = {1: "Subframe", 2: "Steering rack", 3: "Control arm"}
    sentence = "“Subframe” needs itself, by way of “Steering rack”, “Control arm”."
    with pytest.raises(ValueError, match=f"^{re.escape(sentence)}$"):
        order({3: {1}, 1: {2}, 2: {3}, 7: {1}}, names)


def test_a_circle_is_a_problem_with_a_remedy_at_its_first_item() -> None:
    [problem] = check({1: {2}, 2: {1}})
    assert str(problem.sentence) == "“Item 1” needs itself, by way of “Item 2”."
    assert str(problem.remedy) == "Take one of these prerequisites away."
    assert problem.where == "1"


def test_a_graph_without_a_circle_has_no_problem() -> None:
    assert check({1: {2}, 3: {2}}) == []


def test_all_that_an_item_needs_comes_with_it_in_order() -> None:
    assert closure({3: {2}, 2: {1}, 4: {1}}, [3]) == [1, 2, 3]


def test_a_circle_elsewhere_does_not_hinder_what_is_wanted() -> None:
    assert closure({1: set(), 8: {9}, 9: {8}}, [1]) == [1]


def test_a_chain_of_ten_thousand_items_is_put_in_order() -> None:
    chain = {item: {item + 1} for item in range(10_000)}
    assert order(chain) == list(range(10_000, -1, -1))


@given(GRAPHS)
def test_a_graph_has_an_order_exactly_when_graphlib_finds_no_circle(
    needs: dict[int, set[int]],
) -> None:
    assert bool(check(needs)) is has_circle(needs)
    if not has_circle(needs):
        place = {item: at for at, item in enumerate(order(needs))}
        assert set(place) == set(needs).union(*needs.values())
        assert all(place[first] < place[item] for item in needs for first in needs[item])


@given(GRAPHS)
def test_a_named_circle_is_one(needs: dict[int, set[int]]) -> None:
    found = circle(needs)
    assert bool(found) is has_circle(needs)
    assert len(set(found)) == len(found)
    assert all(second in needs[first] for first, second in pairwise((*found, *found[:1])))


@given(GRAPHS, st.integers(1, 8))
def test_a_closure_is_what_can_be_reached_and_no_more(
    needs: dict[int, set[int]], wanted: int
) -> None:
    reached = {wanted}
    for _ in range(8):
        reached |= {first for item in reached for first in needs.get(item, ())}
    if not has_circle({item: needs.get(item, set()) for item in reached}):
        assert set(closure(needs, [wanted])) == reached


@given(GRAPHS)
def test_the_order_is_the_least_one_that_networkx_finds(needs: dict[int, set[int]]) -> None:
    nx = networkx()
    graph = nx.DiGraph([(first, item) for item in needs for first in needs[item]])
    graph.add_nodes_from(needs)
    if nx.is_directed_acyclic_graph(graph):
        assert order(needs) == list(nx.lexicographical_topological_sort(graph))


def test_the_repair_of_a_cause_comes_first_however_far_back() -> None:
    clears = {1: [10], 2: [20], 3: [30]}
    assert by_causes(clears, {10: 20, 20: 30}) == ({1: {2, 3}, 2: {3}}, {})


def test_a_cause_that_nobody_repairs_is_named_for_each_item_behind_it() -> None:
    assert by_causes({1: [10], 2: [20]}, {10: 20, 20: 30}) == ({1: {2}}, {1: 30, 2: 30})


def test_two_jobs_that_are_each_others_cause_stay_unordered_but_for_the_first() -> None:
    assert by_causes({1: [10, 21], 2: [20, 11]}, {10: 20, 11: 21}) == ({1: {2}}, {})


def test_an_order_on_record_wins_over_a_cause() -> None:
    assert by_causes({1: [10], 2: [20]}, {10: 20}, {2: [1]}) == ({}, {})


@given(GRAPHS, st.dictionaries(st.integers(1, 8), st.integers(1, 8), max_size=8))
def test_the_order_by_causes_never_closes_a_circle(
    clears: dict[int, set[int]], causes: dict[int, int]
) -> None:
    found, _ = by_causes(clears, causes)
    assert circle(found) == ()


def costed(pk: int, dollars: int, tier: int = 0, *, funded: bool = False) -> Costed:
    return Costed(id=pk, title=f"Item {pk}", tier=tier, likely_cents=dollars * 100, funded=funded)


def gate_id(*items: Costed) -> int | None:
    gate = gate_of(items)
    return gate.id if gate else None


def test_the_gate_is_the_dearest_item_that_stops_the_car() -> None:
    assert gate_id(costed(1, 40), costed(2, 930, 1), costed(3, 2_000, 2)) == 2
    assert gate_id(costed(4, 200), costed(3, 200)) == 3  # of equals the first on record


def test_without_a_big_item_there_is_no_gate() -> None:
    """Half of tiers 0 and 1 (program policy), and more than the $60 of a teardown."""
    assert gate_id(costed(1, 60)) is None
    assert gate_id(costed(1, 61)) == 1
    assert gate_id(costed(1, 100), costed(2, 99), costed(3, 99)) is None
    assert gate_id(costed(1, 900, 2)) is None
    assert gate_id() is None


def test_what_is_not_needed_for_the_gate_waits_behind_it() -> None:
    items = [costed(1, 930), costed(2, 20), costed(3, 15, 4), costed(4, 30)]
    held = held_by_gate(items, {1: [2], 3: [1]})
    assert set(held) == {3, 4}
    assert str(held[4].holds) == (
        "“Item 1” comes first: its parts and work elsewhere likely cost $930.00, and it is neither "
        "done nor funded. Nothing else of this car is bought or asked for before."
    )


def test_a_gate_that_is_funded_holds_nothing() -> None:
    assert held_by_gate([costed(1, 930, funded=True), costed(2, 20)]) == {}


@given(st.lists(st.tuples(st.integers(0, 4), st.integers(0, 2_000)), max_size=8))
def test_a_gate_is_never_held_and_holds_all_others(rows: list[tuple[int, int]]) -> None:
    items = [costed(pk, dollars, tier) for pk, (tier, dollars) in enumerate(rows)]
    gate, held = gate_of(items), held_by_gate(items)
    assert set(held) == ({one.id for one in items} - {gate.id} if gate else set())
