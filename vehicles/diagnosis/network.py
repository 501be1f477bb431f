"""A network of named nodes with a few states each, and a fault model written as one.

>>> rain = Node(name="rain", states=("no", "yes"), table=np.array([0.8, 0.2]))
>>> wet = noisy_or("wet", 0.1, {"rain": 0.9})
>>> Network([rain, wet]).place("wet", "yes")
1
>>> Network([wet])
Traceback (most recent call last):
ValueError: “wet” depends on “rain”, which is not in the network.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from functools import reduce
from graphlib import CycleError, TopologicalSorter
from itertools import compress, product
from typing import TYPE_CHECKING, Final

import numpy as np

from vehicles.diagnosis.fault_model import (
    Causes,
    cumulative,
    net_cumulative,
    outcome_row,
    unlisted_row,
)

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence

    from numpy.typing import ArrayLike

    from vehicles.diagnosis.belief import Array
    from vehicles.diagnosis.fault_model import Check, FaultModel

#: How far the probabilities of a row may be from a sum of one.
SLACK: Final = 1e-9
#: How far a row may be from the nearest noisy-MAX: files give six digits.
NEAR: Final = 1e-5
#: Parents of a node with a full table; each at least doubles it.
MOST_PARENTS: Final = 12
#: The states of a node that is there or not.
OFF_ON: Final = ("no", "yes")


@dataclass(frozen=True, kw_only=True, eq=False)
class Node:
    """A node with a full table: one axis for each parent in order, then one for its own states."""

    name: str
    states: tuple[str, ...]
    table: Array
    parents: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True, eq=False)
class Noisy:
    """A noisy-MAX: `leak` and each parent draw a state by themselves, and the last drawn shows.

    `draws`: for each parent what it draws, (its states, own states). Net figures (Díez 1993).
    """

    name: str
    states: tuple[str, ...]
    leak: Array
    draws: Mapping[str, Array] = field(default_factory=dict)

    @property
    def parents(self) -> tuple[str, ...]:
        """The parents, in the order in which they draw."""
        return tuple(self.draws)


def noisy_or(name: str, leak: float, strengths: Mapping[str, float]) -> Noisy:
    """Return a leaky noisy-OR of parents that are off or on; `strengths` are net (Díez 1993)."""
    return Noisy(
        name=name,
        states=OFF_ON,
        leak=np.array([1 - leak, leak]),
        draws={parent: np.array([[1.0, 0.0], [1 - q, q]]) for parent, q in strengths.items()},
    )


class Network:
    """Nodes that make sense together.

    Raises:
        ValueError: the first thing that doesn't, as a sentence.
    """

    def __init__(self, nodes: Iterable[Node | Noisy]) -> None:
        self.nodes: dict[str, Node | Noisy] = {}
        for node in nodes:
            if node.name in self.nodes:
                raise ValueError(f"There are two nodes “{node.name}”.")
            if len(set(node.states)) != len(node.states) or not node.states:
                raise ValueError(f"The states of “{node.name}” are none, or two of them are alike.")
            self.nodes[node.name] = node
        for node in self.nodes.values():
            self._check_parents(node)
            for rows, shape in self._tables(node):
                _check_rows(node.name, rows, shape)
        self._check_circles()

    def node(self, name: str) -> Node | Noisy:
        """Return the node of this name.

        Raises:
            ValueError: there is none.
        """
        if name not in self.nodes:
            raise ValueError(f"The network has no node “{name}”.")
        return self.nodes[name]

    def place(self, name: str, state: str) -> int:
        """Return the place of a state of a node.

        Raises:
            ValueError: no such node or state.
        """
        states = self.node(name).states
        if state not in states:
            raise ValueError(f"“{name}” is never “{state}”, only {', '.join(states)}.")
        return states.index(state)

    def _check_parents(self, node: Node | Noisy) -> None:
        for parent in node.parents:
            if parent not in self.nodes:
                raise ValueError(
                    f"“{node.name}” depends on “{parent}”, which is not in the network."
                )
        if len(set(node.parents)) != len(node.parents):
            raise ValueError(f"“{node.name}” names a parent twice.")

    def _tables(self, node: Node | Noisy) -> list[tuple[Array, tuple[int, ...]]]:
        sizes = [len(self.nodes[parent].states) for parent in node.parents]
        own = len(node.states)
        if isinstance(node, Node):
            return [(node.table, (*sizes, own))]
        draws = zip(node.draws.values(), sizes, strict=True)
        return [(node.leak, (own,)), *((rows, (size, own)) for rows, size in draws)]

    def _check_circles(self) -> None:
        graph = {name: sorted(node.parents) for name, node in self.nodes.items()}
        try:
            TopologicalSorter(graph).prepare()
        except CycleError as error:
            named = " → ".join(f"“{name}”" for name in reversed(error.args[1]))
            raise ValueError(f"Nodes depend on each other in a circle: {named}.") from None


def _check_rows(name: str, rows: Array, shape: Sequence[int]) -> None:
    rows = np.asarray(rows, float)
    if rows.shape != tuple(shape):
        raise ValueError(
            f"The table of “{name}” has {_times(rows.shape)} numbers, but its parents and states "
            f"make {_times(shape)}."
        )
    if not (rows >= 0).all():
        raise ValueError(f"“{name}” has a probability below zero.")
    sums = rows.sum(axis=-1).ravel()
    worst = sums[np.abs(sums - 1).argmax()]
    if abs(worst - 1) > SLACK:
        raise ValueError(f"The probabilities of “{name}” sum to {worst:.6g}, not to 1.")


def _times(shape: Sequence[int]) -> str:
    return " × ".join(str(size) for size in shape) or "1"


def is_noisy(check: Check) -> bool:
    """Return whether all rows of a check are noisy-MAX rows over its sound one."""
    leak = np.array(cumulative(check.sound))
    return all(
        np.abs(leak * net_cumulative(check.sound, row) - cumulative(row)).max() <= NEAR
        for row in check.given.values()
    )


def network_of(model: FaultModel) -> Network:
    """Return a fault model as a network, to be asked by elimination.

    Nodes: “check …” with the codes of its outcomes as states; “fault …”, “root …” and “unlisted”,
    each “no” or “yes”.

    Raises:
        ValueError: a check or a fault has too many parents for a table, or the model has a circle.
    """
    codes = {fault.code for fault in model.faults}
    acting = [(one, [code for code in one.given if code in codes]) for one in model.checks]
    if model.causes is Causes.ONE:
        return Network([*_one(model), *(_tabled(*pair, ("unlisted",)) for pair in acting)])
    return Network([*_several(model), *(_check(*pair) for pair in acting)])


def _several(model: FaultModel) -> Iterator[Node | Noisy]:
    for fault in model.faults:
        code = fault.code
        causes = {f"fault {cause}": q for cause, q in fault.caused_by.items()}
        yield noisy_or(f"fault {code}", fault.weight, causes)
        yield noisy_or(f"caused {code}", 0.0, dict.fromkeys(causes, 1.0))
        yield _yes_if(f"root {code}", (f"fault {code}", f"caused {code}"), [[0, 0], [1, 0]])
    yield noisy_or("any", 0.0, {f"fault {fault.code}": 1.0 for fault in model.faults})
    yield _yes_if("unlisted", ("any",), [1, 0])


def _one(model: FaultModel) -> Iterator[Node | Noisy]:
    weights = np.array([*(fault.weight for fault in model.faults), model.unlisted])
    states = (*(fault.code for fault in model.faults), "")
    yield Node(name="root", states=states, table=weights / weights.sum())
    yield _yes_if("unlisted", ("root",), [not state for state in states])
    for fault in model.faults:
        _bounded(fault.title, len(fault.caused_by))
        brought = noisy_or("", 0.0, fault.caused_by).draws.values()
        spared = reduce(np.multiply.outer, [rows[:, 0] for rows in brought], np.array(1.0))
        chance = [1.0 if state == fault.code else 1 - spared for state in states]
        chance[-1] = 0.0
        parents = ("root", *(f"fault {cause}" for cause in fault.caused_by))
        table = np.stack([np.broadcast_to(one, spared.shape) for one in chance])
        yield _yes_if(f"fault {fault.code}", parents, table)
        yield _yes_if(f"root {fault.code}", ("root",), [state == fault.code for state in states])


def _check(check: Check, faults: Sequence[str]) -> Node | Noisy:
    if not is_noisy(check):
        return _tabled(check, faults, ())
    draws = {}
    for fault in faults:
        net = np.diff(net_cumulative(check.sound, check.given[fault]), prepend=0.0)
        draws[f"fault {fault}"] = np.stack([np.eye(len(net))[0], net])
    states = tuple(one.code for one in check.outcomes)
    leak = np.diff(cumulative(check.sound), prepend=0.0)
    return Noisy(name=f"check {check.code}", states=states, leak=leak, draws=draws)


def _tabled(check: Check, faults: Sequence[str], unlisted: tuple[str, ...]) -> Node:
    """Return a check with a row for each set of its faults, a flat one if none is listed."""
    states = tuple(one.code for one in check.outcomes)
    _bounded(check.title, len(faults))
    sets = product((False, True), repeat=len(faults))
    rows = np.array([outcome_row(check, list(compress(faults, chosen))) for chosen in sets])
    rows = rows / rows.sum(axis=1, keepdims=True)
    if unlisted:
        rows = np.stack([rows, np.broadcast_to(unlisted_row(check), rows.shape)], axis=1)
    parents = (*(f"fault {fault}" for fault in faults), *unlisted)
    table = rows.reshape((2,) * len(parents) + (len(states),))
    return Node(name=f"check {check.code}", states=states, parents=parents, table=table)


def _bounded(title: str, parents: int) -> None:
    if parents > MOST_PARENTS:
        raise ValueError(
            f"“{title}” depends on {parents} faults; a table is made for at most {MOST_PARENTS}."
        )


def _yes_if(name: str, parents: tuple[str, ...], chance: ArrayLike) -> Node:
    """Return a node that is “yes” with this chance, an axis for each parent."""
    yes = np.asarray(chance, float)
    return Node(name=name, states=OFF_ON, parents=parents, table=np.stack([1 - yes, yes], axis=-1))
