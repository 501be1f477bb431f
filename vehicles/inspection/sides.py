"""Left against right, inner against outer: readings of one kind held against each other.

>>> typed = {"LF-inner": "3 mm", "LF-outer": "6 mm"}
>>> two = [side_reading("brake-pads", at, text) for at, text in typed.items()]
>>> [pair] = compare(two, {}, all_wheel_drive=False)
>>> str(pair.label), str(pair.difference), pair.asks
('Inner and outer pad, front left', '3 mm', True)
>>> print(pair.sentence)  # doctest: +ELLIPSIS
3 mm between front left outer and front left inner: from 2 mm on, check the caliper's ...

A difference asks for a look and gives no class, unless the catalogue has a criterion for it that
catches it: then that criterion speaks, with its own limit, source and local changes.
"""

from __future__ import annotations

from collections import defaultdict
from dataclasses import dataclass
from enum import StrEnum
from types import MappingProxyType
from typing import TYPE_CHECKING, Final

from shared.say import Say, say
from vehicles.inspection.criteria import DeficiencyClass
from vehicles.inspection.judge import judge
from vehicles.inspection.units import UNITS, Quantity, convert, parse, unit
from vehicles.inspection.wear import COMMON, UNEVEN

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping, Sequence
    from fractions import Fraction

    from vehicles.inspection.criteria import Criterion
    from vehicles.inspection.judge import Judgment


_LEFT_RIGHT: Final = say("Left and right")


class Across(StrEnum):
    """What is held against each other."""

    AXLE = "axle"  # left and right of one axle, each by its smallest number
    WHEEL = "wheel"  # the places at one wheel
    CAR = "car"  # all four wheels, each by its smallest number


@dataclass(frozen=True, kw_only=True)
class SideReading:
    """One number at one place: `LF`, `RF`, `LR`, `RR`, or such a corner with `-inner`."""

    criterion: str
    position: str
    number: Fraction
    unit: str

    def __post_init__(self) -> None:
        if self.unit not in UNITS:
            raise ValueError(f"“{self.unit}” is not a unit this catalogue knows.")
        if self.number < 0:
            raise ValueError("A number below zero can't be compared.")

    @property
    def corner(self) -> str:
        """The wheel; empty for a place that lies at none, such as the spare."""
        corner = self.position.partition("-")[0]
        return corner if corner in _CORNERS else ""

    @property
    def words(self) -> Say:
        """The place as it is said: `front left inner`."""
        corner, _, place = self.position.partition("-")
        if not place:
            return _CORNERS[corner]
        return say(
            "{corner} {place}", corner=_CORNERS[corner], place=_PLACES.get(place, say(place))
        )


@dataclass(frozen=True, kw_only=True)
class Rule:
    """From which difference on one kind of reading asks for a look, and who says so."""

    criterion: str
    ask: Quantity  # 'percent' of a force: share of the larger number
    look: Say
    across: Across = Across.AXLE
    what: Say = _LEFT_RIGHT
    reached: bool = True  # the difference asks as soon as it reaches `ask`, else above it
    all_wheel_drive: bool = False  # only there
    judged_by: str = ""  # a criterion, for an axle with `-front` or `-rear` added
    source: str = COMMON
    text_seen: bool = False


@dataclass(frozen=True, kw_only=True)
class Pair:
    """What two places or more differ by. `difference` is None where no share can be given."""

    criterion: str
    positions: tuple[str, ...]
    label: Say
    difference: Quantity | None
    asks: bool
    sentence: Say
    source: str
    text_seen: bool
    judgment: Judgment | None = None

    @property
    def deficiency(self) -> DeficiencyClass:
        """The class that the catalogue's own criterion gives, or none."""
        return self.judgment.deficiency if self.judgment else DeficiencyClass.NONE


_CORNERS: Final[Mapping[str, Say]] = MappingProxyType(
    {
        "LF": say("front left"),
        "RF": say("front right"),
        "LR": say("rear left"),
        "RR": say("rear right"),
    }
)
_WORDS: Final = (say("inner"), say("middle"), say("outer"), say("leading"), say("trailing"))
_PLACES: Final = MappingProxyType({word.msgid: word for word in _WORDS})
_WHERE: Final[Mapping[str, Say]] = MappingProxyType(
    {**_CORNERS, "front": say("front axle"), "rear": say("rear axle"), "": say("all four wheels")}
)
_LINING: Final = say("check the caliper's slides and piston")
_SHOES: Final = say("check wheel cylinder, adjuster and parking brake cable")
_TIRES: Final = say("look for the cause: alignment, pressure or tires of different age")
_KIA: Final = "Kia Amanti 2006 service manual names no figure, text seen; 2 mm is common practice"


#: Which kind of reading is held against which, in the order of the sheet.
TABLE: Final = (
    Rule(
        criterion="tire-tread-across",
        across=Across.WHEEL,
        ask=UNEVEN,
        what=say("Across the tire"),
        look=say("check alignment and pressure"),
    ),
    Rule(criterion="tire-tread", ask=parse("3 32nds", "32nds"), look=_TIRES),
    Rule(
        criterion="tire-tread",
        across=Across.CAR,
        ask=parse("2 32nds", "32nds"),
        what=say("Tread of the four tires"),
        look=say("ask the maker's rule for all-wheel drive, 2/32 to 3/32 in as a rule"),
        all_wheel_drive=True,
        judged_by="tire-awd-difference",
    ),
    Rule(criterion="tire-pressure", ask=parse("10 %", "%"), look=say("look for a slow leak")),
    Rule(
        criterion="brake-pads",
        across=Across.WHEEL,
        ask=parse("2 mm", "mm"),
        what=say("Inner and outer pad"),
        look=_LINING,
        source="even wear lies within 2 to 3 mm: trade magazine, seen second-hand",
    ),
    Rule(criterion="brake-pads", ask=parse("2 mm", "mm"), look=_LINING, source=_KIA),
    Rule(criterion="brake-pads-riveted", ask=parse("2 mm", "mm"), look=_LINING),
    Rule(criterion="brake-shoes", ask=parse("2 mm", "mm"), look=_SHOES),
    Rule(
        criterion="brake-force",
        ask=parse("25 %", "%"),
        look=say("find the weak brake before the car is driven"),
        reached=False,
        judged_by="brake-balance",
        source="49 CFR 570.5(d)(1), from memory",
    ),
    Rule(
        criterion="ride-height",
        ask=parse("12 mm", "mm"),
        look=say("look for a broken or tired spring"),
        reached=False,
        source="Chevrolet Equinox service manual, trim height inspection",
        text_seen=True,
    ),
)


def side_reading(criterion: str, position: str, typed: str, default: str = "mm") -> SideReading:
    """Return the reading of what was typed, in its own unit or else in the default one."""
    number = parse(typed, default)
    if number.unit == "in" and unit(default).code == "32nds":
        number = Quantity(convert(number.value, "in", "32nds"), "32nds")
    size, code = number.value, number.unit
    return SideReading(criterion=criterion, position=position, number=size, unit=code)


def compare(
    readings: Iterable[SideReading], criteria: Mapping[str, Criterion], *, all_wheel_drive: bool
) -> list[Pair]:
    """Return every comparison that the readings of one car allow, in table order.

    `criteria` are the catalogue's, with local changes. Of two readings at one place the later one
    counts; a place at no wheel is left out.

    Raises:
        ValueError: two readings of one kind do not measure the same thing.
    """
    kinds: dict[str, dict[str, SideReading]] = defaultdict(dict)
    for reading in readings:
        if reading.corner:
            kinds[reading.criterion][reading.position] = reading
    return [
        _pair(rule, where, group, criteria)
        for rule in TABLE
        if all_wheel_drive or not rule.all_wheel_drive
        for where, group in _groups(rule, list(kinds[rule.criterion].values()))
    ]


def _groups(rule: Rule, readings: Sequence[SideReading]) -> Iterator[tuple[str, list[SideReading]]]:
    """Yield each place that the rule looks at, with what is held against each other there."""
    if len({UNITS[one.unit].measures for one in readings}) > 1:
        raise ValueError(f"The readings of “{rule.criterion}” do not measure the same thing.")
    corners = {corner: [one for one in readings if one.corner == corner] for corner in _CORNERS}
    if rule.across == Across.WHEEL:
        yield from ((at, group) for at, group in corners.items() if len(group) > 1)
        return
    least = {at: min(group, key=_size) for at, group in corners.items() if group}
    if rule.across == Across.CAR:
        if len(least) > len(_AXLES):  # two of them are an axle or a side
            yield "", list(least.values())
        return
    for axle, ends in _AXLES.items():
        if least.keys() >= set(ends):
            yield axle, [least[end] for end in ends]


_AXLES: Final = MappingProxyType({"front": ("LF", "RF"), "rear": ("LR", "RR")})


def _size(reading: SideReading) -> Fraction:
    """Return the number in the base unit of its kind, so that mm and 32nds compare."""
    return reading.number * UNITS[reading.unit].size


def _pair(
    rule: Rule, where: str, group: Sequence[SideReading], criteria: Mapping[str, Criterion]
) -> Pair:
    low, high = min(group, key=_size), max(reversed(group), key=_size)
    difference = _difference(rule, low, high)
    criterion = criteria.get(f"{rule.judged_by}-{where}".rstrip("-"))
    judgment = _judgment(criterion, difference) if criterion and difference else None
    by = judgment if judgment and judgment.reason else None
    asks = by is not None or _asks(rule, difference)
    return Pair(
        criterion=rule.criterion,
        positions=tuple(one.position for one in group),
        label=say("{what}, {where}", what=rule.what, where=_WHERE[where]),
        difference=difference,
        asks=asks,
        sentence=by.sentence if by else _sentence(rule, low, high, difference, asks=asks),
        source=(by or rule).source,
        text_seen=(by or rule).text_seen,
        judgment=judgment,
    )


def _judgment(criterion: Criterion, difference: Quantity) -> Judgment:
    """Return what the criterion says; a typed fraction of 32nds would be one of inches."""
    code = "in" if criterion.unit == "32nds" else criterion.unit
    number = convert(difference.value, difference.unit, code).limit_denominator(1_000_000)
    return judge(criterion, f"{number.numerator}/{number.denominator}", code)


def _difference(rule: Rule, low: SideReading, high: SideReading) -> Quantity | None:
    """Return the difference in the unit read, or in the rule's where two units were read."""
    if rule.ask.unit == "percent" and high.unit != "percent":
        share = 1 - _size(low) / _size(high) if high.number else None
        return None if share is None else Quantity(share * 100, "percent")
    code = low.unit if low.unit == high.unit else rule.ask.unit
    ends = [convert(one.number, one.unit, code) for one in (high, low)]
    return Quantity(ends[0] - ends[1], code)


def _asks(rule: Rule, difference: Quantity | None) -> bool:
    if difference is None:
        return True
    number = convert(difference.value, difference.unit, rule.ask.unit)
    return number > rule.ask.value or (rule.reached and number == rule.ask.value)


def _sentence(
    rule: Rule, low: SideReading, high: SideReading, difference: Quantity | None, *, asks: bool
) -> Say:
    ends = {"high": high.words, "low": low.words}
    if difference is None:
        return say("Nothing at {low} and at {high}.", **ends)
    found = say("{difference} between {high} and {low}", difference=str(difference), **ends)
    if not asks:
        return say("{found}.", found=found)
    ask = str(rule.ask)
    edge = say("from {ask} on", ask=ask) if rule.reached else say("over {ask}", ask=ask)
    return say("{found}: {edge}, {look}.", found=found, edge=edge, look=rule.look)
