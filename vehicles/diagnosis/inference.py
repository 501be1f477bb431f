"""How likely each fault is after what was observed, and what each next check would change.

`believe` answers once; a `Reasoner` is made once for a model and answers often. All of it is exact.
"""

from __future__ import annotations

from functools import cached_property
from math import log2
from typing import TYPE_CHECKING

import numpy as np

from vehicles.diagnosis.belief import (
    Belief,
    Branches,
    Contradiction,
    Engine,
    smallest_contradiction,
)
from vehicles.diagnosis.fault_model import Causes
from vehicles.diagnosis.mixture import Mixture

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from vehicles.diagnosis.belief import Array
    from vehicles.diagnosis.fault_model import FaultModel

__all__ = ["Belief", "Branches", "Contradiction", "Engine", "Reasoner", "believe"]


def believe(model: FaultModel, observed: Mapping[str, str]) -> Belief:
    """Return how likely each fault is after `observed`: check code to outcome code.

    Raises:
        Contradiction: no combination of causes shows this.
        ValueError: no such check or outcome, or a model that cannot be computed.
    """
    return Reasoner(model).believe(observed)


class Reasoner:
    """A model made ready to be asked again and again."""

    def __init__(self, model: FaultModel) -> None:
        self.model = model
        self.engine = Engine.ROOTS if model.causes is Causes.ONE else Engine.EXPLAINED
        self._mixture = Mixture(model)

    def believe(self, observed: Mapping[str, str]) -> Belief:
        """Return how likely each fault is after `observed`.

        Raises:
            Contradiction: no combination of causes shows this.
            ValueError: no such check or outcome.
        """
        share, evidence = self._share(observed)
        codes = [fault.code for fault in self.model.faults]
        alone = sum(log2(self._alone[code][self._place(code, observed)]) for code in observed)
        mixture = self._mixture
        return Belief(
            engine=self.engine,
            present=dict(zip(codes, (share @ mixture.present).tolist(), strict=True)),
            root=dict(zip(codes, (share @ mixture.root).tolist(), strict=True)),
            unlisted=float(share @ mixture.unlisted),
            evidence=evidence,
            conflict=alone - log2(evidence),
        )

    def branches(self, observed: Mapping[str, str], checks: Sequence[str]) -> dict[str, Branches]:
        """Return for each of `checks` what each of its outcomes would mean after `observed`.

        Raises:
            Contradiction: no combination of causes shows what was observed already.
            ValueError: no such check or outcome.
        """
        share, _ = self._share(observed)
        return {code: self._branch(share, code, observed) for code in checks}

    def _branch(self, share: Array, code: str, observed: Mapping[str, str]) -> Branches:
        mixture = self._mixture
        rows = mixture.rows[self.model.check(code).code]
        if code in observed:
            rows = np.zeros_like(rows)
            rows[:, self._place(code, observed)] = 1.0
        joint = (share[:, None] * rows).T
        p = joint.sum(axis=1)
        safe = np.where(p > 0, p, 1.0)
        return Branches(
            p=p,
            present=joint @ mixture.present / safe[:, None],
            root=joint @ mixture.root / safe[:, None],
            unlisted=joint @ mixture.unlisted / safe,
        )

    def _share(self, observed: Mapping[str, str]) -> tuple[Array, float]:
        joint = self._joint(observed)
        evidence = float(joint.sum())
        if evidence <= 0:
            codes = tuple(check.code for check in self.model.checks if check.code in observed)
            clash = smallest_contradiction(
                codes, lambda kept: bool(self._joint({one: observed[one] for one in kept}).any())
            )
            raise Contradiction(self.model, observed, clash)
        return joint / evidence, evidence

    def _joint(self, observed: Mapping[str, str]) -> Array:
        joint = self._mixture.weight
        for code in observed:
            place = self._place(code, observed)
            joint = joint * self._mixture.rows[code][:, place]
        return joint

    def _place(self, code: str, observed: Mapping[str, str]) -> int:
        return self.model.check(code).place(observed[code])

    @cached_property
    def _alone(self) -> dict[str, Array]:
        """How likely each outcome of each check is by itself, before anything is observed."""
        found = self.branches({}, [check.code for check in self.model.checks])
        return {code: branch.p for code, branch in found.items()}
