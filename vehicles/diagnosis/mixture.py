"""One root cause: each root with each set of faults that it may have brought about.

A configuration is a root and what followed from it, or the cause that is not listed. Their
likelihoods are tables that are made once; an observation picks a column of each. Sums of logs are
used, so that forty checks never underflow.
"""

from __future__ import annotations

from dataclasses import dataclass
from graphlib import CycleError, TopologicalSorter
from math import prod
from typing import TYPE_CHECKING, Final

import numpy as np

from vehicles.diagnosis.fault_model import Causes, cumulative, flat_row, net_cumulative

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from vehicles.diagnosis.belief import Array
    from vehicles.diagnosis.fault_model import Check, FaultModel

#: More configurations than this are refused: a table of each check would take too much memory.
MOST: Final = 1 << 17
#: How far the weights of a model may be from a sum of one.
SLACK: Final = 1e-6


@dataclass(frozen=True, kw_only=True)
class Configuration:
    """Which faults are there together, how likely that is by itself, and which is the root."""

    faults: frozenset[str]
    weight: float
    roots: frozenset[str]
    is_unlisted: bool = False


def in_order(model: FaultModel) -> tuple[str, ...]:
    """Return the codes of all faults, causes before what they bring about.

    Raises:
        ValueError: faults bring each other about in a circle.
    """
    graph = {fault.code: sorted(fault.caused_by) for fault in model.faults}
    try:
        return tuple(TopologicalSorter(graph).static_order())
    except CycleError as error:
        titles = " → ".join(f"“{model.fault(code).title}”" for code in reversed(error.args[1]))
        raise ValueError(f"Faults bring each other about in a circle: {titles}.") from None


def configurations(model: FaultModel) -> list[Configuration]:
    """Return every configuration that can be, roots in the order of the model, unlisted last.

    Raises:
        ValueError: weights that are not shares of one, a circle, or more than `MOST`.
    """
    total = sum(fault.weight for fault in model.faults) + model.unlisted
    if abs(total - 1) > SLACK:
        raise ValueError(
            f"The weights of “{model.title}” and of what is not listed sum to "
            f"{total:.6g}, not to 1."
        )
    order, found = in_order(model), []
    for fault in model.faults:
        if fault.weight <= 0:
            continue
        root = frozenset({fault.code})
        sets = _spread(model, order, {root: fault.weight / total}, own=False, spared=root)
        found += [Configuration(faults=some, weight=p, roots=root) for some, p in sets.items()]
    if model.unlisted > 0:
        none: frozenset[str] = frozenset()
        found.append(
            Configuration(faults=none, weight=model.unlisted / total, roots=none, is_unlisted=True)
        )
    return found


def combinations_of(model: FaultModel) -> list[Configuration]:
    """Return every set of faults with `Causes.SEVERAL`: the plain way, for a few faults."""
    none: frozenset[str] = frozenset()
    sets = _spread(model, in_order(model), {none: 1.0}, own=True, spared=none)
    return [
        Configuration(
            faults=some,
            weight=p,
            roots=frozenset(one for one in some if not some & model.fault(one).caused_by.keys()),
            is_unlisted=not some,
        )
        for some, p in sets.items()
    ]


def _spread(
    model: FaultModel,
    order: Sequence[str],
    sets: Mapping[frozenset[str], float],
    *,
    own: bool,
    spared: frozenset[str],
) -> dict[frozenset[str], float]:
    found = dict(sets)
    for fault in (model.fault(code) for code in order if code not in spared):
        grown: dict[frozenset[str], float] = {}
        for some, p in found.items():
            spares = prod(1 - q for cause, q in fault.caused_by.items() if cause in some)
            absent = spares * (1 - fault.weight) if own else spares
            if absent > 0:
                grown[some] = p * absent
            if absent < 1:
                grown[some | {fault.code}] = p * (1 - absent)
        found = grown
        if len(found) > MOST:
            raise ValueError(f"“{model.title}” has too many faults that may be there together.")
    return found


class Mixture:
    """All configurations of a model as arrays: N configurations, F faults, K outcomes."""

    def __init__(self, model: FaultModel) -> None:
        one = model.causes is Causes.ONE
        found = configurations(model) if one else combinations_of(model)
        faults = model.faults
        self.weight = np.array([one.weight for one in found])
        self.present = np.array([[f.code in one.faults for f in faults] for one in found], float)
        self.root = np.array([[f.code in one.roots for f in faults] for one in found], float)
        self.unlisted = np.array([one.is_unlisted for one in found], float)
        flat = self.unlisted if one else np.zeros_like(self.unlisted)
        places = {fault.code: place for place, fault in enumerate(faults)}
        self.rows = {
            check.code: likelihoods(check, places, self.present, flat) for check in model.checks
        }


def likelihoods(check: Check, places: Mapping[str, int], present: Array, flat: Array) -> Array:
    """Return (N, K): `outcome_row` for each configuration, `flat_row` where `flat` is one."""
    acting = sorted(check.given, key=places.__getitem__)
    there = present[:, [places[fault] for fault in acting]].astype(bool)
    count = there.sum(axis=1)[:, None]
    below = np.broadcast_to(np.array(cumulative(check.sound)), (len(present), len(check.sound)))
    alone = np.zeros_like(below)
    for place, fault in enumerate(acting):
        acts = there[:, place, None]
        below = below * np.where(acts, np.array(net_cumulative(check.sound, check.given[fault])), 1)
        alone = np.where(acts, np.array(check.given[fault]), alone)
    rows = np.diff(below, axis=1, prepend=0.0)
    rows = np.where(count == 0, np.array(check.sound), np.where(count == 1, alone, rows))
    return np.where(flat[:, None] > 0, np.array(flat_row(check)), rows)
