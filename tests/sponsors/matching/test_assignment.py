"""The assignment against full enumeration, and against two libraries made by others."""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from functools import cached_property
from itertools import product
from random import Random
from typing import Any

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from sponsors.matching.assignment import assign, reassign


@dataclass(frozen=True)
class Case:
    """Takers with the units they claim, which givers serve them, and what each giver has."""

    claims: tuple[int, ...]
    edges: tuple[tuple[int, ...], ...]
    units: tuple[int, ...]

    @cached_property
    def solved(self) -> list[dict[int, int]]:
        return assign(self.claims, edges=self.edges, units=self.units)

    def served_claims(self, given_: list[dict[int, int]]) -> list[bool]:
        """Return for each claim whether it is served; of one taker the first claims are."""
        left = [sum(gets.values()) for gets in given_]
        served = []
        for taker in self.claims:
            served.append(left[taker] > 0)
            left[taker] -= 1
        return served

    def used(self, given_: list[dict[int, int]]) -> list[int]:
        total: Counter[int] = Counter()
        for gets in given_:
            total.update(gets)
        return [total[giver] for giver in range(len(self.units))]


def random_case(seed: int, takers: int = 4, givers: int = 4, most: int = 2) -> Case:
    chance = Random(seed)  # repeatable cases, no secrets
    claims = [taker for taker in range(takers) for _ in range(chance.randint(1, most))]
    chance.shuffle(claims)
    edges = tuple(
        tuple(giver for giver in range(givers) if chance.random() < 0.45) for _ in range(takers)
    )
    units = tuple(chance.randint(1, most) for _ in range(givers))
    return Case(claims=tuple(claims), edges=edges, units=units)


def best_of_all(case: Case) -> tuple[list[bool], list[int]]:
    """Return the best served claims and used units, of all assignments that there are."""
    best: tuple[list[bool], list[int]] = ([], [])
    for choice in product(*((None, *case.edges[taker]) for taker in case.claims)):
        used = Counter(giver for giver in choice if giver is not None)
        if all(used[giver] <= have for giver, have in enumerate(case.units)):
            served = [giver is not None for giver in choice]
            best = max(best, (served, [used[giver] for giver in range(len(case.units))]))
    return best


@pytest.mark.parametrize("seed", range(120))
def test_the_assignment_is_the_best_of_all_that_there_are(seed: int) -> None:
    # Claims in turn first, then the givers that should be used up first: all four levels of the
    # matching's aim are in these two orders. Most served is checked apart.
    case = random_case(seed, takers=3, givers=4)
    served, used = best_of_all(case)
    assert sorted(case.served_claims(case.solved)) == sorted(served)
    assert (case.served_claims(case.solved), case.used(case.solved)) == (served, used)


@settings(max_examples=200)
@given(st.integers(0, 10_000), st.integers(1, 12), st.integers(0, 8))
def test_no_unit_is_used_twice_and_none_without_an_edge(
    seed: int, takers: int, givers: int
) -> None:
    case = random_case(seed, takers, givers, most=3)
    assert all(used <= have for used, have in zip(case.used(case.solved), case.units, strict=True))
    wanted = Counter(case.claims)
    for taker, gets in enumerate(case.solved):
        assert set(gets) <= set(case.edges[taker])
        assert sum(gets.values()) <= wanted[taker]


@pytest.mark.parametrize("seed", range(30))
def test_as_many_are_served_as_networkx_finds(seed: int) -> None:
    # networkx, a general graph library: maximum flow.
    nx = pytest.importorskip("networkx", reason="networkx, a large library, is not installed")
    case = random_case(seed, takers=30, givers=20, most=3)
    graph = nx.DiGraph()
    for taker, claimed in Counter(case.claims).items():
        graph.add_edge("source", ("taker", taker), capacity=claimed)
        for giver in case.edges[taker]:
            graph.add_edge(("taker", taker), ("giver", giver))
    for giver, have in enumerate(case.units):
        graph.add_edge(("giver", giver), "sink", capacity=have)
    served = sum(case.served_claims(case.solved))
    assert served == nx.maximum_flow_value(graph, "source", "sink")


def min_cost_flow(case: Case) -> tuple[list[bool], list[int]]:
    """Return served claims and used units by OR-tools: cost is the place in the two orders.

    A served claim frees the cost of its place. Places grow by powers of two, which keeps the order
    exact for so few units.
    """
    from ortools.graph.python import min_cost_flow as library  # noqa: PLC0415  # loads slowly

    flow: Any = library.SimpleMinCostFlow()
    count, givers = len(case.claims), len(case.units)
    source, sink = count + givers, count + givers + 1
    worth = [2 ** (count + sum(case.units) - at) for at in range(count)]
    places = [at for at, have in enumerate(case.units) for _ in range(have)]
    arcs: dict[int, list[int]] = {giver: [] for giver in range(givers)}
    claim_arcs = [
        flow.add_arc_with_capacity_and_unit_cost(source, at, 1, -value)
        for at, value in enumerate(worth)
    ]
    for at, taker in enumerate(case.claims):
        for giver in case.edges[taker]:
            flow.add_arc_with_capacity_and_unit_cost(at, count + giver, 1, 0)
    for place, giver in enumerate(places):
        cost = -(2 ** (len(places) - 1 - place))
        arcs[giver].append(flow.add_arc_with_capacity_and_unit_cost(count + giver, sink, 1, cost))
    flow.add_arc_with_capacity_and_unit_cost(source, sink, count, 0)
    flow.set_node_supply(source, count)
    flow.set_node_supply(sink, -count)
    assert flow.solve() == flow.OPTIMAL
    served = [bool(flow.flow(arc)) for arc in claim_arcs]
    return served, [sum(flow.flow(arc) for arc in arcs[giver]) for giver in range(givers)]


@pytest.mark.parametrize("seed", range(40))
def test_the_assignment_is_the_one_that_min_cost_flow_finds(seed: int) -> None:
    case = random_case(seed, takers=9, givers=8)
    served, used = min_cost_flow(case)
    assert (case.served_claims(case.solved), case.used(case.solved)) == (served, used)


@pytest.mark.parametrize("seed", range(60))
def test_a_change_serves_the_same_claims_as_to_begin_anew(seed: int) -> None:
    chance = Random(seed)  # repeatable cases, no secrets
    case = random_case(seed, takers=14, givers=9)
    edges = [case.edges[taker] for taker in case.claims]
    gone = chance.randrange(9)
    before = reassign([None] * len(edges), edges=edges, units=case.units)
    kept = [None if giver == gone else giver for giver in before]
    units = [0 if giver == gone else have + (giver == 0) for giver, have in enumerate(case.units)]
    after = reassign(kept, edges=edges, units=units)
    anew = Case(claims=tuple(range(len(edges))), edges=tuple(edges), units=tuple(units))
    assert [giver is not None for giver in after] == anew.served_claims(anew.solved)
    used = Counter(giver for giver in after if giver is not None)
    assert all(used[giver] <= have for giver, have in enumerate(units))
    assert all(giver is None or giver in edges[at] for at, giver in enumerate(after))


def test_a_new_unit_moves_no_more_than_one_chain() -> None:
    edges = [[0], [0, 1], [1, 2]]
    assert reassign([0, 1, None], edges=edges, units=[1, 1, 1]) == [0, 1, 2]


def test_what_is_held_by_a_later_claim_goes_to_an_earlier_one() -> None:
    assert reassign([None, 0], edges=[[0], [0]], units=[1]) == [0, None]


def test_nobody_and_nothing_are_assigned_too() -> None:
    assert assign([], edges=[], units=[]) == []
    assert assign([0], edges=[[]], units=[3]) == [{}]
