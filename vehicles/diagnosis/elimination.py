"""Exact answers from any network, by eliminating one node after the other.

The next one is always that which leaves the smallest table, ties by name (min-weight order; see
Koller and Friedman 2009, section 9.4, from memory). What depends on nothing asked or seen is left
out first, and what was seen is cut out of the tables.
"""

from __future__ import annotations

from dataclasses import dataclass
from functools import reduce
from math import inf, log, prod
from typing import TYPE_CHECKING, Final

import numpy as np

from vehicles.diagnosis.belief import (
    Branches,
    Contradiction,
    Engine,
    Posterior,
    listed,
    smallest_contradiction,
)
from vehicles.diagnosis.fault_model import Causes
from vehicles.diagnosis.network import Node, network_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from vehicles.diagnosis.belief import Array, Places
    from vehicles.diagnosis.fault_model import FaultModel
    from vehicles.diagnosis.network import Network, Noisy

#: Numbers in one table, eight bytes each; more are refused before the work begins.
LARGEST: Final = 1 << 18


@dataclass(frozen=True, kw_only=True, eq=False)
class Factor:
    """A table over named axes."""

    names: tuple[str, ...]
    table: Array


def query(network: Network, target: str, evidence: Mapping[str, str]) -> dict[str, float]:
    """Return the probability of each state of `target`, given what was seen of other nodes.

    Raises:
        Contradiction: this can't be seen together.
        ValueError: no such node or state, or a table would have more than `LARGEST` numbers.
    """
    found = joint(network, target, evidence)
    total = float(found.sum())
    if total <= 0:
        raise _contradiction(network, evidence)
    states = network.node(target).states
    return dict(zip(states, (found / total).tolist(), strict=True))


def probability(network: Network, evidence: Mapping[str, str]) -> float:
    """Return the probability of seeing all of this, zero if it can't be.

    Raises:
        ValueError: no such node or state, or a table would have more than `LARGEST` numbers.
    """
    return float(_eliminated(network, (), evidence))


def joint(network: Network, target: str, evidence: Mapping[str, str]) -> Array:
    """Return P(state, evidence) for each state of `target`.

    Raises:
        ValueError: as `probability`.
    """
    states = network.node(target).states
    if target in evidence:
        found = np.zeros(len(states))
        found[network.place(target, evidence[target])] = probability(network, evidence)
        return found
    return _eliminated(network, (target,), evidence)


class Eliminated:
    """A fault model as a network; slower than the other engines, with fewer limits."""

    engine = Engine.ELIMINATION

    def __init__(self, model: FaultModel) -> None:
        self._network = network_of(model)
        self._faults = [fault.code for fault in model.faults]
        one = model.causes is Causes.ONE
        self._roots = [fault.code for fault in model.faults if one or fault.caused_by]

    def evidence(self, observed: Places) -> float:
        """Return the natural log of P(observed)."""
        found = probability(self._network, self._seen(observed))
        return log(found) if found > 0 else -inf

    def posterior(self, observed: Places) -> Posterior:
        """Return how likely each fault is."""
        seen = self._seen(observed)
        both = joint(self._network, "unlisted", seen)
        sure = float(both.sum()) or 1.0
        present = self._yes("fault", self._faults, seen)
        root = present | self._yes("root", self._roots, seen)
        return Posterior(
            log_evidence=log(both.sum()) if both.any() else -inf,
            present=np.array(list(present.values())) / sure,
            root=np.array(list(root.values())) / sure,
            unlisted=float(both[1] / sure),
        )

    def branches(self, observed: Places, checks: Sequence[str]) -> dict[str, Branches]:
        """Return what each outcome of checks that are not observed would mean."""
        return {code: self._branch(observed, code) for code in checks}

    def _branch(self, observed: Places, code: str) -> Branches:
        p = joint(self._network, f"check {code}", self._seen(observed))
        found = [self.posterior({**observed, code: place}) for place in range(len(p))]
        return Branches(
            p=p / (p.sum() or 1.0),
            present=np.array([one.present for one in found]),
            root=np.array([one.root for one in found]),
            unlisted=np.array([one.unlisted for one in found]),
        )

    def _yes(self, kind: str, codes: Sequence[str], seen: Mapping[str, str]) -> dict[str, float]:
        return {code: float(joint(self._network, f"{kind} {code}", seen)[1]) for code in codes}

    def _seen(self, observed: Places) -> dict[str, str]:
        names = {f"check {code}": place for code, place in observed.items()}
        return {name: self._network.node(name).states[place] for name, place in names.items()}


def _contradiction(network: Network, evidence: Mapping[str, str]) -> Contradiction:
    clash = smallest_contradiction(
        sorted(evidence),
        lambda kept: probability(network, {name: evidence[name] for name in kept}) > 0,
    )
    said = listed([f"“{name}” = “{evidence[name]}”" for name in clash])
    return Contradiction(f"The network never shows {said}.", clash)


def _eliminated(network: Network, kept: Sequence[str], evidence: Mapping[str, str]) -> Array:
    places = {name: network.place(name, state) for name, state in evidence.items()}
    factors = factors_of(network, ancestors(network, [*kept, *evidence]))
    factors = [_cut(factor, places) for factor in factors]
    sizes = {
        name: size
        for factor in factors
        for name, size in zip(factor.names, factor.table.shape, strict=True)
    }
    for name in _order([set(factor.names) for factor in factors], sizes, set(kept)):
        having = [factor for factor in factors if name in factor.names]
        factors = [factor for factor in factors if name not in factor.names]
        factors.append(_summed(_times(having), name))
    return _times(factors).table


def ancestors(network: Network, names: Iterable[str]) -> set[str]:
    """Return these nodes and all that they depend on; all others are barren."""
    found: set[str] = set()
    waiting = list(names)
    while waiting:
        name = waiting.pop()
        if name not in found:
            found.add(name)
            waiting.extend(network.node(name).parents)
    return found


def factors_of(network: Network, names: Iterable[str]) -> list[Factor]:
    """Return what the nodes of these names multiply to; a noisy-MAX comes as a chain.

    Each link of the chain is the greatest of what was drawn so far, so that a table has one
    parent in it, however many there are. Inner links are named after the node with a number.
    """
    found = []
    for name in sorted(names):
        node = network.node(name)
        if isinstance(node, Node):
            found.append(Factor(names=(*node.parents, name), table=np.asarray(node.table)))
        else:
            found.extend(_chain(node))
    return found


def _chain(node: Noisy) -> list[Factor]:
    if not node.draws:
        return [Factor(names=(node.name,), table=node.leak)]
    size, last = len(node.states), len(node.draws) - 1
    found, before = [], ""
    for at, (parent, rows) in enumerate(node.draws.items()):
        name = node.name if at == last else f"{node.name}\0{at}"
        # worst[a, p, b]: what was drawn before is a, this parent is in state p, the greater is b.
        worst = np.zeros((size, len(rows), size))
        for a in range(size):
            worst[a, :, a] = rows[:, : a + 1].sum(axis=1)
            worst[a, :, a + 1 :] = rows[:, a + 1 :]
        if at == 0:
            found.append(Factor(names=(parent, name), table=np.tensordot(node.leak, worst, 1)))
        else:
            found.append(Factor(names=(before, parent, name), table=worst))
        before = name
    return found


def _cut(factor: Factor, places: Mapping[str, int]) -> Factor:
    index = tuple(places.get(name, slice(None)) for name in factor.names)
    names = tuple(name for name in factor.names if name not in places)
    return Factor(names=names, table=factor.table[index])


def _order(scopes: list[set[str]], sizes: Mapping[str, int], kept: set[str]) -> list[str]:
    """Return the order in which nodes go; names of what is kept or cut out are not in it."""

    def width(name: str) -> tuple[int, str]:
        union = set[str]().union(*(scope for scope in scopes if name in scope))
        return prod(sizes[one] for one in union), name

    waiting, order = set(sizes) - kept, []
    while waiting:
        entries, name = min(map(width, waiting))
        if entries > LARGEST:
            raise ValueError(
                f"The network hangs together too much: a table would have {entries:,} numbers, "
                f"and at most {LARGEST:,} are computed."
            )
        having = [scope for scope in scopes if name in scope]
        scopes = [scope for scope in scopes if name not in scope]
        scopes.append(set[str]().union(*having) - {name})
        waiting.discard(name)
        order.append(name)
    return order


def _times(factors: Iterable[Factor]) -> Factor:
    return reduce(_product, sorted(factors, key=lambda one: (one.table.size, one.names)), ONE)


def _product(left: Factor, right: Factor) -> Factor:
    names = tuple(dict.fromkeys((*left.names, *right.names)))
    return Factor(names=names, table=_spread(left, names) * _spread(right, names))


def _spread(factor: Factor, names: Sequence[str]) -> Array:
    """Return the table with its axes in the order of `names`, of length one where it has none."""
    axes = [factor.names.index(name) for name in names if name in factor.names]
    sizes = dict(zip(factor.names, factor.table.shape, strict=True))
    return factor.table.transpose(axes).reshape([sizes.get(name, 1) for name in names])


def _summed(factor: Factor, name: str) -> Factor:
    axis = factor.names.index(name)
    names = factor.names[:axis] + factor.names[axis + 1 :]
    return Factor(names=names, table=factor.table.sum(axis=axis))


ONE: Final = Factor(names=(), table=np.array(1.0))
