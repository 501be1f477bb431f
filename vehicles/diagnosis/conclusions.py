"""What may be concluded: confirmed, probable, ruled out or not to be told; and what came first.

A fault is confirmed when it is nearly certain and something seen proves the part itself. A part of
brakes, steering, suspension, tires, wheels, belts and airbags is never even probable by figures
alone. Where it can't be told, no single cause is named. A confirmed fault that something else is
likely to have brought about is not the end: the part would be killed again.

The figures are those of `likelihood`; what proves a part is said by the model.

>>> sorted(system.value for system in TO_BE_SEEN)
['brakes', 'restraint', 'steering', 'suspension', 'tires', 'wheels']
>>> standing(0.95, proven=True, to_be_seen=True), standing(0.95, proven=False, to_be_seen=True)
(<Standing.CONFIRMED: 'confirmed'>, <Standing.OPEN: 'open'>)
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from itertools import pairwise
from typing import TYPE_CHECKING, Final

from shared.say import Say, say
from vehicles.diagnosis.likelihood import LIKELY, NEARLY_CERTAIN, RULED_OUT, words_and_figure
from vehicles.shop.systems import System

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from vehicles.diagnosis.fault_model import Check, Fault, FaultModel
    from vehicles.diagnosis.inference import Belief

#: A part of these is seen bad before it is called so, whatever the figures say.
TO_BE_SEEN: Final = frozenset(
    {
        System.BRAKES,
        System.STEERING,
        System.SUSPENSION,
        System.TIRES,
        System.WHEELS,
        System.RESTRAINT,
    }
)

_ROUNDING: Final = 1e-9
_CHECKS_NAMED: Final = 3
_CAUSES_NAMED: Final = 3


class Standing(StrEnum):
    """How far the conclusion about one fault goes."""

    CONFIRMED = "confirmed"
    PROBABLE = "probable"
    OPEN = "open"
    RULED_OUT = "ruled_out"


@dataclass(frozen=True, kw_only=True)
class Judged:
    """One fault: how likely, how it stands, the observations that prove it, and the sentence."""

    fault: Fault
    probability: float
    standing: Standing
    proof: tuple[tuple[str, str], ...]
    sentence: Say


@dataclass(frozen=True, kw_only=True)
class Chain:
    """A confirmed fault and the confirmed ones that brought it about, the first cause last.

    `look_for` are faults that may have brought about the last of them, together likely, none of
    them confirmed; `checks` are those that tell. `brought`: the chance that one of them did.
    """

    faults: tuple[str, ...]
    look_for: tuple[str, ...]
    checks: tuple[str, ...]
    brought: float
    sentences: tuple[Say, ...]

    @property
    def root(self) -> str:
        """The first cause, or "" while it is still to be looked for."""
        return "" if self.look_for else self.faults[-1]


@dataclass(frozen=True, kw_only=True)
class Conclusion:
    """All faults in the order of the model, the chains of confirmed ones, and the sentence."""

    judged: tuple[Judged, ...]
    chains: tuple[Chain, ...]
    sentence: Say

    def of(self, standing: Standing) -> tuple[Judged, ...]:
        """Return the faults that stand so, the likeliest first."""
        found = [one for one in self.judged if one.standing is standing]
        return tuple(sorted(found, key=lambda one: -one.probability))

    @property
    def confirmed(self) -> tuple[str, ...]:
        """The codes of the confirmed faults, the likeliest first."""
        return tuple(one.fault.code for one in self.of(Standing.CONFIRMED))


def conclude(model: FaultModel, belief: Belief, observed: Mapping[str, str]) -> Conclusion:
    """Return what may be concluded from a belief and the observations it rests on."""
    judged = tuple(_judged(model, fault, belief, observed) for fault in model.faults)
    confirmed = {one.fault.code for one in judged if one.standing is Standing.CONFIRMED}
    chains = tuple(
        _chain(model, belief, observed, confirmed, one.fault)
        for one in judged
        if one.fault.code in confirmed and not _brings_about_another(model, one.fault, confirmed)
    )
    return Conclusion(judged=judged, chains=chains, sentence=_whole(judged, belief))


def standing(p: float, *, proven: bool, to_be_seen: bool) -> Standing:
    """Return how a fault of this probability stands.

    `proven`: something seen proves the part. `to_be_seen`: it belongs to `TO_BE_SEEN`.
    """
    if p <= RULED_OUT + _ROUNDING:
        return Standing.RULED_OUT
    nearly = p >= NEARLY_CERTAIN - _ROUNDING
    if nearly and proven:
        return Standing.CONFIRMED
    if (nearly and not to_be_seen) or (proven and p >= LIKELY - _ROUNDING):
        return Standing.PROBABLE
    return Standing.OPEN


def proof_of(
    model: FaultModel, fault: str, observed: Mapping[str, str]
) -> tuple[tuple[str, str], ...]:
    """Return check and outcome of each observation that is physical proof of the fault."""
    return tuple(
        (check.code, observed[check.code])
        for check in model.checks
        if check.code in observed and observed[check.code] in check.names.get(fault, ())
    )


def is_confirmed(model: FaultModel, fault: Fault, p: float, observed: Mapping[str, str]) -> bool:
    """Return whether a fault of this probability is confirmed by what was observed."""
    proven = bool(proof_of(model, fault.code, observed))
    to_be_seen = fault.system in TO_BE_SEEN
    return standing(p, proven=proven, to_be_seen=to_be_seen) is Standing.CONFIRMED


def _judged(model: FaultModel, fault: Fault, belief: Belief, observed: Mapping[str, str]) -> Judged:
    p = belief.present[fault.code]
    proof = proof_of(model, fault.code, observed)
    to_be_seen = fault.system in TO_BE_SEEN
    stands = standing(p, proven=bool(proof), to_be_seen=to_be_seen)
    return Judged(
        fault=fault,
        probability=p,
        standing=stands,
        proof=proof,
        sentence=_sentence(model, fault, p, stands, proof),
    )


def _sentence(
    model: FaultModel, fault: Fault, p: float, stands: Standing, proof: Sequence[tuple[str, str]]
) -> Say:
    known = {"fault": fault.title, "sure": words_and_figure(p)}
    if proof:
        check = model.check(proof[0][0])
        known |= {"check": check.title, "seen": check.outcomes[check.place(proof[0][1])].label}
    if stands is Standing.CONFIRMED:
        return say("{fault}: confirmed ({sure}); {check}: {seen}.", **known)
    if stands is Standing.RULED_OUT:
        return say("{fault}: ruled out.", **known)
    if proof:
        return say("{fault}: {sure}; {check}: {seen}, which is not enough by itself.", **known)
    if p >= LIKELY - _ROUNDING:
        return say("{fault}: {sure}, but nothing seen proves the part yet.", **known)
    return say("{fault}: cannot tell ({sure}).", **known)


def _whole(judged: Sequence[Judged], belief: Belief) -> Say:
    """Return the conclusion as one sentence. One name stands alone only where it is confirmed."""
    order = sorted(judged, key=lambda one: -one.probability)

    def titles(stands: Standing) -> list[object]:
        return [one.fault.title for one in order if one.standing is stands]

    if confirmed := titles(Standing.CONFIRMED):
        return say("Confirmed: {faults}.", faults=_listed(confirmed))
    if probable := titles(Standing.PROBABLE):
        return say("Probable, not confirmed: {faults}.", faults=_listed(probable))
    causes = titles(Standing.OPEN)[:_CAUSES_NAMED]
    if belief.unlisted > RULED_OUT or len(causes) <= 1:
        causes.append(say("a cause that is not listed"))
    return say("Cannot tell yet. Open: {faults}.", faults=_listed(causes))


def _listed(names: Sequence[object]) -> Say:
    found = say("{name}", name=names[0])
    for name in names[1:]:
        found = say("{before}; {name}", before=found, name=name)
    return found


def _brings_about_another(model: FaultModel, fault: Fault, confirmed: set[str]) -> bool:
    return any(fault.code in one.caused_by for one in model.faults if one.code in confirmed)


def _chain(
    model: FaultModel,
    belief: Belief,
    observed: Mapping[str, str],
    confirmed: set[str],
    fault: Fault,
) -> Chain:
    path = [fault]
    while causes := [code for code in path[-1].caused_by if code in confirmed]:
        strongest = max(causes, key=lambda code: (path[-1].caused_by[code], belief.root[code]))
        path.append(model.fault(strongest))
    last = path[-1]
    brought = _brought(belief, last)
    look_for = _possible_causes(belief, last) if brought >= LIKELY - _ROUNDING else ()
    checks = checks_that_tell(model, belief, observed, look_for)
    return Chain(
        faults=tuple(one.code for one in path),
        look_for=look_for,
        checks=tuple(check.code for check in checks),
        brought=brought,
        sentences=(
            *(
                say("{cause} brought about {fault}.", cause=cause.title, fault=fault.title)
                for fault, cause in pairwise(path)
            ),
            *_to_look_for(last, checks, look_for),
        ),
    )


def _to_look_for(fault: Fault, checks: Sequence[Check], look_for: Sequence[str]) -> tuple[Say, ...]:
    if not look_for:
        return ()
    if not checks:
        return (say("Look for what brought about {fault}.", fault=fault.title),)
    titles = _listed([check.title for check in checks])
    return (
        say(
            "Look for what brought about {fault}. These tell: {checks}.",
            fault=fault.title,
            checks=titles,
        ),
    )


def _brought(belief: Belief, fault: Fault) -> float:
    """Return the chance that the fault has one of its listed causes beside it."""
    present = belief.present[fault.code]
    if not fault.caused_by or present <= 0:
        return 0.0
    return max(1 - belief.root[fault.code] / present, 0.0)


def _possible_causes(belief: Belief, fault: Fault) -> tuple[str, ...]:
    """Return the causes that are not ruled out, the likeliest first."""
    found = [code for code in fault.caused_by if belief.present[code] > RULED_OUT + _ROUNDING]
    return tuple(sorted(found, key=lambda code: -belief.present[code]))


def checks_that_tell(
    model: FaultModel, belief: Belief, observed: Mapping[str, str], faults: Sequence[str]
) -> tuple[Check, ...]:
    """Return the few checks not done yet that part these faults best from a sound car.

    By the distance between the two rows of outcomes, weighed by how likely the fault is.
    """

    def tells(check: Check) -> float:
        return sum(
            belief.present[code]
            * sum(abs(a - b) for a, b in zip(check.given[code], check.sound, strict=True))
            for code in faults
            if code in check.given
        )

    rest = [check for check in model.checks if check.code not in observed and tells(check) > 0]
    return tuple(sorted(rest, key=lambda check: -round(tells(check), 9))[:_CHECKS_NAMED])
