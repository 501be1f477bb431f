"""Three ways to work through a complaint: as advised, in the textbook's order, and by proof alone.

As advised: the check that saves most; when none is worth it, the cheapest one that proves the part
to be looked at first; when none does, that part is exposed. In the textbook's order: the same rule
for when to stop and what is confirmed, but the checks as they stand in the model. By proof alone:
all checks as they stand until one proves a part; nothing is weighed.

What exposing a part shows goes into the model as one more check that cannot err, and so does that
the complaint stays when a fault was repaired.

>>> [way.value for way in Way]
['advised', 'textbook', 'proof']
>>> State().with_setups(("warm",)).setups
frozenset({'warm'})
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from enum import StrEnum
from types import MappingProxyType
from typing import TYPE_CHECKING, Final

from vehicles.diagnosis.conclusions import is_confirmed, proof_of
from vehicles.diagnosis.deciding import Decider, Terms
from vehicles.diagnosis.fault_model import BAD, GOOD, Causes, Check, Effort
from vehicles.diagnosis.inference import Contradiction, Reasoner
from vehicles.diagnosis.ranking import Weighing

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from vehicles.diagnosis.fault_model import FaultModel

#: Of two steps ahead so many checks are weighed, as on the page.
BEAM: Final = 3
_TWO: Final = 2
_STILL_THERE: Final = "still there"
_EXPOSED: Final = "exposed {}"
_ROUNDING: Final = 9


class Way(StrEnum):
    """How a technician chooses what to do next."""

    ADVISED = "advised"
    TEXTBOOK = "textbook"
    PROOF = "proof"


class Kind(StrEnum):
    """What is done next; `CONFIRM` repairs a part without another look."""

    CHECK = "check"
    CONFIRM = "confirm"
    EXPOSE = "expose"
    HAND_OVER = "hand_over"


@dataclass(frozen=True, kw_only=True)
class Act:
    """What is done next: with a check or a fault. `clash`: why nothing explains what was seen."""

    kind: Kind
    code: str = ""
    clash: tuple[str, ...] = ()


@dataclass(frozen=True, kw_only=True)
class State:
    """What is known of a car: outcomes seen, setups that are true, and parts done with.

    `settled`: fault code to whether it was there.
    """

    observed: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))
    setups: frozenset[str] = frozenset()
    settled: Mapping[str, bool] = field(default_factory=lambda: MappingProxyType({}))

    def with_outcome(self, check: Check, outcome: str) -> State:
        """Return the state after a check."""
        seen = replace(self, observed={**self.observed, check.code: outcome})
        return seen.with_setups(check.setups)

    def with_setups(self, setups: Sequence[str]) -> State:
        """Return the state with more setups true."""
        return replace(self, setups=self.setups | frozenset(setups))

    def with_fault(self, code: str, *, was_there: bool) -> State:
        """Return the state after a part was exposed or repaired, the complaint still there."""
        return replace(self, settled={**self.settled, code: was_there})


class Technician:
    """Chooses by one model and one way; what was worked out once is remembered."""

    def __init__(self, model: FaultModel, way: Way, terms: Terms, *, steps: int = 1) -> None:
        self.model, self.way, self.terms, self.steps = model, way, terms, steps
        self._reasoners: dict[tuple[tuple[str, bool], ...], Reasoner | None] = {}
        self._acts: dict[object, Act] = {}

    def next_act(self, state: State) -> Act:
        """Return what this technician does in a state."""
        settled = tuple(sorted(state.settled.items()))
        key = (frozenset(state.observed.items()), state.setups, settled)
        if key not in self._acts:
            if self.way is Way.PROOF:
                self._acts[key] = _by_proof(self.model, state)
            else:
                self._acts[key] = self._weighed(state, settled)
        return self._acts[key]

    def _weighed(self, state: State, settled: tuple[tuple[str, bool], ...]) -> Act:
        if settled not in self._reasoners:
            model = known_model(self.model, state.settled)
            self._reasoners[settled] = Reasoner(model) if model else None
        reasoner = self._reasoners[settled]
        if reasoner is None:
            return Act(kind=Kind.HAND_OVER)
        observed = {**state.observed, **exposed(self.model, state.settled)}
        try:
            weighing = Weighing(Decider(reasoner, self._terms_in(state)), observed)
        except Contradiction as contradiction:
            return Act(kind=Kind.HAND_OVER, clash=contradiction.checks)
        return self._chosen(weighing, state)

    def _terms_in(self, state: State) -> Terms:
        return replace(self.terms, done=self.terms.done | state.setups)

    def _chosen(self, weighing: Weighing, state: State) -> Act:
        """Return the act: to confirm, to look further while it is worth it, or to see a part."""
        model, rows = weighing.decider.model, weighing.now
        open_ = {one.code: place for place, one in enumerate(model.faults)}
        open_ = {code: place for code, place in open_.items() if code not in state.settled}
        sure = [code for code, place in open_.items() if _is_sure(weighing, place)]
        if sure:
            first = max(sure, key=lambda code: round(float(rows.root[0, open_[code]]), _ROUNDING))
            return Act(kind=Kind.CONFIRM, code=first)
        if check := self._worthwhile(weighing):
            return Act(kind=Kind.CHECK, code=check)
        order = [model.faults[place].code for place in rows.plans.taken_of(0)]
        suspect = next((code for code in order if code in open_), "")
        if not suspect:
            return Act(kind=Kind.HAND_OVER)
        proving = [code for code in weighing.ranked() if suspect in model.check(code).names]
        if not proving:
            return Act(kind=Kind.EXPOSE, code=suspect)
        minutes = dict(zip(weighing.codes, weighing.step.minutes, strict=True))
        return Act(kind=Kind.CHECK, code=min(proving, key=lambda code: round(minutes[code])))

    def _worthwhile(self, weighing: Weighing) -> str:
        """Return the check to do while looking further is worth it, or nothing."""
        if self.steps == _TWO:
            weighing.look_ahead(BEAM)
        ranked = weighing.ranked()
        margin = self.terms.margin
        is_textbook = self.way is Way.TEXTBOOK
        if is_textbook and ranked and weighing.saving(ranked[0]).is_worth(margin):
            best = ranked[0]
        else:
            best, _ = weighing.best(weighing.opened())
        if not best or not is_textbook:
            return best
        return next(code for code in weighing.codes if code in ranked)


def _is_sure(weighing: Weighing, place: int) -> bool:
    model, p = weighing.decider.model, float(weighing.now.present[0, place])
    return is_confirmed(model, model.faults[place], p, weighing.observed)


def known_model(model: FaultModel, settled: Mapping[str, bool]) -> FaultModel | None:
    """Return the model after parts were exposed or repaired, the complaint being there still.

    What each showed is one more check (`exposed` has their outcomes). A part that is done with
    costs nothing more. None: no cause is left that could be.
    """
    if not settled:
        return model
    checks = [_sure_check(_EXPOSED.format(code), [code]) for code in settled]
    if _is_another(model, settled):
        others = [one.code for one in model.faults if one.code not in settled]
        checks.append(_sure_check(_STILL_THERE, others))
    faults = tuple(
        replace(one, look=Effort(), repair=Effort()) if one.code in settled else one
        for one in model.faults
    )
    known = replace(model, faults=faults, checks=(*model.checks, *checks))
    return _with_shares(known, settled) if model.causes is Causes.ONE else known


def exposed(model: FaultModel, settled: Mapping[str, bool]) -> dict[str, str]:
    """Return the outcomes of the checks that `known_model` adds."""
    seen = {
        _EXPOSED.format(code): BAD.code if was_there else GOOD.code
        for code, was_there in settled.items()
    }
    return {**seen, _STILL_THERE: BAD.code} if _is_another(model, settled) else seen


def _is_another(model: FaultModel, settled: Mapping[str, bool]) -> bool:
    """Return whether another listed fault must be there, one having been repaired in vain."""
    return model.causes is Causes.SEVERAL and any(settled.values())


def _sure_check(code: str, faults: Iterable[str]) -> Check:
    """Return a check that shows without fail whether one of these faults is there.

    It proves them, so that a cause that is not listed shows none of them.
    """
    return Check(
        code=code,
        title=code,
        method="",
        outcomes=(GOOD, BAD),
        sound=(1.0, 0.0),
        given=dict.fromkeys(faults, (0.0, 1.0)),
        names=dict.fromkeys(faults, (BAD.code,)),
    )


def _with_shares(known: FaultModel, settled: Mapping[str, bool]) -> FaultModel | None:
    """Return a model with one root in which no part that is done with is the root."""
    left = {one.code: one.weight for one in known.faults if one.code not in settled}
    total = sum(left.values()) + known.unlisted
    if total <= 0:
        return None
    faults = tuple(replace(one, weight=left.get(one.code, 0.0) / total) for one in known.faults)
    return replace(known, faults=faults, unlisted=known.unlisted / total)


def _by_proof(model: FaultModel, state: State) -> Act:
    """Return the first part that is proven, or the next check that nothing seen bars."""
    for fault in model.faults:
        if fault.code not in state.settled and proof_of(model, fault.code, state.observed):
            return Act(kind=Kind.CONFIRM, code=fault.code)
    for check in model.checks:
        if check.code not in state.observed and _may(check, state.observed):
            return Act(kind=Kind.CHECK, code=check.code)
    return Act(kind=Kind.HAND_OVER)


def _may(check: Check, observed: Mapping[str, str]) -> bool:
    """Return whether a check can be done, for all that was seen."""
    return not any(observed.get(bar.check) in bar.outcomes for bar in check.bars) and all(
        observed.get(after.check) in after.outcomes for after in check.after
    )
