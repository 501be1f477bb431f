"""The same answers from pyAgrum, a library of Bayesian networks that shares no code with ours.

Its `addNoisyORNet` takes the net figures of Díez 1993; `addNoisyOR` would take the compound ones.
"""

from __future__ import annotations

import warnings
from itertools import product
from random import Random
from typing import TYPE_CHECKING, Any

import numpy as np
import pytest

from tests.vehicles.diagnosis.enumeration import random_model, random_network, random_observations
from tests.vehicles.diagnosis.models import a_check, a_fault, a_model
from tests.vehicles.diagnosis.test_published_networks import CASES, network_of_case
from vehicles.diagnosis.elimination import probability, query
from vehicles.diagnosis.fault_model import Causes, FaultModel
from vehicles.diagnosis.inference import Reasoner, believe, network_of
from vehicles.diagnosis.network import Network, Node

if TYPE_CHECKING:
    from collections.abc import Mapping

with warnings.catch_warnings():
    # Its wrapped classes lack an attribute, which stops Python 3.11 when warnings are errors.
    warnings.simplefilter("ignore")
    gum = pytest.importorskip("pyagrum", reason="pyagrum of requirements-oracles.txt is absent")

PUBLISHED = [case for case in CASES if case["kind"] == "network"]


def theirs(network: Network) -> Any:
    """Return the network as one of the library, each node with a full table."""
    found = gum.BayesNet()
    for name in sorted(network.nodes):
        found.add(gum.LabelizedVariable(name, name, list(network.nodes[name].states)))
    for name, node in network.nodes.items():
        for parent in node.parents:
            found.addArc(parent, name)
    for name, node in network.nodes.items():
        sizes = [range(len(network.nodes[parent].states)) for parent in node.parents]
        for places in product(*sizes):
            row = node.table[places] if isinstance(node, Node) else worst_drawn(node, places)
            found.cpt(name)[dict(zip(node.parents, places, strict=True))] = list(row)
    return found


def worst_drawn(node: Any, places: tuple[int, ...]) -> list[float]:
    """Return a row of a noisy-MAX: what is drawn is cumulated, multiplied and parted again."""
    rows = [rows[place] for rows, place in zip(node.draws.values(), places, strict=True)]
    below = np.prod([np.cumsum(row) for row in (node.leak, *rows)], axis=0)
    return [float(p) for p in np.diff(below, prepend=0.0)]


def asked(network: Any, seen: Mapping[str, Any], *targets: str) -> tuple[float, list[list[float]]]:
    """Return P(seen) and the states of each target."""
    engine = gum.LazyPropagation(network)
    engine.setEvidence(dict(seen))
    engine.makeInference()
    evidence = engine.evidenceProbability() if seen else 1.0
    return evidence, [engine.posterior(target).toarray().tolist() for target in targets]


@pytest.mark.parametrize("case", PUBLISHED, ids=[case["id"] for case in PUBLISHED])
def test_published_networks(case: dict[str, Any]) -> None:
    network = network_of_case(case)
    library = theirs(network)
    for one in case["queries"]:
        evidence, (expected,) = asked(library, one["evidence"], one["target"])
        found = list(query(network, one["target"], one["evidence"]).values())
        assert found == pytest.approx(expected, abs=1e-9, rel=0)
        assert probability(network, one["evidence"]) == pytest.approx(evidence, abs=1e-9, rel=0)


@pytest.mark.parametrize("seed", range(200))
def test_random_networks(seed: int) -> None:
    chance = Random(seed)
    network = random_network(seed, chance.randint(4, 14))
    target, *others = chance.sample(list(network.nodes), 4)
    seen = {name: chance.choice(network.nodes[name].states) for name in others}
    evidence, (expected,) = asked(theirs(network), seen, target)
    assert list(query(network, target, seen).values()) == pytest.approx(expected, abs=1e-9, rel=0)
    assert probability(network, seen) == pytest.approx(evidence, abs=1e-9, rel=0)


@pytest.mark.parametrize("causes", Causes)
@pytest.mark.parametrize("seed", range(40))
def test_fault_models_with_causes_among_faults_and_many_outcomes(seed: int, causes: Causes) -> None:
    model = random_model(seed, causes)
    seen = random_observations(seed, model)
    nodes = {f"check {code}": outcome for code, outcome in seen.items()}
    names = [f"{kind} {fault.code}" for kind in ("fault", "root") for fault in model.faults]
    evidence, rows = asked(theirs(network_of(model)), nodes, "unlisted", *names)
    found = believe(model, seen)
    expected = [row[1] for row in rows]
    mine = [found.unlisted, *found.present.values(), *found.root.values()]
    assert mine == pytest.approx(expected, abs=1e-9, rel=0)
    assert found.evidence == pytest.approx(evidence, abs=1e-9, rel=1e-9)


def two_levels(seed: int) -> tuple[FaultModel, Any]:
    """Return twelve faults and ten checks by their net figures, as ours and as the library's."""
    chance = Random(seed)
    library, faults, checks = gum.BayesNet(), [], []
    for at in range(12):
        faults.append(a_fault(f"f{at}", chance.uniform(0.01, 0.3)))
        library.add(gum.LabelizedVariable(f"f{at}", "", ["no", "yes"]))
        library.cpt(f"f{at}").fillWith([1 - faults[-1].weight, faults[-1].weight])
    for at in range(10):
        leak, sound = chance.uniform(0.01, 0.1), {}
        library.addNoisyORNet(gum.LabelizedVariable(f"c{at}", "", ["no", "yes"]), leak)
        for fault in chance.sample(faults, 5):
            q = chance.uniform(0.1, 0.95)
            library.addWeightedArc(fault.code, f"c{at}", q)
            sound[fault.code] = (1 - leak) * (1 - q)
        rows = {code: (p, 1 - p) for code, p in sound.items()}
        checks.append(a_check(f"c{at}", sound=(1 - leak, leak), given=rows))
    return a_model(faults, checks, causes=Causes.SEVERAL), library


@pytest.mark.parametrize("seed", range(20))
def test_leaky_noisy_or_by_its_net_figures(seed: int) -> None:
    model, library = two_levels(seed)
    seen = {f"c{at}": "yes" if at < 5 else "no" for at in range(8)}
    evidence, rows = asked(library, seen, *(fault.code for fault in model.faults))
    found = believe(model, seen)
    assert list(found.present.values()) == pytest.approx([row[1] for row in rows], abs=1e-9, rel=0)
    assert found.evidence == pytest.approx(evidence, rel=1e-9)


@pytest.mark.parametrize("seed", range(3))
def test_what_each_check_to_come_would_change(seed: int) -> None:
    model, library = two_levels(seed)
    seen = {f"c{at}": "yes" if at < 4 else "no" for at in range(7)}
    codes = [fault.code for fault in model.faults]
    for check, branch in Reasoner(model).branches(seen, ["c7", "c8", "c9"]).items():
        _, (p,) = asked(library, seen, check)
        assert branch.p.tolist() == pytest.approx(p, abs=1e-9, rel=0)
        for place, outcome in enumerate(("no", "yes")):
            _, rows = asked(library, {**seen, check: outcome}, *codes)
            expected = [row[1] for row in rows]
            assert branch.present[place].tolist() == pytest.approx(expected, abs=1e-9, rel=0)
