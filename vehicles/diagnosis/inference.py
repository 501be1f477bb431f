"""How likely each fault is after what was observed, and what each next check would change.

`believe` answers once; a `Reasoner` is made once for a model and answers often. All of it is exact.
"""

from __future__ import annotations

from math import exp, inf, log
from typing import TYPE_CHECKING, Final

import numpy as np

from vehicles.diagnosis.belief import (
    Belief,
    Branches,
    Contradiction,
    Engine,
    Machine,
    listed,
    smallest_contradiction,
)
from vehicles.diagnosis.explained import Explained
from vehicles.diagnosis.fault_model import Causes
from vehicles.diagnosis.mixture import Mixture

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from vehicles.diagnosis.belief import Places
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

    def __init__(self, model: FaultModel, engine: Engine | None = None) -> None:
        self.model = model
        self._machine = _MACHINES[engine or _default(model)](model)
        self._alone: dict[tuple[str, int], float] = {}

    def believe(self, observed: Mapping[str, str]) -> Belief:
        """Return how likely each fault is after `observed`.

        Raises:
            Contradiction: no combination of causes shows this.
            ValueError: no such check or outcome.
        """
        places = self._places(observed)
        found = self._machine.posterior(places)
        if found.log_evidence == -inf:
            raise self._contradiction(places)
        codes = [fault.code for fault in self.model.faults]
        alone = sum(self._log_alone(code, place) for code, place in places.items())
        return Belief(
            engine=self._machine.engine,
            present=dict(zip(codes, found.present.tolist(), strict=True)),
            root=dict(zip(codes, found.root.tolist(), strict=True)),
            unlisted=found.unlisted,
            evidence=exp(found.log_evidence),
            conflict=(alone - found.log_evidence) / log(2) if len(places) > 1 else 0.0,
        )

    def branches(self, observed: Mapping[str, str], checks: Sequence[str]) -> dict[str, Branches]:
        """Return for each of `checks` what each of its outcomes would mean after `observed`.

        A check that was observed has its own outcome for certain.

        Raises:
            Contradiction: no combination of causes shows what was observed already.
            ValueError: no such check or outcome.
        """
        places = self._places(observed)
        if self._machine.evidence(places) == -inf:
            raise self._contradiction(places)
        codes = [self.model.check(code).code for code in checks]
        found = self._machine.branches(places, [code for code in codes if code not in places])
        return {
            code: found[code] if code in found else self._standing(places, code) for code in codes
        }

    def _standing(self, places: Places, code: str) -> Branches:
        found = self._machine.posterior(places)
        sure = np.zeros(len(self.model.check(code).outcomes))
        sure[places[code]] = 1.0
        return Branches(
            p=sure,
            present=np.outer(sure, found.present),
            root=np.outer(sure, found.root),
            unlisted=sure * found.unlisted,
        )

    def _places(self, observed: Mapping[str, str]) -> dict[str, int]:
        """Return the places of outcomes, in the model's order, so that theirs never matters."""
        places = {code: self.model.check(code).place(seen) for code, seen in observed.items()}
        return {
            check.code: places[check.code] for check in self.model.checks if check.code in places
        }

    def _log_alone(self, code: str, place: int) -> float:
        """Return the natural log of P(this outcome), before anything else is observed."""
        key = (code, place)
        if key not in self._alone:
            self._alone[key] = self._machine.evidence({code: place})
        return self._alone[key]

    def _contradiction(self, places: Places) -> Contradiction:
        clash = smallest_contradiction(
            tuple(places),
            lambda kept: self._machine.evidence({one: places[one] for one in kept}) > -inf,
        )
        checks = [self.model.check(code) for code in clash]
        said = [f"“{one.title}: {one.outcomes[places[one.code]].label}”" for one in checks]
        together = " together" if len(said) > 1 else ""
        text = f"No cause in “{self.model.title}” shows {listed(said)}{together}."
        return Contradiction(text, clash)


def _default(model: FaultModel) -> Engine:
    return Engine.ROOTS if model.causes is Causes.ONE else Engine.EXPLAINED


_MACHINES: Final[dict[Engine, Callable[[FaultModel], Machine]]] = {
    Engine.ROOTS: Mixture,
    Engine.EXPLAINED: Explained,
}
