from __future__ import annotations

from itertools import permutations, product
from random import Random

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from tests.vehicles.diagnosis.enumeration import random_network
from vehicles.diagnosis.belief import Contradiction
from vehicles.diagnosis.elimination import ancestors, probability, query
from vehicles.diagnosis.network import Network, Node, Noisy, noisy_or

CHAIN = [
    Node(name="a", states=("no", "yes"), table=np.array([0.7, 0.3])),
    Node(name="b", states=("no", "yes"), parents=("a",), table=np.array([[1, 0], [0.4, 0.6]])),
    Node(name="c", states=("no", "yes"), parents=("b",), table=np.array([[0.9, 0.1], [0, 1.0]])),
]


def enumerate_network(network: Network, seen: dict[str, str]) -> float:
    """Return the probability of what is seen, by going through all states of all nodes."""
    names, found = list(network.nodes), 0.0
    for states in product(*(network.nodes[name].states for name in names)):
        at = dict(zip(names, states, strict=True))
        if seen.items() <= at.items():
            p = 1.0
            for name in names:
                node = network.nodes[name]
                assert isinstance(node, Node)
                places = [network.place(one, at[one]) for one in (*node.parents, name)]
                p *= float(node.table[tuple(places)])
            found += p
    return found


@given(st.integers(0, 10**6))
def test_elimination_equals_enumeration(seed: int) -> None:
    network, chance = random_network(seed, 6), Random(seed)
    target, *seen = chance.sample(list(network.nodes), 3)
    evidence = {name: chance.choice(network.nodes[name].states) for name in seen}
    whole = enumerate_network(network, evidence)
    assert probability(network, evidence) == pytest.approx(whole, abs=1e-14)
    expected = {
        state: enumerate_network(network, {**evidence, target: state}) / whole
        for state in network.nodes[target].states
    }
    assert query(network, target, evidence) == pytest.approx(expected, abs=1e-12)


def test_the_order_in_which_things_are_seen_changes_no_bit() -> None:
    network = random_network(4, 9)
    seen = [("n1", "s0"), ("n5", "s1"), ("n8", "s0")]
    found = [query(network, "n3", dict(order)) for order in permutations(seen)]
    assert found == [found[0]] * 6


def test_what_is_seen_is_certain() -> None:
    assert query(Network(CHAIN), "b", {"b": "yes"}) == {"no": 0.0, "yes": 1.0}


def test_nodes_that_nothing_asked_depends_on_are_left_out() -> None:
    assert ancestors(Network(CHAIN), ["b"]) == {"a", "b"}
    wide = [noisy_or(f"w{place}", 0.1, {"c": 0.5}) for place in range(60)]
    assert query(Network([*CHAIN, *wide]), "a", {"b": "yes"}) == {"no": 0.0, "yes": 1.0}


def test_what_cannot_be_seen_together_is_named() -> None:
    seen = {"c": "no", "b": "yes"}
    with pytest.raises(Contradiction) as error:
        query(Network([*CHAIN, noisy_or("d", 0.5, {})]), "a", {**seen, "d": "yes"})
    assert str(error.value) == "The network never shows “b” = “yes” and “c” = “no”."
    assert error.value.checks == ("b", "c")
    assert probability(Network(CHAIN), seen) == 0


def test_one_thing_that_can_never_be_seen_is_named_alone() -> None:
    network = Network([*CHAIN, noisy_or("d", 0.0, {})])
    with pytest.raises(Contradiction) as error:
        query(network, "a", {"b": "yes", "c": "no", "d": "yes"})
    assert error.value.checks == ("d",)


def test_a_table_that_would_not_fit_is_refused_before_it_is_made() -> None:
    roots = [
        Node(name=f"r{at:02}", states=("no", "yes"), table=np.array([0.5, 0.5])) for at in range(26)
    ]
    all_pairs = [
        noisy_or(f"x{a}-{b}", 0.1, {f"r{a:02}": 0.5, f"r{b:02}": 0.5})
        for a in range(26)
        for b in range(a)
    ]
    seen = {node.name: "yes" for node in all_pairs}
    text = (
        r"^The network hangs together too much: a table would have 67,108,864 numbers, and at most "
        r"262,144 are computed\.$"
    )
    with pytest.raises(ValueError, match=text):
        probability(Network([*roots, *all_pairs]), seen)


def test_a_noisy_max_with_thirty_parents_needs_no_table_of_all_of_them() -> None:
    roots = [
        Node(name=f"r{at}", states=("no", "yes"), table=np.array([0.8, 0.2])) for at in range(30)
    ]
    effect = noisy_or("effect", 0.1, {node.name: 0.5 for node in roots})
    found = query(Network([*roots, effect]), "effect", {})
    assert found["no"] == pytest.approx(0.9 * 0.9**30, abs=1e-14)


@given(st.integers(0, 10**6))
def test_a_noisy_max_shows_the_greatest_that_was_drawn(seed: int) -> None:
    chance = np.random.default_rng(seed)
    leak, rows = chance.dirichlet(np.ones(3)), chance.dirichlet(np.ones(3), (2, 2))
    roots = [Node(name=name, states=("no", "yes"), table=np.array([0.5, 0.5])) for name in "pq"]
    effect = Noisy(
        name="x", states=tuple("abc"), leak=leak, draws=dict(zip("pq", rows, strict=True))
    )
    found = query(Network([*roots, effect]), "x", {"p": "yes", "q": "no"})
    expected = [0.0, 0.0, 0.0]
    for drawn in product(range(3), repeat=3):
        expected[max(drawn)] += float(leak[drawn[0]] * rows[0, 1, drawn[1]] * rows[1, 0, drawn[2]])
    assert list(found.values()) == pytest.approx(expected, abs=1e-14)
