"""What moved a fault, and what would change the conclusion.

An observation moves a fault by its likelihood ratio, given all the others: how much likelier it is
with the fault than without. Odds are multiplied by it, so it is found from the belief with the
observation and without it. Ten times its decimal logarithm is its weight in decibans, which add
up: ten of them are ten to one, one is a change that is just noticed (Good 1950, from memory).

>>> round(decibans(10.0), 1), decibans(0.0)
(10.0, -inf)
>>> str(times(6.2)), str(times(0.25)), str(times(inf))
('× 6.2', '÷ 4.0', '× 1000+')
"""

from __future__ import annotations

from dataclasses import dataclass
from math import inf, log10
from typing import TYPE_CHECKING, Final

from shared.say import Say, say
from vehicles.diagnosis.inference import Contradiction

if TYPE_CHECKING:
    from collections.abc import Mapping

    from vehicles.diagnosis.fault_model import FaultModel
    from vehicles.diagnosis.inference import Belief, Reasoner

#: An observation that the others make less likely than this fits badly. Own choice: of cars drawn
#: from the shipped models, with seven checks each, it warned in 2 of 100, and in 18 of 100 where
#: one reading was changed; at 0.05 in 7 and 36.
HARDLY: Final = 0.03

# A likelihood ratio this near to one moves nothing.
_STILL: Final = 1e-9
_FEWEST: Final = 2  # observations that can fit together badly
# A ratio beyond this is shown as more than it.
_MOST_SHOWN: Final = 1000
_ROUNDING: Final = 9


@dataclass(frozen=True, kw_only=True)
class Moved:
    """How one observation moved one fault; `ratio` is its likelihood ratio, `decibans` its weight.

    `against`: the rival, with the ratio between the two; None: against the fault's absence.
    """

    check: str
    outcome: str
    fault: str
    against: str | None
    ratio: float
    decibans: float
    sentence: Say


@dataclass(frozen=True, kw_only=True)
class Weighed:
    """The leading root, its rival, and what moved them: the largest first, for and against.

    `leading` and `rival` are fault codes, or "" for a cause that is not listed.
    """

    leading: str
    rival: str
    for_it: tuple[Moved, ...]
    against_it: tuple[Moved, ...]
    over_rival: tuple[Moved, ...]
    under_rival: tuple[Moved, ...]


@dataclass(frozen=True, kw_only=True)
class Flip:
    """An observation that, had it been `instead`, would make another fault the leading one."""

    check: str
    outcome: str
    instead: str
    leading: str
    probability: float
    sentence: Say


@dataclass(frozen=True, kw_only=True)
class Clash:
    """The observation that fits worst, and how likely the others make it."""

    check: str
    probability: float
    sentence: Say


def moves(reasoner: Reasoner, observed: Mapping[str, str], fault: str) -> tuple[Moved, ...]:
    """Return what moved a fault, the largest weight first, ties in the order of the model.

    Raises:
        Contradiction: nothing explains what was observed.
    """
    after = reasoner.believe(observed).present[fault]
    found = []
    for check, rest in _left_out(reasoner, observed):
        before = rest.present[fault]
        ratio = _ratio(after, before, 1 - after, 1 - before)
        found.append(_moved(reasoner.model, observed, check, fault, ratio))
    return _largest(found)


def weigh(reasoner: Reasoner, observed: Mapping[str, str], *, most: int = 3) -> Weighed:
    """Return what speaks for and against the leading root, alone and beside its rival.

    Raises:
        Contradiction: nothing explains what was observed.
    """
    belief = reasoner.believe(observed)
    leading, rival = _ranked(belief)[:2]
    alone = moves(reasoner, observed, leading) if leading else ()
    beside = _between(reasoner, observed, belief, leading, rival)
    return Weighed(
        leading=leading,
        rival=rival,
        for_it=tuple(one for one in alone if one.decibans > 0)[:most],
        against_it=tuple(one for one in alone if one.decibans < 0)[:most],
        over_rival=tuple(one for one in beside if one.decibans > 0)[:most],
        under_rival=tuple(one for one in beside if one.decibans < 0)[:most],
    )


def flips(reasoner: Reasoner, observed: Mapping[str, str]) -> tuple[Flip, ...]:
    """Return each single observation that would change the leading root, had it been otherwise.

    Outcomes that can't be beside the rest are passed over. In the order of the model.

    Raises:
        Contradiction: nothing explains what was observed.
    """
    model = reasoner.model
    leading = _ranked(reasoner.believe(observed))[0]
    found = []
    for check in (one for one in model.checks if one.code in observed):
        for outcome in check.outcomes:
            if outcome.code == observed[check.code]:
                continue
            try:
                belief = reasoner.believe({**observed, check.code: outcome.code})
            except Contradiction:
                continue
            other = _ranked(belief)[0]
            if other != leading:
                found.append(_flip(model, observed, check.code, outcome.code, belief))
    return tuple(found)


def clash(reasoner: Reasoner, observed: Mapping[str, str]) -> Clash | None:
    """Return a warning when one observation is hardly to be expected beside all the others.

    Named is the one that the others make least likely; of equal ones the first of the model.

    Raises:
        Contradiction: nothing explains what was observed; its text is the sentence to show.
    """
    whole = reasoner.believe(observed).evidence
    if len(observed) < _FEWEST:
        return None
    chances = [
        (round(whole / rest.evidence, _ROUNDING), check)
        for check, rest in _left_out(reasoner, observed)
    ]
    probability, check = min(chances, key=lambda one: one[0])
    if probability >= HARDLY:
        return None
    sentence = say(
        "What was seen fits together badly, most of all {seen}. A reading may be wrong, more than "
        "one fault may be there, or the cause is not listed. Do that check again.",
        seen=_seen(reasoner.model, check, observed[check]),
    )
    return Clash(check=check, probability=probability, sentence=sentence)


def decibans(ratio: float) -> float:
    """Return the weight of a likelihood ratio: ten times its decimal logarithm."""
    if ratio <= 0:
        return -inf
    return 10 * log10(ratio)


def times(ratio: float) -> Say:
    """Return a likelihood ratio as it is shown: `× 6.2`, or `÷ 4.0` where it is under one."""
    if ratio <= 0:
        return say("rules it out")
    large = max(ratio, 1 / ratio)
    shown = f"{large:.1f}" if large <= _MOST_SHOWN else f"{_MOST_SHOWN}+"
    return say("× {factor}", factor=shown) if ratio >= 1 else say("÷ {factor}", factor=shown)


def _left_out(reasoner: Reasoner, observed: Mapping[str, str]) -> list[tuple[str, Belief]]:
    """Return for each observation, in the order of the model, what is believed without it."""
    codes = [check.code for check in reasoner.model.checks if check.code in observed]
    return [
        (code, reasoner.believe({k: seen for k, seen in observed.items() if k != code}))
        for code in codes
    ]


def _ranked(belief: Belief) -> list[str]:
    """Return the roots, and "" for what is not listed, the likeliest first."""
    chances = {**belief.root, "": belief.unlisted}
    return sorted(chances, key=lambda code: -round(chances[code], _ROUNDING))


def _root(belief: Belief, code: str) -> float:
    return belief.root[code] if code else belief.unlisted


def _between(
    reasoner: Reasoner, observed: Mapping[str, str], belief: Belief, leading: str, rival: str
) -> tuple[Moved, ...]:
    """Return what moved the leading root beside its rival."""
    found = []
    for check, rest in _left_out(reasoner, observed):
        ratio = _ratio(
            _root(belief, leading), _root(rest, leading), _root(belief, rival), _root(rest, rival)
        )
        found.append(_moved(reasoner.model, observed, check, leading, ratio, rival))
    return _largest(found)


def _ratio(after: float, before: float, other_after: float, other_before: float) -> float:
    """Return (after / before) / (other after / other before); impossible before: moves nothing."""
    if before <= 0 or other_before <= 0:
        return 1.0
    if other_after <= 0:
        return inf if after > 0 else 1.0
    ratio = (after / before) / (other_after / other_before)
    return 1.0 if abs(ratio - 1) < _STILL else ratio


def _largest(found: list[Moved]) -> tuple[Moved, ...]:
    return tuple(sorted(found, key=lambda one: -round(abs(one.decibans), _ROUNDING)))


def _moved(
    model: FaultModel,
    observed: Mapping[str, str],
    check: str,
    fault: str,
    ratio: float,
    against: str | None = None,
) -> Moved:
    sentence = say(
        "{seen}: {fault} {times}",
        seen=_seen(model, check, observed[check]),
        fault=_title(model, fault),
        times=times(ratio),
    )
    return Moved(
        check=check,
        outcome=observed[check],
        fault=fault,
        against=against,
        ratio=ratio,
        decibans=decibans(ratio),
        sentence=sentence,
    )


def _flip(
    model: FaultModel, observed: Mapping[str, str], check: str, instead: str, belief: Belief
) -> Flip:
    leading = _ranked(belief)[0]
    sentence = say(
        "If “{check}” had shown “{instead}”, {fault} would lead.",
        check=model.check(check).title,
        instead=_label(model, check, instead),
        fault=_title(model, leading),
    )
    return Flip(
        check=check,
        outcome=observed[check],
        instead=instead,
        leading=leading,
        probability=_root(belief, leading),
        sentence=sentence,
    )


def _title(model: FaultModel, code: str) -> object:
    return model.fault(code).title if code else say("a cause that is not listed")


def _label(model: FaultModel, check: str, outcome: str) -> str:
    found = model.check(check)
    return found.outcomes[found.place(outcome)].label


def _seen(model: FaultModel, check: str, outcome: str) -> Say:
    return say(
        "{check}: {label}", check=model.check(check).title, label=_label(model, check, outcome)
    )
