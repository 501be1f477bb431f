"""All that follows from a diagnosis as it stands: how likely, what moved it, what to do next.

>>> LEAST_SHOWN
0.01
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from shared.say import say
from vehicles.diagnosis.advice import next_checks
from vehicles.diagnosis.conclusions import conclude
from vehicles.diagnosis.deciding import Decider, Terms
from vehicles.diagnosis.evidence import clash, flips, weigh
from vehicles.diagnosis.fault_model import Causes
from vehicles.diagnosis.inference import Contradiction, Reasoner
from vehicles.diagnosis.likelihood import figure, word
from vehicles.diagnosis.setups import load as load_setups
from vehicles.diagnosis.textbook import exposed, known_model
from vehicles.diagnosis.values import Bar

if TYPE_CHECKING:
    from collections.abc import Mapping

    from shared.say import Say
    from vehicles.diagnosis.advice import Advice
    from vehicles.diagnosis.belief import Belief
    from vehicles.diagnosis.conclusions import Conclusion, Judged
    from vehicles.diagnosis.evidence import Clash, Flip, Weighed
    from vehicles.diagnosis.fault_model import Check
    from vehicles.diagnosis.values import Session, Step

MOST_BARS = 8
LEAST_SHOWN = 0.01  # a fault under it now and at the beginning is not drawn


@dataclass(frozen=True, kw_only=True)
class Contradicted:
    """What was seen can't all be: the sentence, and the observations to look at again."""

    sentence: Say
    steps: tuple[Step, ...]


@dataclass(frozen=True, kw_only=True)
class Looking:
    """All that follows from what was seen so far."""

    bars: tuple[Bar, ...]
    hidden: int
    belief: Belief
    advice: Advice
    conclusion: Conclusion
    weighed: Weighed
    flips: tuple[Flip, ...]
    clash: Clash | None
    settled: frozenset[str] = frozenset()

    @property
    def leading(self) -> Bar:
        """The likeliest cause, also where it is none that is listed."""
        return max(self.bars, key=lambda one: one.now)

    @property
    def suspect(self) -> str:
        """The fault to look at first once searching is over; empty where one is to be repaired."""
        order = [code for code in self.advice.repair_order if code not in self.settled]
        waits = set(self.conclusion.confirmed) - self.settled
        return order[0] if self.advice.stop and order and not waits else ""

    @property
    def upcoming(self) -> str:
        """The check to do next: the best one, or the one that proves the suspect."""
        if self.advice.best or not self.suspect:
            return self.advice.best
        proving = (
            one.check.code
            for one in self.advice.options
            if one.is_open and self.suspect in one.check.names
        )
        return next(proving, "")

    @property
    def offered(self) -> tuple[Judged, ...]:
        """The confirmed faults."""
        codes = self.conclusion.confirmed
        return tuple(one for one in self.conclusion.judged if one.fault.code in codes)


def looking(session: Session, *, steps: int = 1) -> Looking | Contradicted:
    """Return what follows from a diagnosis as it stands, or what contradicts itself in it."""
    reasoner = Reasoner(session.model)
    observed = session.observed
    try:
        belief = reasoner.believe(observed)
    except Contradiction as contradiction:
        return _contradicted(session, contradiction)
    before = reasoner.believe({}) if observed else belief
    bars, hidden = bars_of(session, belief, before)
    return Looking(
        bars=bars,
        hidden=hidden,
        belief=belief,
        advice=_advice(session, reasoner, steps),
        conclusion=conclude(session.model, belief, observed),
        weighed=weigh(reasoner, observed),
        flips=flips(reasoner, observed),
        clash=clash(reasoner, observed),
        settled=session.settled,
    )


def _advice(session: Session, reasoner: Reasoner, steps: int) -> Advice:
    """Return what to do next; once parts were repaired, for a complaint that is still there."""
    settled = dict.fromkeys(sorted(session.settled), True)
    known = known_model(session.model, settled) if settled else None
    if known:
        seen = {**session.observed, **exposed(session.model, settled)}
        try:
            return next_checks(Reasoner(known), seen, terms_of(session), steps=steps, beam=3)
        except Contradiction:
            pass  # what was repaired explains nothing that was seen: as if it had not been
    return next_checks(reasoner, session.observed, terms_of(session), steps=steps, beam=3)


def terms_of(session: Session) -> Terms:
    """Return what holds in the shop for this diagnosis."""
    return Terms(
        rate=session.rate,
        setups=load_setups(),
        done=session.setups,
        skipped=frozenset(session.missed),
    )


def bars_of(session: Session, belief: Belief, before: Belief) -> tuple[tuple[Bar, ...], int]:
    """Return the faults worth drawing, the likeliest first, and how many are not drawn.

    What is not listed stands last.
    """
    faults = sorted(session.model.faults, key=lambda one: -round(belief.present[one.code], 9))
    drawn = [
        one
        for one in faults
        if max(belief.present[one.code], before.present[one.code]) >= LEAST_SHOWN
    ][:MOST_BARS]
    rows = [_bar(one.code, one.title, belief.present, before.present) for one in drawn]
    several = session.model.causes is Causes.SEVERAL
    title = say("None of these") if several else say("Cause not listed")
    last = Bar(
        code="",
        title=str(title),
        now=belief.unlisted,
        before=before.unlisted,
        figure=figure(belief.unlisted),
        figure_before=figure(before.unlisted),
        word=word(belief.unlisted),
        unlisted=True,
    )
    return (*rows, last), len(faults) - len(drawn)


def _bar(code: str, title: str, now: Mapping[str, float], before: Mapping[str, float]) -> Bar:
    return Bar(
        code=code,
        title=title,
        now=now[code],
        before=before[code],
        figure=figure(now[code]),
        figure_before=figure(before[code]),
        word=word(now[code]),
    )


def _contradicted(session: Session, contradiction: Contradiction) -> Contradicted:
    return Contradicted(
        sentence=say("{sentence}", sentence=str(contradiction)),
        steps=tuple(step for step in session.steps if step.check in contradiction.checks),
    )


def against(session: Session, check: Check) -> list[str]:
    """Return what bars a check now, and what has to be seen before it, each as a sentence.

    What the check itself showed does not count: it is about to be seen again.
    """
    decider = Decider(Reasoner(session.model), terms_of(session))
    observed = {code: seen for code, seen in session.observed.items() if code != check.code}
    try:
        present = decider.now(observed).present[0]
    except Contradiction as contradiction:
        return [str(contradiction)]
    titles = {one.code: one.title for one in session.model.checks}
    first = decider.first(check.code, observed)
    return [
        *decider.barred(check.code, observed, present),
        *(f"First {titles[one.check]}: {one.because}" for one in first),
    ]
