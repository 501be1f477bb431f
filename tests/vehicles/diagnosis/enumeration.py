"""The plain way: every set of faults that can be, one after the other; and random small models.

It reads a fault model as its documentation says, and shares nothing with the engines but
`outcome_row`, which is what a model means.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from itertools import product
from math import prod
from random import Random
from typing import TYPE_CHECKING

import numpy as np

from tests.vehicles.diagnosis.models import a_check, a_fault, a_model
from vehicles.diagnosis.fault_model import Causes, outcome_row, unlisted_row
from vehicles.diagnosis.network import Network, Node

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping

    from vehicles.diagnosis.belief import Belief, Branches
    from vehicles.diagnosis.fault_model import Fault, FaultModel


@dataclass(kw_only=True)
class Counted:
    """What enumeration finds: sums of P(…, observed)."""

    evidence: float = 0.0
    unlisted: float = 0.0
    present: dict[str, float] = field(default_factory=dict)
    root: dict[str, float] = field(default_factory=dict)

    def shares(self) -> list[float]:
        """Return all figures given what was observed, faults in the order of the model."""
        each = [*self.present.values(), *self.root.values(), self.unlisted]
        return [one / self.evidence for one in each]


def _absent(fault: Fault, there: set[str], own: float) -> float:
    return (1 - own) * prod(1 - q for cause, q in fault.caused_by.items() if cause in there)


def _chance(model: FaultModel, there: set[str], root: str = "") -> float:
    """Return how likely just these faults are there; with a root, which is there for certain."""
    found = 1.0
    for fault in model.faults:
        if fault.code != root:
            absent = _absent(fault, there, 0.0 if root else fault.weight)
            found *= 1 - absent if fault.code in there else absent
    return found


def sets_of(model: FaultModel) -> Iterator[tuple[float, set[str], set[str]]]:
    codes = [fault.code for fault in model.faults]
    for bits in product((False, True), repeat=len(codes)):
        there = {code for code, bit in zip(codes, bits, strict=True) if bit}
        if model.causes is Causes.ONE:
            for root in there:
                yield model.fault(root).weight * _chance(model, there, root), there, {root}
        else:
            roots = {code for code in there if not there & model.fault(code).caused_by.keys()}
            yield _chance(model, there), there, roots
    if model.causes is Causes.ONE:
        yield model.unlisted, set(), set()


def enumerate_all(model: FaultModel, observed: Mapping[str, str]) -> Counted:
    codes = [fault.code for fault in model.faults]
    found = Counted(present=dict.fromkeys(codes, 0.0), root=dict.fromkeys(codes, 0.0))
    for weight, there, roots in sets_of(model):
        p = weight
        for code, outcome in observed.items():
            check = model.check(code)
            is_flat = model.causes is Causes.ONE and not there
            p *= (unlisted_row(check) if is_flat else outcome_row(check, there))[
                check.place(outcome)
            ]
        found.evidence += p
        found.unlisted += 0.0 if there else p
        for code in there:
            found.present[code] += p
        for code in roots:
            found.root[code] += p
    return found


def _row(chance: Random, size: int, *, zeros: bool) -> tuple[float, ...]:
    """Return random shares; with `zeros` some outcomes can't come, though never all."""
    shares = [
        0.0 if zeros and chance.random() < 0.3 else chance.uniform(0.02, 1) for _ in range(size)
    ]
    shares[0] = shares[0] or 1.0
    total = sum(shares)
    return tuple(share / total for share in shares)


def _compound(sound: tuple[float, ...], net: tuple[float, ...]) -> tuple[float, ...]:
    """Return the row of the worst of what the car and a fault draw, by going through all pairs."""
    size = len(sound)
    pairs = list(product(range(size), repeat=2))
    return tuple(
        sum(sound[a] * net[b] for a, b in pairs if max(a, b) == worst) for worst in range(size)
    )


def random_model(
    seed: int, causes: Causes, *, faults: int = 5, checks: int = 5, zeros: bool = False
) -> FaultModel:
    """Return a model with random figures: causes among faults, two to four outcomes a check."""
    chance = Random(seed)
    codes = [f"f{place}" for place in range(faults)]
    unlisted = chance.choice([0.0, 0.1]) if causes is Causes.ONE else 0.0
    weights = [chance.uniform(0.01, 0.4) for _ in codes]
    whole = sum(weights) / (1 - unlisted) if causes is Causes.ONE else 1.0
    some = [
        a_fault(
            code,
            weights[place] / whole,
            caused_by={cause: chance.random() for cause in codes[:place] if chance.random() < 0.3},
        )
        for place, code in enumerate(codes)
    ]
    chance.shuffle(some)
    asked = []
    for place in range(checks):
        size = chance.randint(2, 4)
        sound = _row(chance, size, zeros=zeros)
        acting = [code for code in codes if chance.random() < 0.5]
        given = {code: _compound(sound, _row(chance, size, zeros=zeros)) for code in acting}
        outcomes = [f"o{k}" for k in range(size)]
        asked.append(a_check(f"c{place}", outcomes=outcomes, sound=sound, given=given))
    return a_model(some, asked, causes=causes, unlisted=unlisted)


def random_observations(seed: int, model: FaultModel, *, share: float = 0.6) -> dict[str, str]:
    """Return outcomes of some of the checks, in no order."""
    chance = Random(seed)
    asked = [check for check in model.checks if chance.random() < share]
    chance.shuffle(asked)
    return {check.code: chance.choice(check.outcomes).code for check in asked}


def random_network(seed: int, size: int) -> Network:
    """Return nodes of two or three states, each with up to three parents among those before."""
    chance = np.random.default_rng(seed)
    nodes: list[Node] = []
    for place in range(size):
        above = chance.permutation(place)[: chance.integers(0, 4)]
        parents = tuple(nodes[int(one)].name for one in above)
        states = tuple(f"s{state}" for state in range(chance.integers(2, 4)))
        shape = [len(nodes[int(one)].states) for one in above]
        table = chance.dirichlet(np.ones(len(states)), shape)
        nodes.append(Node(name=f"n{place}", states=states, parents=parents, table=table))
    return Network(nodes)


def figures(belief: Belief) -> list[float]:
    """Return a belief in the order of `Counted.shares`."""
    return [*belief.present.values(), *belief.root.values(), belief.unlisted]


def branch_figures(branches: Branches, place: int) -> list[float]:
    """Return one outcome of a check in the order of `Counted.shares`."""
    rows = (branches.present[place], branches.root[place])
    return [*rows[0].tolist(), *rows[1].tolist(), float(branches.unlisted[place])]
