from __future__ import annotations

import re

import numpy as np
import pytest

from tests.vehicles.diagnosis.models import a_check, a_fault, a_model
from vehicles.diagnosis.fault_model import Causes
from vehicles.diagnosis.network import Network, Node, Noisy, is_noisy, network_of, noisy_or

COIN = Node(name="coin", states=("heads", "tails"), table=np.array([0.5, 0.5]))


def a_node(name: str, *rows: list[float], parents: tuple[str, ...] = ("coin",)) -> Node:
    return Node(name=name, states=("no", "yes"), parents=parents, table=np.array(rows))


@pytest.mark.parametrize(
    ("nodes", "text"),
    [
        ([COIN, COIN], "There are two nodes “coin”."),
        (
            [Node(name="a", states=("x", "x"), table=np.array([0.5, 0.5]))],
            "The states of “a” are none, or two of them are alike.",
        ),
        ([a_node("a", [0.5, 0.5])], "“a” depends on “coin”, which is not in the network."),
        (
            [COIN, a_node("a", [0.5, 0.5], parents=("coin", "coin"))],
            "“a” names a parent twice.",
        ),
        (
            [COIN, a_node("a", [0.5, 0.5], [0.2, 0.9])],
            "The probabilities of “a” sum to 1.1, not to 1.",
        ),
        ([COIN, a_node("a", [1.5, -0.5], [0.2, 0.8])], "“a” has a probability below zero."),
        ([COIN, a_node("a", [0.5, float("nan")], [1, 0])], "“a” has a probability below zero."),
        (
            [COIN, a_node("a", [0.5, 0.5])],
            "The table of “a” has 1 × 2 numbers, but its parents and states make 2 × 2.",
        ),
        (
            [COIN, Noisy(name="a", states=("x", "y"), leak=np.array([1, 1]))],
            "The probabilities of “a” sum to 2, not to 1.",
        ),
        (
            [noisy_or("a", 0.1, {"b": 0.5}), noisy_or("b", 0.1, {"a": 0.5})],
            "Nodes depend on each other in a circle: “a” → “b” → “a”.",
        ),
    ],
)
def test_a_network_that_makes_no_sense_says_why(nodes: list[Node | Noisy], text: str) -> None:
    with pytest.raises(ValueError, match=f"^{re.escape(text)}$"):
        Network(nodes)


def test_an_unknown_node_or_state_is_named() -> None:
    network = Network([COIN])
    with pytest.raises(ValueError, match=r"^The network has no node “die”\.$"):
        network.node("die")
    with pytest.raises(ValueError, match=r"^“coin” is never “edge”, only heads, tails\.$"):
        network.place("coin", "edge")


def test_a_fault_model_becomes_a_network_with_a_node_for_each_of_its_parts() -> None:
    network = network_of(a_model())
    checks = [name for name in network.nodes if name.startswith("check")]
    assert checks == ["check level", "check fan-runs", "check bubbles"]
    assert network.node("check level").states == ("full", "low", "empty")
    assert network.node("fault gasket").parents == ("root", "fault hose")


def test_a_row_that_exceeds_its_sound_one_is_no_noisy_max() -> None:
    assert is_noisy(a_check(sound=(0.9, 0.1), given={"hose": (0.9, 0.1)}))
    assert not is_noisy(a_check(sound=(0.9, 0.1), given={"hose": (0.95, 0.05)}))


def test_such_a_row_gets_a_full_table() -> None:
    check = a_check(sound=(0.9, 0.1), given={"hose": (0.95, 0.05)})
    model = a_model([a_fault()], [check], causes=Causes.SEVERAL)
    node = network_of(model).node("check level")
    assert isinstance(node, Node)
    assert node.table.tolist() == [[0.9, 0.1], [0.95, 0.05]]


def test_too_many_faults_for_a_table_are_refused() -> None:
    faults = [a_fault(f"f{place}", 1 / 13) for place in range(13)]
    check = a_check(given={fault.code: (0.5, 0.5) for fault in faults})
    text = r"^“Level” depends on 13 faults; a table is made for at most 12\.$"
    with pytest.raises(ValueError, match=text):
        network_of(a_model(faults, [check]))
