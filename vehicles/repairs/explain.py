"""Why an item stands where the ranking rule puts it: each step as a sentence, and the risk table.

>>> from vehicles.repairs.ranking import RankItem, rank
>>> item = RankItem(id=1, hazards=(Hazard(deficiency=DeficiencyClass.MAJOR, severity=2),))
>>> [ranked] = rank([item], miles_per_week=200)
>>> [str(step) for step in explain(item, ranked, 200)][1:3]
['Severity 2 at level D is cell 2D: the risk is medium.', 'Tier 2: the class is major.']
>>> str(gate(0, 0))
'No item of tiers 0 and 1 is open: the gate is passed.'

The steps are those of `vehicles.repairs.ranking`, with its source and its limits.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from shared.money import usd
from shared.say import say
from vehicles.inspection.criteria import DeficiencyClass
from vehicles.repairs.ranking import (
    ACCEPTED_BY,
    CLASS_WEIGHTS,
    LEAST_COST_CENTS,
    LONG_WEEK_MILES,
    RISK_TABLE,
    SEVERITIES,
    Hazard,
    Level,
    Risk,
)

if TYPE_CHECKING:
    from collections.abc import Iterable

    from shared.say import Say
    from vehicles.repairs.ranking import Ranked, RankItem

#: Program policy, common practice: what may be spent before tiers 0 and 1 are known to fit.
TEARDOWN_MINUTES: Final = 60
TEARDOWN_CENTS: Final = 60_00
_LAST_BARRED: Final = 1  # no car goes home with an item of this tier or a lower one
_ON_SIGNATURE: Final = 2  # and with one of this tier only on signatures


@dataclass(frozen=True, kw_only=True)
class Cell:
    """One cell of the risk table: its name, its risk, and the places of the items in the order."""

    name: str
    risk: Risk
    places: tuple[int, ...]


@dataclass(frozen=True, kw_only=True)
class Row:
    """One level of the risk table with its cells for severity 1 to 4."""

    level: Level
    cells: tuple[Cell, ...]

    @property
    def word(self) -> str:
        """The level in words, as table II names it."""
        return self.level.name.lower()


def table(ranked: Iterable[Ranked]) -> tuple[Row, ...]:
    """Return the risk table, level A first; the items stand in their cells as 1, 2, 3 as given.

    Level F, eliminated, is left out: no item is open there.
    """
    there: dict[str, list[int]] = {}
    for place, one in enumerate(ranked, start=1):
        there.setdefault(one.cell, []).append(place)
    return tuple(
        Row(
            level=level,
            cells=tuple(
                Cell(
                    name=f"{severity}{level}",
                    risk=RISK_TABLE[level][severity - 1],
                    places=tuple(there.get(f"{severity}{level}", ())),
                )
                for severity in SEVERITIES
            ),
        )
        for level in Level
        if level is not Level.ELIMINATED
    )


def explain(item: RankItem, ranked: Ranked, miles_per_week: int) -> tuple[Say, ...]:
    """Return the sentences of level, risk, tier, points and index of one item, in that order."""
    hazards = item.hazards or (Hazard(),)
    worst = max(
        (one for one in hazards if (one.cell, one.risk) == (ranked.cell, ranked.risk)),
        key=lambda one: one.deficiency.rank,
    )
    return (
        _level(worst),
        _risk(worst),
        *ranked.steps,
        *_points(hazards, ranked, miles_per_week),
        *_index(item, ranked),
    )


def _level(worst: Hazard) -> Say:
    level = worst.level
    if worst.deficiency is DeficiencyClass.NONE:
        return say("No class: level {level}, {word}.", level=level, word=level.name.lower())
    return say(
        "The worst class is {kind}: level {level}, {word}.",
        kind=worst.deficiency.value,
        level=level,
        word=level.name.lower(),
    )


def _risk(worst: Hazard) -> Say:
    values = {"severity": worst.severity, "level": worst.level, "cell": worst.cell}
    if worst.deficiency is DeficiencyClass.NONE:
        return say(
            "Severity {severity} at level {level} is cell {cell}: without a class the risk is low.",
            **values,
        )
    return say(
        "Severity {severity} at level {level} is cell {cell}: the risk is {risk}.",
        **values,
        risk=worst.risk.name.lower(),
    )


def _points(hazards: tuple[Hazard, ...], ranked: Ranked, miles_per_week: int) -> tuple[Say, ...]:
    products = " + ".join(_product(one, miles_per_week) for one in hazards)
    total = say(
        "Weight of the class times risk: {products} = {points} points.",
        products=products,
        points=ranked.points,
    )
    if miles_per_week <= LONG_WEEK_MILES:
        return (total,)
    long = say(
        "The household drives {miles} miles a week, more than {most}: for the points, and only "
        "for them, each risk is taken one level up.",
        miles=miles_per_week,
        most=LONG_WEEK_MILES,
    )
    return (long, total)


def _product(hazard: Hazard, miles_per_week: int) -> str:
    weight = CLASS_WEIGHTS[hazard.deficiency]
    points = hazard.points(miles_per_week)
    return f"{weight} × {points // weight if weight else int(hazard.risk)}"


def _index(item: RankItem, ranked: Ranked) -> tuple[Say, ...]:
    cost = max(item.net_cost_cents, LEAST_COST_CENTS)
    index = say(
        "Index: 100 × {points} points ÷ {cost} = {index}.",
        points=ranked.points,
        cost=usd(cost),
        index=ranked.index,
    )
    if item.net_cost_cents >= LEAST_COST_CENTS:
        return (index,)
    least = say(
        "It costs {cost}; what costs less than {least} counts as {least}.",
        cost=usd(item.net_cost_cents),
        least=usd(LEAST_COST_CENTS),
    )
    return (least, index)


def accepted(ranked: Ranked) -> Say:
    """Return who may accept the item if it is left open; of tiers 0 and 1 nobody."""
    who = ACCEPTED_BY[ranked.risk]
    if ranked.tier <= _LAST_BARRED:
        return say("The car does not go home with this open, whoever signs.")
    if ranked.tier == _ON_SIGNATURE:
        return say(
            "The car goes home with this open only where the state’s table allows it: the risk is "
            "accepted by {who}, the lead technician signs first, the household accepts in writing "
            "without waiving rights, and the day of return is booked.",
            who=who,
        )
    return say(
        "Left open, its risk is accepted by {who}, and the household gets it on a list.", who=who
    )


def gate(count: int, p80_cents: int) -> Say:
    """Return the rule on spending for so many items of tiers 0 and 1 and what they cost to go."""
    if not count:
        return say("No item of tiers 0 and 1 is open: the gate is passed.")
    return say(
        "Tiers 0 and 1 are all or nothing. Beyond {minutes} minutes and {allowance} for diagnosis "
        "and teardown nothing is spent until what they cost to go fits the case’s budget: "
        "{cost}, which holds in eight of ten such repairs. What is spent already does not count. "
        "If it doesn’t fit, a person decides: ask for a part, another car, refer, or scrap.",
        minutes=TEARDOWN_MINUTES,
        allowance=usd(TEARDOWN_CENTS),
        cost=usd(p80_cents),
    )
