"""How a level is read, what it can show, and whether the reading counts.

>>> from vehicles.fluids.rows import load
>>> maker = Maker(engine=Engine.OFF, heat=Heat.HOT)
>>> str(maker.how)
'on level ground, engine off, hot'
>>> read = Reading(level=Level.LOW, engine=Engine.RUNNING, heat=Heat.HOT, level_ground=True)
>>> str(doubt(load()["engine-oil"], read, maker, poured=False))
'It was read with the engine running, so it does not count.'
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from types import MappingProxyType
from typing import TYPE_CHECKING, Final

from shared.say import Say, say

if TYPE_CHECKING:
    from fractions import Fraction

    from vehicles.fluids.rows import Fluid, Found
    from vehicles.inspection.units import Quantity
    from vehicles.shop.systems import System


class Engine(StrEnum):
    """Whether the engine runs while the level is read."""

    RUNNING = "running"
    OFF = "off"

    @property
    def label(self) -> Say:
        """The state within a sentence."""
        return say("engine running") if self is Engine.RUNNING else say("engine off")


class Heat(StrEnum):
    """How warm the fluid is while it is read; a maker may take either."""

    COLD = "cold"
    HOT = "hot"
    EITHER = "either"

    @property
    def label(self) -> Say:
        """The state within a sentence."""
        return _HEATS[self]


class Level(StrEnum):
    """What the stick, tank or plug shows, lowest first."""

    NONE = "none"
    LOW = "low"
    BETWEEN = "between"
    FULL = "full"
    OVER = "over"

    @property
    def label(self) -> Say:
        """The level within a sentence."""
        return _LEVELS[self]


class Look(StrEnum):
    """What the fluid looks and smells like."""

    CLEAN = "clean"
    MILKY = "milky"
    BURNT = "burnt"
    METAL = "metal"

    @property
    def label(self) -> Say:
        """The look within a sentence."""
        return _LOOKS[self]


class Action(StrEnum):
    """What comes next."""

    ASK = "ask"
    READ_AGAIN = "read_again"
    BOOK = "book"  # no stick: the maker's own procedure
    ADD = "add"
    FILL = "fill"
    DONE = "done"
    DRAIN = "drain"
    FINDING = "finding"
    REFUSE = "refuse"
    STOP = "stop"

    @property
    def pours(self) -> bool:
        """Whether something is poured in."""
        return self in {Action.ADD, Action.FILL}


@dataclass(frozen=True, kw_only=True)
class Maker:
    """What the maker says of this fluid on this car. None: not looked up yet.

    `between` is the amount between the marks, `capacity` what the part holds in all.
    """

    specification: str = ""
    engine: Engine | None = None
    heat: Heat | None = None
    stick: bool = True
    between: Quantity | None = None
    capacity: Quantity | None = None

    @property
    def how(self) -> Say:
        """How the maker wants it read, within a sentence."""
        return _how(say("on level ground"), self.engine, self.heat)


@dataclass(frozen=True, kw_only=True)
class Reading:
    """One reading. None: not asked. `missing` is the share of the space between the marks.

    `minutes_since` counts from the last time anything was poured in.
    """

    level: Level
    look: Look = Look.CLEAN
    engine: Engine | None = None
    heat: Heat | None = None
    level_ground: bool | None = None
    missing: Fraction | None = None
    minutes_since: int | None = None

    def evidence(self, fluid: Fluid) -> Say:
        """Return what was read and how, as the evidence of a finding."""
        seen = self.level.label if self.look is Look.CLEAN else self.look.label
        read = say("{fluid}: {seen}", fluid=fluid.title, seen=seen)
        return _how(read, self.engine, self.heat)


@dataclass(frozen=True, kw_only=True)
class Proposal:
    """A finding to be proposed, with what was read as its evidence."""

    system: System
    found: Found
    evidence: Say


@dataclass(frozen=True, kw_only=True)
class Step:
    """The next step: what to do, how much, how long to wait, what to say, what was found.

    `amount` is in quarts, exact. `may_run`: the engine may run as the fluid stands now.
    """

    action: Action
    sentences: tuple[Say, ...]
    amount: Quantity | None = None
    wait_minutes: int = 0
    may_run: bool = True
    cautions: tuple[str, ...] = ()
    findings: tuple[Proposal, ...] = ()


def questions(fluid: Fluid, reading: Reading, maker: Maker, *, poured: bool) -> tuple[Say, ...]:
    """Return what has to be asked before the reading is judged; `poured`: something went in."""
    engine, heat = "engine" in fluid.asks, "heat" in fluid.asks
    asked = (
        (
            engine and maker.engine is None,
            say("Ask the maker’s book: is it read with the engine running or off?"),
        ),
        (heat and maker.heat is None, say("Ask the maker’s book: is it read cold or hot?")),
        (engine and reading.engine is None, say("Was the engine running or off when it was read?")),
        (
            heat and reading.heat not in {Heat.COLD, Heat.HOT},
            say("Was it cold or hot when it was read?"),
        ),
        (reading.level_ground is None, say("Did the car stand on level ground?")),
        (
            poured and reading.minutes_since is None,
            say("How many minutes ago was the last amount poured in?"),
        ),
    )
    return tuple(question for is_open, question in asked if is_open)


def doubt(fluid: Fluid, reading: Reading, maker: Maker, *, poured: bool) -> Say | None:
    """Return why the reading does not count, or None: not as the maker says, or not settled."""
    if not reading.level_ground:
        return say("It was not read on level ground, so it does not count.")
    if "engine" in fluid.asks and reading.engine and reading.engine is not maker.engine:
        return say("It was read with the {was}, so it does not count.", was=reading.engine.label)
    # Nothing to be seen is too little at any heat: warming it up first could do damage.
    any_heat = reading.level is Level.NONE or maker.heat is Heat.EITHER
    if "heat" in fluid.asks and reading.heat and reading.heat is not maker.heat and not any_heat:
        return say("It was read {was}, so it does not count.", was=reading.heat.label)
    if unsettled(fluid, reading, poured=poured):
        return say("It has not settled yet.")
    return None


def unsettled(fluid: Fluid, reading: Reading, *, poured: bool) -> int:
    """Return the minutes that are left until what was poured in has settled."""
    since = reading.minutes_since or 0
    return max(fluid.settle_minutes - since, 0) if poured else 0


def _how(start: Say, engine: Engine | None, heat: Heat | None) -> Say:
    for more in (engine, heat):
        if more:
            start = say("{first}, {rest}", first=start, rest=more.label)
    return start


_HEATS: Final = MappingProxyType(
    {Heat.COLD: say("cold"), Heat.HOT: say("hot"), Heat.EITHER: say("cold or hot")}
)
_LEVELS: Final = MappingProxyType(
    {
        Level.NONE: say("nothing to be seen"),
        Level.LOW: say("below the low mark"),
        Level.BETWEEN: say("between the marks"),
        Level.FULL: say("at the full mark"),
        Level.OVER: say("over the full mark"),
    }
)
_LOOKS: Final = MappingProxyType(
    {
        Look.CLEAN: say("looks clean"),
        Look.MILKY: say("looks like milk"),
        Look.BURNT: say("dark, smells burnt"),
        Look.METAL: say("metal in it"),
    }
)
