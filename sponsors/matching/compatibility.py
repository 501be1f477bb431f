"""Which offers could serve which needs, and what stands between the others.

>>> from vehicles.repairs.fitment import Car, Fitment, Part, System
>>> bulb = Part(kind="bulb_low_beam", system=System.LIGHTS, fitment=Fitment(specification="H11"))
>>> need = NeedLine(
...     id=1, tier=2, opened_on=date(2026, 11, 2), needed_on=date(2026, 12, 1), part=bulb, car=Car()
... )
>>> supply = SupplyLine(id=9, pledge_id=4, part=bulb, expires_on=date(2026, 11, 27))
>>> Compatibility([need], [supply]).edges
[[]]
>>> [(str(cause), str(reason)) for cause, reason, _ in Compatibility([need], [supply]).obstacles(0)]
[('expires', 'The pledge ends on Nov 27; the work is on Dec 1.')]
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from enum import StrEnum
from typing import TYPE_CHECKING

from shared.dates import short_date
from shared.say import Say, say
from vehicles.repairs.fitment import Answer, made_sure, serves
from vehicles.repairs.specifications import key

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from vehicles.repairs.fitment import Car, Fit, Part

    FitRule = Callable[[Part, Part, Car], Fit]


@dataclass(frozen=True, kw_only=True)
class NeedLine:
    """An open need: `quantity` units of a part for one car, wanted by a day."""

    id: int
    tier: int
    opened_on: date
    needed_on: date
    part: Part
    car: Car
    county: str = ""
    household_kinds: tuple[str, ...] = ()
    quantity: int = 1


@dataclass(frozen=True, kw_only=True)
class SupplyLine:
    """`quantity` free units of a pledge; empty conditions allow every county and household."""

    id: int
    pledge_id: int | None
    part: Part
    expires_on: date | None = None
    counties: tuple[str, ...] = ()
    household_kinds: tuple[str, ...] = ()
    quantity: int = 1


class Cause(StrEnum):
    """Why a need is unserved, the nearest to being served first."""

    OUTRANKED = "outranked"
    ASK = "ask"
    EXPIRES = "expires"
    CONDITION = "condition"
    DOES_NOT_FIT = "does_not_fit"
    NO_SUPPLY = "no_supply"


class Compatibility:
    """Needs in the order of their claim, supplies in that of their expiry, and who serves whom.

    Needs that differ in nothing but their claim share a class. `claims` holds need and class of
    each unit, most urgent first; `edges` for each class the positions of the supplies for it.
    """

    def __init__(
        self, needs: Sequence[NeedLine], supplies: Sequence[SupplyLine], fits: FitRule = serves
    ) -> None:
        _check(needs, "need")
        _check(supplies, "supply")
        self.supplies = sorted(supplies, key=lambda line: (line.expires_on or date.max, line.id))
        self._fits = fits
        self._lots: dict[str, dict[Part, list[int]]] = {}  # kind -> part -> supplies
        for at, supply in enumerate(self.supplies):
            lots = self._lots.setdefault(key(supply.part.kind), {})
            lots.setdefault(supply.part, []).append(at)
        self._judged: dict[tuple[Part, Car], list[tuple[Fit, list[int]]]] = {}
        classes: dict[object, int] = {}
        self._typical: list[NeedLine] = []
        self.claims: list[tuple[NeedLine, int]] = []
        for need in sorted(needs, key=lambda need: (need.tier, need.opened_on, need.id)):
            class_ = classes.setdefault(_alike(need), len(classes))
            self._typical += [need] * (class_ == len(self._typical))
            self.claims += [(need, class_)] * need.quantity
        self._wanted = {key(need.part.kind) for need in self._typical}
        self.edges = [self._serving(need) for need in self._typical]

    def fit(self, need: NeedLine, supply: SupplyLine) -> Fit:
        """Return whether an offered unit fits."""
        found = self._fits(supply.part, need.part, need.car)
        return made_sure(found, supply.id, need.part.kind, need.car)

    def obstacles(self, class_: int) -> list[tuple[Cause, Say, SupplyLine]]:
        """Return for each supply of the part that can't serve the class why not, nearest first."""
        need = self._typical[class_]
        found = [
            (*obstacle, self.supplies[at])
            for fit, lot in self._judge(need)
            for at in lot
            if (obstacle := _obstacle(need, self.supplies[at], fit))
        ]
        causes = list(Cause)
        return sorted(found, key=lambda one: (causes.index(one[0]), one[2].id))

    def is_wanted(self, supply: SupplyLine) -> bool:
        """Return whether any need is for this kind of part."""
        return key(supply.part.kind) in self._wanted

    def _judge(self, need: NeedLine) -> list[tuple[Fit, list[int]]]:
        """Return the fit of each part of the kind, asked once for each car, and its supplies."""
        want = (need.part, need.car)
        if want not in self._judged:
            lots = self._lots.get(key(need.part.kind), {})
            self._judged[want] = [one for lot in lots.values() for one in self._of_lot(need, lot)]
        return self._judged[want]

    def _of_lot(self, need: NeedLine, lot: list[int]) -> list[tuple[Fit, list[int]]]:
        """Return the fit of units that are alike; each alone where a person looked at some."""
        if need.car.sure:
            return [(self.fit(need, self.supplies[at]), [at]) for at in lot]
        return [(self.fit(need, self.supplies[lot[0]]), lot)]

    def _serving(self, need: NeedLine) -> list[int]:
        fitting = (pair for pair in self._judge(need) if pair[0].answer is Answer.FITS)
        return sorted(
            at for fit, lot in fitting for at in lot if not _obstacle(need, self.supplies[at], fit)
        )


def _obstacle(need: NeedLine, supply: SupplyLine, fit: Fit) -> tuple[Cause, Say] | None:
    """Return what keeps a supply from a need: the hardest to overcome, or None."""
    if fit.answer is Answer.DOES_NOT_FIT:
        return Cause.DOES_NOT_FIT, fit.reason
    excluded = _condition(need, supply)
    if excluded:
        return Cause.CONDITION, excluded
    if supply.expires_on and supply.expires_on < need.needed_on:
        days = {"end": short_date(supply.expires_on), "work": short_date(need.needed_on)}
        return Cause.EXPIRES, say("The pledge ends on {end}; the work is on {work}.", **days)
    return (Cause.ASK, fit.reason) if fit.answer is Answer.ASK else None


def _condition(need: NeedLine, supply: SupplyLine) -> Say | None:
    if supply.counties and key(need.county) not in {key(county) for county in supply.counties}:
        return say("The pledge is for {counties} only.", counties=", ".join(supply.counties))
    if supply.household_kinds and not set(supply.household_kinds) & set(need.household_kinds):
        kinds = ", ".join(supply.household_kinds)
        return say("The pledge is for these households only: {kinds}.", kinds=kinds)
    return None


def _alike(need: NeedLine) -> object:
    return need.part, need.car, need.county, need.household_kinds, need.needed_on


def _check(lines: Sequence[NeedLine] | Sequence[SupplyLine], word: str) -> None:
    if len({line.id for line in lines}) < len(lines):
        raise ValueError(f"One {word} is given twice.")
    for line in lines:
        if line.quantity < 1:
            raise ValueError(f"A {word} of {line.quantity} units is not possible.")
