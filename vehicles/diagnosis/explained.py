"""Several faults at once: the sum over all of their sets, without walking through the sets.

A check that shows outcome k had no draw worse than k and at least one draw of k. The first is a
factor of each fault that is present. For the second the faults are taken one after the other,
and mass is kept by which of the bad findings are explained by now (`solving`). All terms are added
and none is taken away, so nothing cancels; Quickscore (Heckerman 1989), whose signs alternate,
loses all of its digits at twelve findings. Faults that bring others about are fixed in each of
their states, side by side, after which all others are independent.
"""

from __future__ import annotations

from itertools import product
from math import inf, log
from typing import TYPE_CHECKING, Final

import numpy as np

from vehicles.diagnosis.belief import Branches, Engine, Posterior
from vehicles.diagnosis.fault_model import cumulative, net_cumulative
from vehicles.diagnosis.mixture import in_order
from vehicles.diagnosis.network import is_noisy
from vehicles.diagnosis.solving import Case, Columns, TooMuch, plan

if TYPE_CHECKING:
    from collections.abc import Sequence

    from vehicles.diagnosis.belief import Array, Places
    from vehicles.diagnosis.fault_model import FaultModel


#: Faults that bring others about; each doubles the columns.
MOST_BRINGERS: Final = 10
#: A rarer outcome is computed by itself: as a difference it would lose digits.
RARE: Final = 1 / 256


class Explained:
    """A model with several causes at once, compiled: S states of the faults that bring others."""

    engine = Engine.EXPLAINED

    def __init__(self, model: FaultModel) -> None:
        places = {fault.code: place for place, fault in enumerate(model.faults)}
        self._places = places
        self._bringers = sorted({places[c] for one in model.faults for c in one.caused_by})
        if len(self._bringers) > MOST_BRINGERS:
            raise TooMuch(
                f"In “{model.title}” {len(self._bringers)} faults bring others about; at most "
                f"{MOST_BRINGERS} are computed."
            )
        self._turns = [place for place in places.values() if place not in self._bringers]
        self._states(model)
        self._leak = {one.code: np.array(cumulative(one.sound)) for one in model.checks}
        self._net = {}
        for check in model.checks:
            if not is_noisy(check):
                raise TooMuch(f"What “{check.title}” shows is no noisy-MAX.")
            net = np.ones((len(places), len(check.outcomes)))
            for code in check.given.keys() & places.keys():
                net[places[code]] = net_cumulative(check.sound, check.given[code])
            self._net[check.code] = net

    def _states(self, model: FaultModel) -> None:
        """Set the states that can be: `_prior` (F, S), `_own` (F, S), `_weight` (S,)."""
        order = [self._places[code] for code in in_order(model)]
        states = list(product((0.0, 1.0), repeat=len(self._bringers)))
        prior = np.zeros((len(order), len(states)))
        prior[self._bringers] = np.array(states).T.reshape(len(self._bringers), len(states))
        weight, own = np.ones(len(states)), np.ones_like(prior)
        for place in order:
            fault = model.faults[place]
            absent = np.full(len(states), 1 - fault.weight)
            for cause, q in fault.caused_by.items():
                there = prior[self._places[cause]]
                absent = absent * (1 - q * there)
                own[place] *= 1 - there
            if place in self._bringers:
                weight = weight * np.where(prior[place] > 0, 1 - absent, absent)
            else:
                prior[place] = 1 - absent
        can_be = weight > 0
        self._prior, self._own = prior[:, can_be], own[:, can_be]
        self._weight = weight[can_be]
        self._none = (1 - self._prior).prod(axis=0) * self._weight

    def most_work(self) -> int:
        """Return how many numbers a case has where every check shows its worst."""
        worst = {code: len(leak) - 1 for code, leak in self._leak.items()}
        steps = self._case(worst, []).steps
        return sum(1 << step.open_now for step in steps) * len(self._weight)

    def evidence(self, observed: Places) -> float:
        """Return the natural log of P(observed)."""
        case = self._case(observed, [])
        total = float(case.swept(backward=False)[0].sum())
        return log(total) if total > 0 else -inf

    def posterior(self, observed: Places) -> Posterior:
        """Return how likely each fault is."""
        joint = self._joint(observed, [])[0]
        evidence, size = joint[-1], len(self._prior)
        share = joint / evidence if evidence > 0 else joint
        return Posterior(
            log_evidence=log(evidence) if evidence > 0 else -inf,
            present=share[:size],
            root=share[size:-2],
            unlisted=float(share[-2]),
        )

    def branches(self, observed: Places, checks: Sequence[str]) -> dict[str, Branches]:
        """Return what each outcome of checks that are not observed would mean.

        The cases “this outcome or a better one” of all checks are swept together. An outcome is
        the difference of two of them, unless it is rare.
        """
        levels = [(code, k) for code in checks for k in range(len(self._leak[code]) - 1)]
        joint = self._joint(observed, levels)
        rows = dict(zip(levels, joint[1:], strict=True))
        found = {}
        for code in checks:
            below = [rows[code, k] for k in range(len(self._leak[code]) - 1)]
            parts = np.diff([*below, joint[0]], axis=0, prepend=0.0)
            for k, part in enumerate(parts):
                if part[-1] < RARE * joint[0, -1]:
                    parts[k] = self._joint({**observed, code: k}, [])[0]
            found[code] = self._branch(parts, joint[0, -1])
        return found

    def _branch(self, parts: Array, evidence: float) -> Branches:
        size = len(self._prior)
        shares = parts / np.where(parts[:, -1:] > 0, parts[:, -1:], 1.0)
        return Branches(
            p=parts[:, -1] / evidence if evidence > 0 else parts[:, -1],
            present=shares[:, :size],
            root=shares[:, size:-2],
            unlisted=shares[:, -2],
        )

    def _joint(self, observed: Places, levels: Sequence[tuple[str, int]]) -> Array:
        """Return (1 + levels, 2F + 2): P(present, e), P(root, e), P(unlisted, e) and P(e).

        The first row has what was observed, each other one an outcome “or better” besides.
        """
        case = self._case(observed, levels)
        total, present = case.swept(backward=True)
        shape = (len(levels) + 1, len(self._weight))
        present = present.reshape(len(present), *shape)
        root = present * self._own[:, None, :]
        unlisted = self._none.sum() * case.leak
        return np.vstack(
            [present.sum(axis=-1), root.sum(axis=-1), unlisted, total.reshape(shape).sum(axis=-1)]
        ).T

    def _case(self, observed: Places, levels: Sequence[tuple[str, int]]) -> Case:
        """Return the case to be swept; columns go through the states of each level in turn."""
        codes, states = sorted(observed), len(self._weight)
        spares, leak = np.ones((len(self._prior), len(levels) + 1)), np.ones(len(levels) + 1)
        for code in codes:
            spares *= self._net[code][:, observed[code], None]
            leak *= self._leak[code][observed[code]]
        for at, (code, k) in enumerate(levels, start=1):
            spares[:, at] *= self._net[code][:, k]
            leak[at] *= self._leak[code][k]
        bad = [(code, observed[code]) for code in codes if observed[code] > 0]
        strength = np.zeros((len(self._prior), len(bad)))
        bare = np.ones((len(bad), states))
        for at, (code, k) in enumerate(bad):
            strength[:, at] = _share(self._net[code], k)
            bare[at] -= _share(self._leak[code], k)
        there = self._prior[self._bringers]
        for at, strengths in enumerate(strength[self._bringers]):
            bare *= 1 - strengths[:, None] * there[at]
        columns = Columns(
            prior=np.tile(self._prior, len(leak)),
            spares=np.repeat(spares, states, axis=1),
            unexplained=np.tile(bare, len(leak)),
            weight=np.outer(leak, self._weight).ravel(),
        )
        alone = np.prod([_share(self._leak[code], k) for code, k in bad])
        return Case(steps=plan(strength, self._turns), columns=columns, leak=leak * alone)


def _share(below: Array, k: int) -> Array:
    """Return how much of “outcome k or better” is k itself, along the last axis."""
    whole = below[..., k]
    return np.asarray((whole - below[..., k - 1]) / np.where(whole > 0, whole, 1.0))
