"""One root cause: each root with each set of faults that it may have brought about.

A configuration is a root and what followed from it, or the cause that is not listed. Their
likelihoods are tables that are made once; an observation picks a column of each. Sums of logs are
used, so that forty checks never underflow.
"""

from __future__ import annotations

from dataclasses import dataclass
from graphlib import CycleError, TopologicalSorter
from itertools import pairwise
from math import inf, log, prod
from typing import TYPE_CHECKING, Final

import numpy as np

from vehicles.diagnosis.belief import Branches, Engine, Posterior
from vehicles.diagnosis.fault_model import cumulative, net_cumulative, unlisted_row

if TYPE_CHECKING:
    from collections.abc import Sequence

    from vehicles.diagnosis.belief import Array, Places
    from vehicles.diagnosis.fault_model import Check, FaultModel

#: More configurations than this are refused: a table of each check would take too much memory.
MOST: Final = 1 << 14
#: How far the weights of a model may be from a sum of one: files give six digits.
SLACK: Final = 1e-5


@dataclass(frozen=True, kw_only=True)
class Configuration:
    """Which faults are there together, how likely that is by itself, and which is the root.

    None of them and no root: the cause is not listed.
    """

    faults: frozenset[str]
    weight: float
    root: str = ""


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
            f"The weights of “{model.title}” with what is not listed sum to {total:.6g}, not 1."
        )
    order, found = in_order(model), []
    for root in (fault for fault in model.faults if fault.weight > 0):
        sets = _spread(model, order, root.code, root.weight / total)
        found += [
            Configuration(faults=faults, weight=p, root=root.code) for faults, p in sets.items()
        ]
    if model.unlisted > 0:
        found.append(Configuration(faults=frozenset(), weight=model.unlisted / total))
    if len(found) > MOST:
        raise ValueError(f"“{model.title}” has too many faults that bring each other about.")
    return found


def _spread(
    model: FaultModel, order: Sequence[str], root: str, weight: float
) -> dict[frozenset[str], float]:
    """Return what may be there together with a root, each with its probability."""
    found = {frozenset({root}): weight}
    for fault in (model.fault(code) for code in order if code != root):
        grown: dict[frozenset[str], float] = {}
        for some, p in found.items():
            spared = prod(1 - q for cause, q in fault.caused_by.items() if cause in some)
            if spared > 0:
                grown[some] = p * spared
            if spared < 1:
                grown[some | {fault.code}] = p * (1 - spared)
        found = grown
        if len(found) > MOST:
            raise ValueError(
                f"“{model.fault(root).title}” brings about too many faults to be computed."
            )
    return found


class Mixture:
    """A model with one root cause as tables: N configurations, F faults, all outcomes in a row."""

    engine = Engine.ROOTS

    def __init__(self, model: FaultModel) -> None:
        found = configurations(model)
        codes = [fault.code for fault in model.faults]
        present = np.array([[code in one.faults for one in found] for code in codes], float)
        root = np.array([[code == one.root for one in found] for code in codes], float)
        unlisted = np.array([not one.faults for one in found], float)
        self._log_weight = np.log([one.weight for one in found])
        self._kinds = np.vstack([present, root, unlisted, np.ones_like(unlisted)])
        self._rows = np.vstack([likelihoods(one, codes, present, unlisted) for one in model.checks])
        with np.errstate(divide="ignore"):
            self._log_rows = np.log(self._rows)
        sizes = [len(check.outcomes) for check in model.checks]
        starts = np.cumsum([0, *sizes]).tolist()
        self._span = {
            check.code: slice(start, stop)
            for check, (start, stop) in zip(model.checks, pairwise(starts), strict=True)
        }

    def evidence(self, observed: Places) -> float:
        """Return the natural log of P(observed)."""
        return self._share(observed)[1]

    def posterior(self, observed: Places) -> Posterior:
        """Return how likely each fault is."""
        share, log_evidence = self._share(observed)
        present, root, unlisted = self._split(self._kinds[:-1] @ share)
        return Posterior(
            log_evidence=log_evidence, present=present, root=root, unlisted=float(unlisted)
        )

    def branches(self, observed: Places, checks: Sequence[str]) -> dict[str, Branches]:
        """Return what each outcome of checks that are not observed would mean."""
        share = self._share(observed)[0]
        joint = (self._kinds * share) @ self._rows.T
        sure = np.where(joint[-1] > 0, joint[-1], 1.0)
        found = {}
        for code in checks:
            span = self._span[code]
            present, root, unlisted = self._split((joint[:-1, span] / sure[span]).T)
            found[code] = Branches(p=joint[-1, span], present=present, root=root, unlisted=unlisted)
        return found

    def _share(self, observed: Places) -> tuple[Array, float]:
        """Return the share of each configuration, and the log of P(observed)."""
        columns = [self._span[code].start + place for code, place in sorted(observed.items())]
        logs = self._log_weight + self._log_rows[columns].sum(axis=0)
        highest = float(logs.max())
        if highest == -inf:
            return np.zeros_like(logs), -inf
        shares = np.exp(logs - highest)
        total = float(shares.sum())
        return shares / total, highest + log(total)

    def _split(self, kinds: Array) -> tuple[Array, Array, Array]:
        """Return presents, roots and the unlisted, from the last axis."""
        size = kinds.shape[-1] // 2
        return kinds[..., :size], kinds[..., size:-1], kinds[..., -1]


def likelihoods(check: Check, codes: Sequence[str], present: Array, flat: Array) -> Array:
    """Return (K, N): `outcome_row` of each configuration, `unlisted_row` where `flat` is one."""
    sound = np.array(cumulative(check.sound))[:, None]
    below = np.broadcast_to(sound, (len(sound), present.shape[1]))
    count, alone = np.zeros_like(flat), np.broadcast_to(np.array(check.sound)[:, None], below.shape)
    for place, code in enumerate(codes):
        if code in check.given:
            acts, row = present[place] > 0, check.given[code]
            below = np.where(
                acts, below * np.array(net_cumulative(check.sound, row))[:, None], below
            )
            alone = np.where(acts, np.array(row)[:, None], alone)
            count = count + acts
    rows = np.where(count > 1, np.diff(below, axis=0, prepend=0.0), alone)
    return np.where(flat > 0, np.array(unlisted_row(check))[:, None], rows)
