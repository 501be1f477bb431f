"""How likely each fault is after what was observed, and what each next check would change.

`believe` answers once; a `Reasoner` is made once for a model and answers often. All of it is exact.
"""

from __future__ import annotations

from functools import cached_property
from math import exp, inf, log
from typing import TYPE_CHECKING, Final, TypeVar

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
from vehicles.diagnosis.elimination import Eliminated
from vehicles.diagnosis.explained import Explained
from vehicles.diagnosis.fault_model import Causes
from vehicles.diagnosis.mixture import Mixture
from vehicles.diagnosis.network import network_of
from vehicles.diagnosis.solving import TooMuch

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from vehicles.diagnosis.belief import Places
    from vehicles.diagnosis.fault_model import FaultModel

__all__ = [
    "Belief",
    "Branches",
    "Contradiction",
    "Engine",
    "Reasoner",
    "believe",
    "is_quick",
    "network_of",
]
T = TypeVar("T")

#: Numbers of one case; a page looks at a few hundred cases and is waited for.
MOST_WORK: Final = 1 << 16


def believe(model: FaultModel, observed: Mapping[str, str]) -> Belief:
    """Return how likely each fault is after `observed`: check code to outcome code.

    Raises:
        Contradiction: no combination of causes shows this.
        ValueError: no such check or outcome, or a model that cannot be computed.
    """
    return Reasoner(model).believe(observed)


def is_quick(model: FaultModel) -> bool:
    """Return whether a page of a model answers soon, whatever its checks show."""
    if model.causes is Causes.ONE:
        return True
    return Explained(model).most_work() <= MOST_WORK


class Reasoner:
    """A model made ready to be asked again and again.

    The engine is the one that fits the model. What is too much for it goes to elimination, unless
    the engine was named.
    """

    def __init__(self, model: FaultModel, engine: Engine | None = None) -> None:
        self.model = model
        self._alone: dict[tuple[str, int], float] = {}
        self._is_fixed = engine is not None
        try:
            self._machine = _MACHINES[engine or _default(model)](model)
        except TooMuch:
            if self._is_fixed:
                raise
            self._machine = self._spare

    def believe(self, observed: Mapping[str, str]) -> Belief:
        """Return how likely each fault is after `observed`.

        Raises:
            Contradiction: no combination of causes shows this.
            ValueError: no such check or outcome, or too much to be computed.
        """
        places = self._places(observed)
        engine, found = self._ask(lambda machine: (machine.engine, machine.posterior(places)))
        if found.log_evidence == -inf:
            raise self._contradiction(places)
        codes = [fault.code for fault in self.model.faults]
        alone = sum(self._log_alone(code, place) for code, place in places.items())
        return Belief(
            engine=engine,
            present=dict(zip(codes, found.present.tolist(), strict=True)),
            root=dict(zip(codes, found.root.tolist(), strict=True)),
            unlisted=found.unlisted,
            evidence=exp(found.log_evidence),
            conflict=(alone - found.log_evidence) / log(2) if len(places) > 1 else 0.0,
        )

    def evidence(self, observed: Mapping[str, str]) -> float:
        """Return the natural log of P(observed), minus infinity for what can't be.

        Raises:
            ValueError: no such check or outcome, or too much to be computed.
        """
        return self._log_evidence(self._places(observed))

    def branches(self, observed: Mapping[str, str], checks: Sequence[str]) -> dict[str, Branches]:
        """Return for each of `checks` what each of its outcomes would mean after `observed`.

        A check that was observed has its own outcome for certain.

        Raises:
            Contradiction: no combination of causes shows what was observed already.
            ValueError: no such check or outcome.
        """
        places = self._places(observed)
        if self._log_evidence(places) == -inf:
            raise self._contradiction(places)
        codes = [self.model.check(code).code for code in checks]
        asked = [code for code in codes if code not in places]
        found = self._ask(lambda machine: machine.branches(places, asked))
        return {
            code: found[code] if code in found else self._standing(places, code) for code in codes
        }

    def _standing(self, places: Places, code: str) -> Branches:
        found = self._ask(lambda machine: machine.posterior(places))
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

    @cached_property
    def _spare(self) -> Machine:
        return Eliminated(self.model)

    def _ask(self, question: Callable[[Machine], T]) -> T:
        try:
            return question(self._machine)
        except TooMuch:
            if self._is_fixed:
                raise
            return question(self._spare)

    def _log_evidence(self, places: Places) -> float:
        return self._ask(lambda machine: machine.evidence(places))

    def _log_alone(self, code: str, place: int) -> float:
        """Return the natural log of P(this outcome), before anything else is observed."""
        key = (code, place)
        if key not in self._alone:
            self._alone[key] = self._log_evidence({code: place})
        return self._alone[key]

    def _contradiction(self, places: Places) -> Contradiction:
        clash = smallest_contradiction(
            tuple(places),
            lambda kept: self._log_evidence({one: places[one] for one in kept}) > -inf,
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
    Engine.ELIMINATION: Eliminated,
}
