"""What an inspection looks at: criteria, the limits of a number, the reasons for a deficiency.

>>> DeficiencyClass.DANGEROUS.worse_than(DeficiencyClass.MAJOR)
True
>>> Limit.parse("< 2 -> 5.2.3 e.2")
Limit(operator='<', value=Fraction(2, 1), reason='5.2.3 e.2')
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from fractions import Fraction
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from datetime import date

    from vehicles.inspection.clauses import Clause
    from vehicles.shop.systems import System

NONE = "none"  # stands in a limit where a number in that range gives no reason


class DeficiencyClass(StrEnum):
    """How bad a deficiency is, worst first.

    Source: Directive 2014/45/EU Article 7, from memory; the same three steps were read in the
    Czech Act 56/2001, section 49.
    """

    DANGEROUS = "dangerous"
    MAJOR = "major"
    MINOR = "minor"
    NONE = "none"

    @property
    def label(self) -> str:
        """The class at the start of a sentence."""
        return self.value.capitalize()

    @property
    def rank(self) -> int:
        """3 for dangerous down to 0 for none, so that classes can be compared."""
        return 3 - list(DeficiencyClass).index(self)

    def worse_than(self, other: DeficiencyClass) -> bool:
        """Return whether this class stands above the other."""
        return self.rank > other.rank


class Group(StrEnum):
    """Where the inspector is while reading, in the order one goes about a car."""

    WALK_ROUND = "walk_round"
    SIT_IN = "sit_in"
    LOOK_UNDER = "look_under"

    @property
    def label(self) -> str:
        """The group's heading on the sheet."""
        return self.value.replace("_", " ").capitalize()


@dataclass(frozen=True, kw_only=True)
class Caution:
    """What to mind before a hand goes to work: once, beside the check or the job.

    `text_seen` says whether the authority's text was read; where it was not, check before quoting.
    """

    code: str  # 'lifting-jack', as criteria and operations name it
    title: str
    text: str
    authority: str
    text_seen: bool


@dataclass(frozen=True, kw_only=True)
class Reason:
    """One reason for a deficiency, with its class and where that class was read.

    `deficiency` is the class of the EU item alone, or of program policy where the key is `PP …`;
    `us_reject` is what 49 CFR 570 says. `severity`, `never_release` and `strands` are program
    policy.
    """

    key: str  # item number and letter, '5.2.3 e.2'; 'US …' or 'PP …' where no EU item says it
    text: str
    deficiency: DeficiencyClass
    severity: int  # 1 worst to 4, MIL-STD-882E
    source: str
    text_seen: bool
    never_release: bool = False
    strands: bool = False
    stops: bool = False  # ends a look: the rest of the sheet is not worth the time
    us_reject: bool = False
    us_section: str = ""
    us_text_seen: bool = False

    @property
    def ranks_as(self) -> DeficiencyClass:
        """The class used for ranking: a US reject without an EU class ranks as major."""
        if self.us_reject and self.deficiency == DeficiencyClass.NONE:
            return DeficiencyClass.MAJOR
        return self.deficiency

    @property
    def eu_class(self) -> DeficiencyClass:
        """The class of the EU item; program policy (`PP`) speaks for no EU item."""
        return DeficiencyClass.NONE if self.key.startswith("PP ") else self.deficiency

    @property
    def sources(self) -> str:
        """Everything the reason rests on, US section first."""
        return "; ".join(text for text in (self.us_section, self.source) if text)

    @property
    def sources_seen(self) -> bool:
        """Whether the text of every source was read."""
        return self.text_seen and (self.us_text_seen or not self.us_section)


@dataclass(frozen=True)
class Limit:
    """Where a number gives a reason: `operator` and `value`, in the unit of its criterion."""

    operator: str
    value: Fraction
    reason: str  # a reason's key, or 'none'

    @classmethod
    def parse(cls, text: str) -> Limit:
        """Return the limit written as `< 2 -> 5.2.3 e.2`.

        Raises:
            ValueError: the text has another form.
        """
        condition, arrow, reason = text.partition("->")
        operator, _, number = condition.strip().partition(" ")
        if not (arrow and reason.strip()) or operator not in _CATCHES:
            raise ValueError(f"“{text}” is not a limit. Write it as “< 2 -> 5.2.3 e.2”.")
        return cls(operator, Fraction(number.strip()), reason.strip())

    @property
    def is_lower(self) -> bool:
        """Whether small numbers are caught; otherwise large ones are."""
        return self.operator.startswith("<")

    def catches(self, number: Fraction) -> bool:
        """Return whether the number is on the wrong side of the limit."""
        return _CATCHES[self.operator](number, self.value)

    def is_looser_than(self, other: Limit) -> bool:
        """Return whether it spares numbers that the other, on the same side, catches."""
        return self.value < other.value if self.is_lower else self.value > other.value


_CATCHES = {
    "<": Fraction.__lt__,
    "<=": Fraction.__le__,
    ">": Fraction.__gt__,
    ">=": Fraction.__ge__,
}


@dataclass(frozen=True, kw_only=True)
class Override:
    """A limit that a program sets for its state: from which day, with the reason and its source."""

    criterion: str
    reason: str  # key of the reason whose limit moves
    value: Fraction  # in the unit of the criterion
    since: date
    because: str
    source: str = ""


@dataclass(frozen=True, kw_only=True)
class Criterion:
    """One point of the inspection: what is read, how, its limits and reasons, its source.

    A criterion with a `unit` is measured, and its limits are tried in order; one without is
    seen: it is good, or one of its reasons holds. `marked_limit` is 'min' or 'max' where the
    limit stands on the part and is typed with the reading ('22.4 min 23').
    """

    code: str
    system: System
    group: Group
    title: str
    method: str
    source: str
    text_seen: bool
    reasons: tuple[Reason, ...]
    phrase: str = ""  # follows the number in a sentence: 'of tread'
    unit: str = ""
    low: Fraction = Fraction(0)  # the plausible range, in `unit`
    high: Fraction = Fraction(0)
    limits: tuple[Limit, ...] = ()
    marked_limit: str = ""
    positions: tuple[str, ...] = ()  # ('LF', 'RF', 'LR', 'RR'), or empty when read once
    applies_when: str = ""
    applies: tuple[Clause, ...] = ()  # the same for a program, as far as a car's facts go
    depths: tuple[str, ...] = ()  # codes of `vehicles.inspection.depths.Depth`
    settled_by: tuple[str, ...] = ()  # points of which one, once read, makes this one needless
    detail_of: str = ""  # the point that this one reads more closely; it is never in the way
    own_caution: str = ""
    cautions: tuple[Caution, ...] = ()
    equipment: str = ""  # separated by commas
    substitute: str = ""  # how it is read without the equipment
    fitted_us: bool = True
    overrides: tuple[Override, ...] = ()
    shipped_limits: tuple[Limit, ...] = ()  # as shipped, where an override moved one

    @property
    def is_measured(self) -> bool:
        """Whether it takes a number; otherwise 'good' or a reason's key."""
        return bool(self.unit)

    @property
    def caution(self) -> str:
        """Everything to mind here, what is peculiar to the point first."""
        return " ".join([*filter(None, [self.own_caution]), *(one.text for one in self.cautions)])

    @property
    def equipment_names(self) -> tuple[str, ...]:
        """What it takes, one name each."""
        return tuple(name.strip() for name in self.equipment.split(",") if name.strip())

    def reason(self, key: str) -> Reason:
        """Return the reason with that key.

        Raises:
            ValueError: the criterion has no such reason; the sentence lists those it has.
        """
        wanted = key.split()
        for reason in self.reasons:
            if reason.key.split() == wanted:
                return reason
        known = ", ".join(reason.key for reason in self.reasons)
        good = "" if self.is_measured else "“good” or "
        raise ValueError(f"“{key}” is not a reason of “{self.title}”. Use {good}one of: {known}.")
