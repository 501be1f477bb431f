"""Which offered part serves which need, and why each need and offer without a partner has none.

>>> group = Fitment(bci_group="35", cold_cranking_amps=640)
>>> battery = Part(kind="battery", system=System.BATTERY, fitment=group)
>>> need = NeedLine(
...     id=1,
...     tier=1,
...     opened_on=date(2026, 11, 2),
...     needed_on=date(2026, 12, 1),
...     part=Part(kind="battery", system=System.BATTERY),
...     car=Car(bci_group="35", cold_cranking_amps=585),
... )
>>> [found] = match([need], [SupplyLine(id=9, pledge_id=4, part=battery)]).matches
>>> found.need_id, found.supply_id, str(found.reason)
(1, 9, 'It fits. It is of BCI group 35; the car takes 35. Tier 1, open since Nov 2.')
>>> [left] = match([need], []).unserved
>>> str(left.reason)
'Nobody offers this part.'

Served are the lowest tiers first, in them the most needs, of these the oldest, and with the offers
that expire first. Only an offer that fits is matched; one that somebody has to ask about is named.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass, field
from datetime import date
from enum import StrEnum
from typing import TYPE_CHECKING, Final

from shared.dates import short_date
from shared.say import Say, say
from sponsors.matching.assignment import assign, reassign
from vehicles.repairs.fitment import Answer, Car, Fit, Fitment, Part, System, serves

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence

    FitRule = Callable[[Part, Part, Car], Fit]


@dataclass(frozen=True, kw_only=True)
class NeedLine:
    """A need that is open: `quantity` units of a part for one car, wanted by a day."""

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
    pledge_id: int
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


@dataclass(frozen=True, kw_only=True)
class Match:
    """One unit of a supply for one unit of a need, with the reason."""

    need_id: int
    supply_id: int
    pledge_id: int
    reason: Say


@dataclass(frozen=True, kw_only=True)
class Unserved:
    """Units of a need without a partner: why, whom to ask about, and which needs come first."""

    need_id: int
    units: int
    cause: Cause
    reason: Say
    ask_supply_ids: tuple[int, ...] = ()
    ahead_need_ids: tuple[int, ...] = ()


@dataclass(frozen=True, kw_only=True)
class Idle:
    """Units of a supply without a partner, with the reason."""

    supply_id: int
    units: int
    reason: Say


@dataclass(frozen=True, kw_only=True)
class Matching:
    """Who gets what, in the order of the needs; who gets nothing; and what is left over."""

    matches: tuple[Match, ...]
    unserved: tuple[Unserved, ...]
    idle: tuple[Idle, ...]


def match(
    needs: Sequence[NeedLine], supplies: Sequence[SupplyLine], fits: FitRule = serves
) -> Matching:
    """Return the best matching of units, the same for any order of the arguments.

    Needs and supplies whose match is confirmed are left out by the caller.

    Raises:
        ValueError: an id twice, or a quantity below one.
    """
    raise NotImplementedError


def rematch(
    needs: Sequence[NeedLine],
    supplies: Sequence[SupplyLine],
    held: Iterable[tuple[int, int]],
    fits: FitRule = serves,
) -> Matching:
    """Return the matching after a pledge came or went, moving as few of `held` as it can.

    The needs served are those that `match` would serve; which offer serves them may differ. Parts
    of different kinds never meet, so that needs and supplies of the changed kinds are enough.

    Args:
        needs: as for `match`.
        supplies: as for `match`; a withdrawn one is left out, a new one is in.
        held: pairs of need and supply id, one a unit; a pair that no longer holds is dropped.
        fits: as for `match`.
    """
    raise NotImplementedError
