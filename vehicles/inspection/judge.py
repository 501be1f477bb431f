"""A reading becomes a deficiency class, with the sentence that says why.

>>> from vehicles.inspection.catalogue import load
>>> tread = load().criteria["tire-tread"]
>>> str(judge(tread, "1/32").sentence)
'1/32 in of tread, the limit is 2/32 in.'
>>> judge(tread, "1/32").deficiency
<DeficiencyClass.DANGEROUS: 'dangerous'>
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import TYPE_CHECKING

from shared.say import Say, say
from vehicles.inspection import units
from vehicles.inspection.criteria import NONE, DeficiencyClass
from vehicles.inspection.reading import MARKED, compared, typed

if TYPE_CHECKING:
    from collections.abc import Sequence
    from fractions import Fraction

    from vehicles.inspection.criteria import Criterion, Limit, Reason

GOOD = "good"
_LEAST_SEVERE = 4


@dataclass(frozen=True, kw_only=True)
class Judgment:
    """What a reading means. `deficiency` is the class that ranks; the rest says why and what for.

    `us_reject` and `eu_class` are two facts: what 49 CFR 570 says, what the EU item says.
    """

    deficiency: DeficiencyClass
    sentence: Say
    limit: str  # as written on the page; empty for a criterion that is seen
    source: str
    text_seen: bool
    reason: Reason | None = None
    severity: int = _LEAST_SEVERE
    never_release: bool = False
    strands: bool = False
    us_reject: bool = False
    compared: Fraction | None = None  # the number in the unit of the criterion
    shipped_limit: str = ""  # where a local limit judged, the one it stands for
    limit_because: str = ""  # and why the program moved it

    @property
    def eu_class(self) -> DeficiencyClass:
        """The class of the EU item alone."""
        return self.reason.eu_class if self.reason else DeficiencyClass.NONE

    @property
    def stops(self) -> bool:
        """Whether it ends a look."""
        return self.reason is not None and self.reason.stops


def judge(criterion: Criterion, value: str, unit: str = "") -> Judgment:
    """Return what the reading means.

    A measured criterion takes a number as typed ('3/32', '1.6 mm', '12.4'), in `unit` or else in
    the criterion's own; where the limit is marked on the part, both ('22.4 min 23'). One that is
    seen takes 'good' or the key of a reason.

    Raises:
        ValueError: the value is not of that kind, or no car could have it; the text says what to
            type.
    """
    if not criterion.is_measured:
        return _judge_seen(criterion, value)
    given, marked = typed(criterion, value, unit)
    number = compared(criterion, given)
    if marked is not None:
        number -= compared(criterion, marked)
    return _judge_number(criterion, given, number, marked=marked)


def _judge_seen(criterion: Criterion, value: str) -> Judgment:
    if value.strip().lower() == GOOD:
        return _judgment(criterion, None, say("{title}: good.", title=criterion.title))
    reason = criterion.reason(value)
    return _judgment(criterion, reason, say("{text}.", text=reason.text))


def _judge_number(
    criterion: Criterion,
    given: units.Quantity,
    number: Fraction,
    *,
    marked: units.Quantity | None = None,
) -> Judgment:
    """Return what the number means by the first limit that catches it."""
    caught = next((limit for limit in criterion.limits if limit.catches(number)), None)
    reason = criterion.reason(caught.reason) if caught and caught.reason != NONE else None
    value = _own_style(criterion, given)
    if marked is not None:
        limit = _own_style(criterion, marked)
        sentence = say(
            "{value} {phrase}, the maker's {kind} is {limit}.",
            value=value,
            phrase=criterion.phrase,
            kind=MARKED[criterion.marked_limit],
            limit=limit,
        )
        return _judgment(criterion, reason, sentence, limit=limit, compared=number)
    judging = [caught] if caught and reason else _kept(criterion.limits)
    ends = [one.value for one in judging]
    judgment = _judgment(
        criterion,
        reason,
        _against(criterion, value, ends, given.unit),
        limit=_limit_text(ends, criterion.unit),
        compared=number,
    )
    return _with_shipped(criterion, judgment, judging)


def _with_shipped(criterion: Criterion, judgment: Judgment, judging: list[Limit]) -> Judgment:
    """Return the judgment with the shipped limit beside the local one that judged, if one did."""
    named = {limit.reason for limit in judging}
    moved = [override for override in criterion.overrides if override.reason in named]
    if not moved:
        return judgment
    caught = judgment.reason is not None
    shipped = [one for one in criterion.shipped_limits if one.reason in named and caught]
    ends = [one.value for one in shipped or _kept(criterion.shipped_limits)]
    return replace(
        judgment,
        shipped_limit=_limit_text(ends, criterion.unit),
        limit_because=moved[-1].because,
    )


def _against(criterion: Criterion, value: str, ends: list[Fraction], code: str) -> Say:
    """Return the number beside its limit, which is given in the unit typed as well."""
    limit = _limit_text(ends, criterion.unit)
    if code != criterion.unit and (code, criterion.unit) != ("in", "32nds"):
        in_typed = [units.convert(end, criterion.unit, code) for end in ends]
        limit = f"{limit} ({_limit_text(in_typed, code)})"
    if len(ends) == 1:
        return say(
            "{value} {phrase}, the limit is {limit}.",
            value=value,
            phrase=criterion.phrase,
            limit=limit,
        )
    return say(
        "{value} {phrase}, the limits are {limit}.",
        value=value,
        phrase=criterion.phrase,
        limit=limit,
    )


def _own_style(criterion: Criterion, given: units.Quantity) -> str:
    """Return the number as typed, but inches as 32nds where the criterion is read so."""
    if criterion.unit == "32nds" and given.unit == "in":
        return units.show(units.convert(given.value, "in", "32nds"), "32nds")
    return str(given)


def _kept(limits: Sequence[Limit]) -> list[Limit]:
    """Return the limits that a good number keeps: a lower one, an upper one, or both."""
    kept = [limit for limit in limits if limit.reason != NONE]
    lows = [limit for limit in kept if limit.is_lower]
    highs = [limit for limit in kept if not limit.is_lower]
    return [
        *([max(lows, key=lambda one: one.value)] if lows else []),
        *([min(highs, key=lambda one: one.value)] if highs else []),
    ]


def _limit_text(ends: list[Fraction], code: str) -> str:
    *lower, upper = ends
    start = "".join(f"{units.number(end, fractions=code == 'in')} to " for end in lower)
    return start + units.show(upper, code)


def _judgment(
    criterion: Criterion,
    reason: Reason | None,
    sentence: Say,
    *,
    limit: str = "",
    compared: Fraction | None = None,
) -> Judgment:
    """Return the judgment with everything its reason brings along."""
    if reason is None:
        return Judgment(
            deficiency=DeficiencyClass.NONE,
            sentence=sentence,
            limit=limit,
            source=criterion.source,
            text_seen=criterion.text_seen,
            compared=compared,
        )
    return Judgment(
        deficiency=reason.ranks_as,
        sentence=sentence,
        limit=limit,
        source=reason.sources,
        text_seen=reason.sources_seen,
        reason=reason,
        severity=reason.severity,
        never_release=reason.never_release,
        strands=reason.strands,
        us_reject=reason.us_reject,
        compared=compared,
    )
