"""The order in which repair items matter for safety, and why each stands where it does.

>>> bulb = Hazard(deficiency=DeficiencyClass.MAJOR, severity=2)
>>> [r] = rank([RankItem(id=1, hazards=(bulb,), net_cost_cents=500)], miles_per_week=200)
>>> r.cell, r.risk.label, r.tier, r.points, r.index
('2D', 'Medium', 2, 20, '80.0')
>>> str(r.steps[0])
'Tier 2: the class is major.'

The tier never depends on money or on miles; points and index move an item only inside its tier.
Points are for ordering alone: they add up to no number of accidents avoided.

Source: MIL-STD-882E with Change 1, tables I to III, read in two transcriptions that agree (this is
a tailoring, not a claim of compliance); class weights 40, 10, 1: COM(2012) 382 Annex I, text seen.
Severity defaults, marks and the mileage band are program policy.
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import IntEnum, StrEnum
from fractions import Fraction
from types import MappingProxyType
from typing import TYPE_CHECKING, Final

from shared.say import Say, say
from vehicles.inspection.criteria import DeficiencyClass

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence


class CodeSeverity(StrEnum):
    """How urgent the trouble code behind an item is, until a check has disproved it."""

    NONE = "none"
    ADVISORY = "advisory"
    SOON = "soon"
    FIX_BEFORE_RETURN = "fix_before_return"
    STOP_DRIVING = "stop_driving"


class Level(StrEnum):
    """How probable a mishap is for one item over its life. Source: MIL-STD-882E, table II."""

    FREQUENT = "A"
    PROBABLE = "B"
    OCCASIONAL = "C"
    REMOTE = "D"
    IMPROBABLE = "E"
    ELIMINATED = "F"


class Risk(IntEnum):
    """A cell of the risk table, as the number that points are multiplied by."""

    ELIMINATED = 0
    LOW = 1
    MEDIUM = 2
    SERIOUS = 3
    HIGH = 4

    @property
    def label(self) -> str:
        """The risk at the start of a sentence."""
        return self.name.capitalize()


SEVERITIES: Final = range(1, 5)  # 1 catastrophic, 2 critical, 3 marginal, 4 negligible
LONG_WEEK_MILES: Final = 300  # above this, exposure lifts the level one step (program policy)
LEAST_COST_CENTS: Final = (
    25_00  # a cheaper job counts as this much, so that none is infinitely good
)

_H, _S, _M, _L, _O = Risk.HIGH, Risk.SERIOUS, Risk.MEDIUM, Risk.LOW, Risk.ELIMINATED
#: Risk by level, for severity 1 to 4. Source: MIL-STD-882E, table III.
RISK_TABLE: Final[Mapping[Level, tuple[Risk, Risk, Risk, Risk]]] = MappingProxyType(
    {
        Level.FREQUENT: (_H, _H, _S, _M),
        Level.PROBABLE: (_H, _H, _S, _M),
        Level.OCCASIONAL: (_H, _S, _M, _L),
        Level.REMOTE: (_S, _M, _M, _L),
        Level.IMPROBABLE: (_M, _M, _M, _L),
        Level.ELIMINATED: (_O, _O, _O, _O),
    }
)
#: Weight of each class. Source: COM(2012) 382 Annex I (roadside inspections), text seen.
CLASS_WEIGHTS: Final[Mapping[DeficiencyClass, int]] = MappingProxyType(
    {
        DeficiencyClass.DANGEROUS: 40,
        DeficiencyClass.MAJOR: 10,
        DeficiencyClass.MINOR: 1,
        DeficiencyClass.NONE: 0,
    }
)
#: What each tier asks for, in words.
TIER_WORDS: Final[Mapping[int, Say]] = MappingProxyType(
    {
        0: say("do not drive"),
        1: say("stops the car"),
        2: say("put right soon"),
        3: say("minor"),
        4: say("the rest"),
    }
)
#: Who may accept a risk that is left, before the household is exposed to it (program policy).
ACCEPTED_BY: Final[Mapping[Risk, Say]] = MappingProxyType(
    {
        Risk.HIGH: say("nobody"),
        Risk.SERIOUS: say("the program lead"),
        Risk.MEDIUM: say("the lead technician"),
        Risk.LOW: say("the technician"),
    }
)
_REST: Final = 4
_LEVELS: Final = MappingProxyType(
    {DeficiencyClass.DANGEROUS: Level.OCCASIONAL, DeficiencyClass.MAJOR: Level.REMOTE}
)
_ONE_UP: Final = MappingProxyType(
    {
        Level.IMPROBABLE: Level.REMOTE,
        Level.REMOTE: Level.OCCASIONAL,
        Level.OCCASIONAL: Level.PROBABLE,
    }
)


@dataclass(frozen=True, kw_only=True)
class Hazard:
    """One finding that an item clears: its class, its worst credible mishap, and its marks."""

    deficiency: DeficiencyClass = DeficiencyClass.NONE
    severity: int = 4
    never_release: bool = False
    strands: bool = False
    code: CodeSeverity = CodeSeverity.NONE

    def __post_init__(self) -> None:
        if self.severity not in SEVERITIES:
            raise ValueError(f"Severity {self.severity} is not possible. Use 1 to 4.")

    @property
    def level(self) -> Level:
        """The level that the class stands for; minor and none are improbable."""
        return _LEVELS.get(self.deficiency, Level.IMPROBABLE)

    @property
    def cell(self) -> str:
        """Severity and level, such as `1D`."""
        return f"{self.severity}{self.level}"

    @property
    def risk(self) -> Risk:
        """The risk of the cell; without a deficiency class it is always low."""
        return self._risk_at(self.level)

    def points(self, miles_per_week: int) -> int:
        """Return the weight of the class times the risk, one level up for a long week's driving."""
        level = _ONE_UP[self.level] if miles_per_week > LONG_WEEK_MILES else self.level
        return CLASS_WEIGHTS[self.deficiency] * self._risk_at(level)

    def _risk_at(self, level: Level) -> Risk:
        if self.deficiency is DeficiencyClass.NONE:
            return Risk.LOW
        return RISK_TABLE[level][self.severity - 1]


@dataclass(frozen=True, kw_only=True)
class RankItem:
    """One repair item: what it clears, and its labor and bought parts (a donated part costs 0)."""

    id: int
    hazards: tuple[Hazard, ...] = ()
    net_cost_cents: int = 0
    days_waiting: int = 0

    def __post_init__(self) -> None:
        if self.net_cost_cents < 0 or self.days_waiting < 0:
            raise ValueError(f"Item {self.id}: cost and days waiting can’t be below zero.")


@dataclass(frozen=True, kw_only=True)
class Ranked:
    """Where an item stands: cell and risk of its worst hazard, tier, points, index and reasons."""

    id: int
    cell: str
    risk: Risk
    tier: int
    points: int
    index_tenths: int
    steps: tuple[Say, ...]

    @property
    def index(self) -> str:
        """The index with its one decimal, such as `84.2`."""
        return f"{self.index_tenths // 10}.{self.index_tenths % 10}"

    @property
    def word(self) -> Say:
        """What the tier asks for, in words."""
        return TIER_WORDS[self.tier]


def rank(items: Sequence[RankItem], miles_per_week: int) -> list[Ranked]:
    """Return the items ranked: lowest tier, highest index, longest wait, lowest id.

    Args:
        items: the open repair items of one car, or of many that run the same miles.
        miles_per_week: what the household drives when the car runs.

    Raises:
        ValueError: miles below zero, or two items with one id.
    """
    if miles_per_week < 0:
        raise ValueError(f"{miles_per_week} miles a week is not possible. Type 0 or more.")
    if len({item.id for item in items}) < len(items):
        raise ValueError("Two items have the same number.")
    ranked = [(_ranked(item, miles_per_week), item.days_waiting) for item in items]
    ranked.sort(key=lambda pair: (pair[0].tier, -pair[0].index_tenths, -pair[1], pair[0].id))
    return [one for one, _ in ranked]


def _ranked(item: RankItem, miles_per_week: int) -> Ranked:
    hazards = item.hazards or (Hazard(),)
    reasons = [reason for hazard in hazards for reason in _reasons(hazard)]
    tier = min((tier for tier, _ in reasons), default=_REST)
    worst = min(hazards, key=lambda hazard: (_tier(hazard), -hazard.risk, hazard.severity))
    points = sum(hazard.points(miles_per_week) for hazard in hazards)
    cost = max(item.net_cost_cents, LEAST_COST_CENTS)
    steps = [step for at, step in reasons if at == tier] or [say("Tier 4: nothing sets it higher.")]
    return Ranked(
        id=item.id,
        cell=worst.cell,
        risk=worst.risk,
        tier=tier,
        points=points,
        index_tenths=round(Fraction(points * 1000 * 100, cost)),
        steps=tuple(dict.fromkeys(steps)),
    )


def _tier(hazard: Hazard) -> int:
    return min((tier for tier, _ in _reasons(hazard)), default=_REST)


def _reasons(hazard: Hazard) -> Iterator[tuple[int, Say]]:
    """Yield each tier that something about the hazard asks for, with the sentence that says so."""
    asked = (
        (0, hazard.deficiency is DeficiencyClass.DANGEROUS, say("Tier 0: the class is dangerous.")),
        (0, hazard.never_release, say("Tier 0: a car is never released with this.")),
        (0, hazard.risk is Risk.HIGH, say("Tier 0: the risk is high.")),
        (
            0,
            hazard.code is CodeSeverity.STOP_DRIVING,
            say("Tier 0: a trouble code says to stop driving, until it is disproved."),
        ),
        (1, hazard.strands, say("Tier 1: it leaves the household standing.")),
        (
            1,
            hazard.code is CodeSeverity.FIX_BEFORE_RETURN,
            say("Tier 1: a trouble code must be fixed before return, until it is disproved."),
        ),
        (2, hazard.deficiency is DeficiencyClass.MAJOR, say("Tier 2: the class is major.")),
        (2, hazard.risk is Risk.SERIOUS, say("Tier 2: the risk is serious.")),
        (
            3,
            hazard.deficiency is DeficiencyClass.MINOR and hazard.risk is Risk.MEDIUM,
            say("Tier 3: the class is minor and the risk is medium."),
        ),
    )
    return ((tier, reason) for tier, holds, reason in asked if holds)
