"""A reading becomes a deficiency class, with the sentence that says why.

>>> from vehicles.inspection.catalogue import load
>>> tread = load().criteria["tire-tread"]
>>> str(judge(tread, "1/32").sentence)
'1/32 in of tread, the limit is 2/32 in.'
>>> judge(tread, "1/32").deficiency
<DeficiencyClass.DANGEROUS: 'dangerous'>
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from shared.say import Say, say
from vehicles.inspection import units
from vehicles.inspection.criteria import NONE, DeficiencyClass

if TYPE_CHECKING:
    from fractions import Fraction

    from vehicles.inspection.criteria import Criterion, Limit, Reason

GOOD = "good"
_LEAST_SEVERE = 4


@dataclass(frozen=True, kw_only=True)
class Judgment:
    """What a reading means. `deficiency` is the class that ranks; the rest says why and what for.

    `us_reject` and `reason.deficiency` are two facts: what 49 CFR 570 says, what the EU item says.
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
    typed, marked = _typed(criterion, value, unit)
    compared = units.convert(typed.value, typed.unit, criterion.unit)
    _refuse_nonsense(criterion, typed, compared)
    if marked is None:
        return _judge_number(criterion, typed, compared)
    limit = units.convert(marked.value, marked.unit, criterion.unit)
    _refuse_nonsense(criterion, marked, limit)
    return _judge_number(criterion, typed, compared - limit, marked=marked)


def _judge_seen(criterion: Criterion, value: str) -> Judgment:
    if value.strip().lower() == GOOD:
        return _judgment(criterion, None, say("{title}: good.", title=criterion.title))
    try:
        reason = criterion.reason(value)
    except ValueError as error:
        raise ValueError(f"{criterion.title} is “good” or a reason. {error}") from None
    return _judgment(criterion, reason, say("{text}.", text=reason.text))


def _typed(
    criterion: Criterion, value: str, unit: str
) -> tuple[units.Quantity, units.Quantity | None]:
    """Return the number that was typed and the limit typed with it, if the part bears one."""
    word = criterion.marked_limit
    first, found, second = value.lower().partition(word) if word else (value, "", "")
    if word and not found:
        raise ValueError(
            f"{criterion.title} is typed with the {_MARKED[word]} marked on the part: "
            f"“{units.number(criterion.high / 2)} {word} {units.number(criterion.high / 4)}”."
        )
    typed = _quantity(criterion, first, unit)
    return typed, _quantity(criterion, second, unit or typed.unit) if word else None


def _quantity(criterion: Criterion, text: str, unit: str) -> units.Quantity:
    """Return the number that was typed, in a unit that the criterion can be read in.

    A unit typed with the number wins over the one beside it, unless the two disagree.
    """
    try:
        beside = units.unit(unit).code if unit.strip() else criterion.unit
        typed = units.parse(text, beside)
    except ValueError as error:
        raise ValueError(f"{error} {_hint(criterion)}") from None
    for code in (beside, typed.unit):
        if units.UNITS[code].measures != units.UNITS[criterion.unit].measures:
            raise ValueError(
                f"{criterion.title} is read in {_readable(criterion)}, "
                f"not {units.UNITS[code].name}."
            )
    return typed


def _hint(criterion: Criterion) -> str:
    return (
        f"{criterion.title} takes {units.number(criterion.low)} to "
        f"{units.number(criterion.high)}, in {_readable(criterion)}."
    )


def _readable(criterion: Criterion) -> str:
    """Return the units to offer: the criterion's own, and the metric one of its kind."""
    own, *others = units.same_kind(criterion.unit)
    second = [one.name for one in others if one.code in _OFFERED][:1]
    return " or ".join([own.name, *second])


_OFFERED = {"mm", "in", "kPa", "N", "degC", "psi", "lbf"}
_MARKED = {"min": "minimum", "max": "maximum"}


def _refuse_nonsense(criterion: Criterion, typed: units.Quantity, number: Fraction) -> None:
    """Refuse a number outside the plausible range, naming the range in the unit typed."""
    if criterion.low <= number <= criterion.high:
        return
    code = criterion.unit if typed.unit == "in" and criterion.unit == "32nds" else typed.unit
    low, high = (
        units.number(units.convert(end, criterion.unit, code), fractions=code == "in")
        for end in (criterion.low, criterion.high)
    )
    shown = units.show(units.convert(typed.value, typed.unit, code), code)
    raise ValueError(f"{criterion.title} of {shown} is not possible. Type {low} to {high}.")


def _judge_number(
    criterion: Criterion,
    typed: units.Quantity,
    compared: Fraction,
    *,
    marked: units.Quantity | None = None,
) -> Judgment:
    """Return what the number means by the first limit that catches it."""
    caught = next((limit for limit in criterion.limits if limit.catches(compared)), None)
    reason = criterion.reason(caught.reason) if caught and caught.reason != NONE else None
    value = _own_style(criterion, typed)
    if marked is not None:
        limit = _own_style(criterion, marked)
        sentence = say(
            "{value} {phrase}, the {kind} marked on it is {limit}.",
            value=value,
            phrase=criterion.phrase,
            kind=_MARKED[criterion.marked_limit],
            limit=limit,
        )
    else:
        limit = _limit_text(criterion, caught if reason else None)
        msgid = (
            "{value} {phrase}, the limits are {limit}."
            if " to " in limit
            else "{value} {phrase}, the limit is {limit}."
        )
        sentence = say(msgid, value=value, phrase=criterion.phrase, limit=limit)
    return _judgment(criterion, reason, sentence, limit=limit, compared=compared)


def _own_style(criterion: Criterion, typed: units.Quantity) -> str:
    """Return the number as typed, but inches as 32nds where the criterion is read so."""
    if criterion.unit == "32nds" and typed.unit == "in":
        return units.show(units.convert(typed.value, "in", "32nds"), "32nds")
    return str(typed)


def _limit_text(criterion: Criterion, caught: Limit | None) -> str:
    """Return the limit that caught the number, or those that it kept."""
    if caught is not None:
        return units.show(caught.value, criterion.unit)
    kept = [limit for limit in criterion.limits if limit.reason != NONE]
    lows = [limit.value for limit in kept if limit.is_lower]
    highs = [limit.value for limit in kept if not limit.is_lower]
    ends = [*([max(lows)] if lows else []), *([min(highs)] if highs else [])]
    return " to ".join(units.show(end, criterion.unit) for end in ends)


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
