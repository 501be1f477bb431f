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

    from vehicles.inspection.criteria import Criterion, Reason

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
    reason = criterion.reason(value)
    return _judgment(criterion, reason, say("{text}.", text=reason.text))


def _typed(
    criterion: Criterion, value: str, unit: str
) -> tuple[units.Quantity, units.Quantity | None]:
    """Return the number that was typed and the limit typed with it, if the part bears one."""
    word = criterion.marked_limit
    first, _, second = value.lower().partition(word) if word else (value, "", "")
    if word and not second.strip():
        raise ValueError(
            f"{criterion.title} is typed with the maker's {_MARKED[word]}: {_EXAMPLES[word]}."
        )
    typed = _quantity(criterion, first, unit)
    if not word:
        return typed, None
    marked = _quantity(criterion, second, unit or typed.unit)
    # '22.4 min 23 mm' has one unit for both.
    return _quantity(criterion, first, unit or marked.unit), marked


_MARKED = {"min": "minimum", "max": "maximum"}
_EXAMPLES = {"min": "“22.4 mm min 23 mm”", "max": "“0.06 in max 0.05 in”"}


def _quantity(criterion: Criterion, text: str, unit: str) -> units.Quantity:
    """Return the number that was typed, in a unit that the criterion can be read in.

    A unit typed with the number wins over the one beside it; neither may measure something else.
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
    return " or ".join(unit.name for unit in units_offered(criterion))


def units_offered(criterion: Criterion) -> tuple[units.Unit, ...]:
    """Return the units a measured point is read in: its own first, then its partner's if any."""
    codes = (criterion.unit, *_PARTNERS.get(criterion.unit, ()))
    return tuple(units.UNITS[code] for code in codes)


_PARTNERS = {
    "32nds": ("mm",),
    "in": ("mm",),
    "mm": ("in",),
    "ft": ("in",),
    "psi": ("kPa",),
    "lbf": ("N",),
    "degF": ("degC",),
}


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
            "{value} {phrase}, the maker's {kind} is {limit}.",
            value=value,
            phrase=criterion.phrase,
            kind=_MARKED[criterion.marked_limit],
            limit=limit,
        )
    else:
        ends = [caught.value] if caught and reason else _kept(criterion)
        limit = _limit_text(ends, criterion.unit)
        sentence = _against(criterion, value, ends, typed.unit)
    return _judgment(criterion, reason, sentence, limit=limit, compared=compared)


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


def _own_style(criterion: Criterion, typed: units.Quantity) -> str:
    """Return the number as typed, but inches as 32nds where the criterion is read so."""
    if criterion.unit == "32nds" and typed.unit == "in":
        return units.show(units.convert(typed.value, "in", "32nds"), "32nds")
    return str(typed)


def _kept(criterion: Criterion) -> list[Fraction]:
    """Return the limits that a good number keeps: a lower one, an upper one, or both."""
    kept = [limit for limit in criterion.limits if limit.reason != NONE]
    lows = [limit.value for limit in kept if limit.is_lower]
    highs = [limit.value for limit in kept if not limit.is_lower]
    return [*([max(lows)] if lows else []), *([min(highs)] if highs else [])]


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
