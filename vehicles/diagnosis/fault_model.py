"""A fault model: for one complaint its faults, what they bring about, and the checks.

What a check shows is a noisy-MAX of the faults present (Henrion 1989, Díez 1993): outcomes stand in
order from what a sound car shows to the worst, each fault draws an outcome by itself, so does the
rest of the car, and the worst drawn is seen. With two outcomes this is the leaky noisy-OR. The
figures in a model are the compound ones that a technician can answer: “how often, when only this
fault is present”. Source of the distinction: the two papers named; reference values in the tests.

>>> low = Check(code="level", title="Level", method="", outcomes=(GOOD, BAD), sound=(0.9, 0.1),
...             given={"hose": (0.2, 0.8), "cap": (0.6, 0.4)})
>>> outcome_row(low, ()), outcome_row(low, ("hose",))
((0.9, 0.1), (0.2, 0.8))
>>> [round(p, 3) for p in outcome_row(low, ("hose", "cap"))]
[0.133, 0.867]
"""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum
from itertools import pairwise
from math import prod
from typing import TYPE_CHECKING, Final

from vehicles.inspection.criteria import DeficiencyClass

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping

    from vehicles.shop.systems import System


class Causes(StrEnum):
    """Whether a complaint has one root cause (with what it brought about), or may have several."""

    ONE = "one"
    SEVERAL = "several"


@dataclass(frozen=True, kw_only=True)
class Effort:
    """Whole minutes of work, and whole cents of parts or fees."""

    minutes: int = 0
    cents: int = 0

    def cost(self, rate: int) -> float:
        """Return the cents of both, at `rate` cents an hour of work."""
        return self.minutes * rate / 60 + self.cents


@dataclass(frozen=True, kw_only=True)
class Fault:
    """A possible cause.

    `weight`: with `Causes.ONE` the share of cars with this complaint whose root cause it is; with
    `Causes.SEVERAL` the probability that it is there by itself. `caused_by`: for each fault that
    can bring this one about, the probability that it alone does. `look` is what it takes to expose
    and see the part, `repair` what follows once it is found bad.
    """

    code: str
    title: str
    system: System
    weight: float
    operation: str = ""
    look: Effort = field(default_factory=Effort)
    repair: Effort = field(default_factory=Effort)
    caused_by: Mapping[str, float] = field(default_factory=dict)
    deficiency: DeficiencyClass = DeficiencyClass.MAJOR
    severity: int = 3
    strands: bool = False
    never_release: bool = False
    note: str = ""


@dataclass(frozen=True, kw_only=True)
class Outcome:
    """What a check can show. `label` is what was seen, as a short sentence or word."""

    code: str
    label: str


@dataclass(frozen=True, kw_only=True)
class Bar:
    """What bars a check: an outcome seen of another one, or a fault that is likely enough."""

    because: str
    check: str = ""
    outcomes: tuple[str, ...] = ()
    fault: str = ""
    at: float = 1.0


@dataclass(frozen=True, kw_only=True)
class After:
    """What has to have been seen first: one of these outcomes of that check."""

    check: str
    outcomes: tuple[str, ...]
    because: str


@dataclass(frozen=True, kw_only=True)
class Damage:
    """What a check breaks on a car that has this fault, in cents."""

    fault: str
    cents: int
    because: str


@dataclass(frozen=True, kw_only=True)
class Check:
    """Something to look at, measure or ask.

    `outcomes` go from what a sound car shows to the worst; `sound` has their probabilities when
    no listed fault is present; `given` those when only the named fault is. `setups` name what has
    to be true first. `names` says which outcomes are physical proof of which fault. `codes` lists
    the trouble codes that stand for an outcome.
    """

    code: str
    title: str
    method: str
    outcomes: tuple[Outcome, ...]
    sound: tuple[float, ...]
    given: Mapping[str, tuple[float, ...]]
    effort: Effort = field(default_factory=Effort)
    setups: tuple[str, ...] = ()
    caution: str = ""
    cautions: tuple[str, ...] = ()
    asked: bool = False
    names: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    bars: tuple[Bar, ...] = ()
    after: tuple[After, ...] = ()
    damages: tuple[Damage, ...] = ()
    codes: Mapping[str, tuple[str, ...]] = field(default_factory=dict)
    source: str = ""
    seen: bool = False

    def place(self, outcome: str) -> int:
        """Return the place of an outcome.

        Raises:
            ValueError: the check has no such outcome.
        """
        for place, one in enumerate(self.outcomes):
            if one.code == outcome:
                return place
        raise ValueError(f"“{self.title}” can’t show “{outcome}”.")


@dataclass(frozen=True, kw_only=True)
class Specialist:
    """Who takes the car when the shop gives up, and what that costs; it always ends the matter."""

    title: str
    effort: Effort


@dataclass(frozen=True, kw_only=True)
class FaultModel:
    """All of one complaint. Checks stand in the order in which a textbook goes through them.

    `unlisted`, with `Causes.ONE`, is the share of cars whose cause is none of those listed; all
    weights and it sum to one. `verify` are the steps that show the complaint before anything else.
    """

    code: str
    title: str
    version: str
    causes: Causes
    faults: tuple[Fault, ...]
    checks: tuple[Check, ...]
    specialist: Specialist
    unlisted: float = 0.0
    system: System
    words: tuple[str, ...] = ()
    words_es: tuple[str, ...] = ()
    verify: tuple[str, ...] = ()
    weights: str = "practitioner’s judgment, from memory"
    sources: tuple[str, ...] = ()

    def fault(self, code: str) -> Fault:
        """Return the fault of this code.

        Raises:
            ValueError: the model has no such fault.
        """
        for fault in self.faults:
            if fault.code == code:
                return fault
        raise ValueError(f"“{self.title}” has no fault “{code}”.")

    def check(self, code: str) -> Check:
        """Return the check of this code.

        Raises:
            ValueError: the model has no such check.
        """
        for check in self.checks:
            if check.code == code:
                return check
        raise ValueError(f"“{self.title}” has no check “{code}”.")


def outcome_row(check: Check, present: Collection[str]) -> tuple[float, ...]:
    """Return the probability of each outcome when exactly these faults are present.

    One listed fault alone gives its own row as it stands. Several give the noisy-MAX of their net
    rows; a row that is no noisy-MAX of the sound one is raised to the nearest that is.
    """
    acting = [check.given[fault] for fault in check.given if fault in present]
    if not acting:
        return check.sound
    if len(acting) == 1:
        return acting[0]
    leak = cumulative(check.sound)
    nets = [net_cumulative(check.sound, row) for row in acting]
    below = [leak[k] * prod(net[k] for net in nets) for k in range(len(leak))]
    return (below[0], *(high - low for low, high in pairwise(below)))


def unlisted_row(check: Check) -> tuple[float, ...]:
    """Return what a cause that is not listed makes of a check.

    Each outcome alike; but where an outcome proves a listed part, what a sound car shows, since
    another cause leaves that part whole.
    """
    if check.names:
        return check.sound
    return (1 / len(check.outcomes),) * len(check.outcomes)


def cumulative(row: tuple[float, ...]) -> tuple[float, ...]:
    """Return the probability of each outcome or a better one.

    It is exactly one from the outcome on after which none can come, whatever the rounding.
    """
    total, found = 0.0, []
    for place, share in enumerate(row, start=1):
        total += share
        found.append(min(total, 1.0) if any(row[place:]) else 1.0)
    return tuple(found)


def net_cumulative(sound: tuple[float, ...], row: tuple[float, ...]) -> tuple[float, ...]:
    """Return a fault's net row, cumulated: its compound row with the rest of the car taken out.

    Net is compound over leak (Díez 1993), here outcome by outcome. It never falls and never
    exceeds one; a compound row that would break this is raised.
    """
    highest, found = 0.0, []
    for leak, share in zip(cumulative(sound), cumulative(row), strict=True):
        highest = max(highest, min(share / leak, 1.0) if leak > 0 else 1.0)
        found.append(highest)
    return tuple(found)


#: The two outcomes of a check that is met or not.
GOOD: Final = Outcome(code="no", label="No")
BAD: Final = Outcome(code="yes", label="Yes")
