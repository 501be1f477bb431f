"""What a diagnosis is at one moment, as plain values.

>>> Step(check="level", outcome="low").is_seen, Step(check="level", could_not="No light").is_seen
(True, False)
"""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Mapping

    from shared.say import Say
    from vehicles.diagnosis.fault_model import FaultModel


@dataclass(frozen=True, kw_only=True)
class Step:
    """One standing observation: what the check showed, or why it could not be done."""

    check: str
    outcome: str = ""
    could_not: str = ""
    note: str = ""
    source: str = "seen"
    seen_by: str = ""
    at: dt.datetime | None = None
    pk: int = 0
    photos: tuple[str, ...] = ()

    @property
    def is_seen(self) -> bool:
        """Whether the check showed something."""
        return bool(self.outcome)


@dataclass(frozen=True, kw_only=True)
class Session:
    """All that the computing needs: the model, what was seen in order, what is set up.

    `settled` are the faults that were concluded and repaired while the diagnosis goes on.
    """

    model: FaultModel
    steps: tuple[Step, ...] = ()
    setups: frozenset[str] = frozenset()
    rate: int
    cars: int = 0
    shipped: Mapping[str, float] = field(default_factory=dict)
    settled: frozenset[str] = frozenset()

    @property
    def observed(self) -> dict[str, str]:
        """The outcome of each check that showed something."""
        return {step.check: step.outcome for step in self.steps if step.is_seen}

    @property
    def missed(self) -> dict[str, str]:
        """Why each of the other checks could not be done."""
        return {step.check: step.could_not for step in self.steps if not step.is_seen}

    def step(self, check: str) -> Step | None:
        """Return what stands for a check, or None."""
        return next((step for step in self.steps if step.check == check), None)

    def label(self, step: Step) -> str:
        """Return what an observation says in words: its outcome, or why it could not be done."""
        check = self.model.check(step.check)
        return check.outcomes[check.place(step.outcome)].label if step.is_seen else step.could_not


@dataclass(frozen=True, kw_only=True)
class Seen:
    """What a person records of one check; `seen_id` is the observation shown there on screen."""

    check: str
    outcome: str = ""
    could_not: str = ""
    note: str = ""
    seen_id: int | None = None


@dataclass(frozen=True, kw_only=True)
class Bar:
    """One fault in the picture: its probability now and at the beginning, 0 to 1, and in words."""

    code: str
    title: str
    now: float
    before: float
    figure: Say
    figure_before: Say
    word: Say
    unlisted: bool = False
