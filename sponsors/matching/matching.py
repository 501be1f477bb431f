"""Which offered part serves which need, and why each need and offer without a partner has none.

>>> from datetime import date
>>> from vehicles.repairs.fitment import Car, Fitment, Part, System
>>> stated = Fitment(bci_group="35", cold_cranking_amps=640)
>>> need = NeedLine(
...     id=1,
...     tier=1,
...     opened_on=date(2026, 11, 2),
...     needed_on=date(2026, 12, 1),
...     part=Part(kind="battery", system=System.BATTERY),
...     car=Car(bci_group="35", cold_cranking_amps=585),
... )
>>> offer = Part(kind="battery", system=System.BATTERY, fitment=stated)
>>> [found] = match([need], [SupplyLine(id=9, pledge_id=4, part=offer)]).matches
>>> found.need_id, found.supply_id, str(found.reason)
(1, 9, 'It is of BCI group 35; the car takes 35. Tier 1, open since Nov 2.')
>>> [left] = match([need], []).unserved
>>> str(left.reason)
'No pledge is of this part.'

Served are the lowest tiers first, in them the most needs, of these the oldest, and with the pledges
that expire first. Only what fits is matched; a pledge that somebody has to ask about is named.
"""

from __future__ import annotations

from collections import Counter
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from shared.dates import short_date
from shared.say import say
from sponsors.matching.assignment import assign, reassign
from sponsors.matching.compatibility import Cause, Compatibility, NeedLine, SupplyLine
from vehicles.repairs.fitment import serves

if TYPE_CHECKING:
    from collections.abc import Iterable, Sequence

    from shared.say import Say
    from sponsors.matching.compatibility import FitRule

__all__ = [
    "Cause",
    "Idle",
    "Match",
    "Matching",
    "NeedLine",
    "SupplyLine",
    "Unserved",
    "match",
    "rematch",
]

_NAMED: Final = 5  # a sentence names so many needs that come first, and counts the others


@dataclass(frozen=True, kw_only=True)
class Match:
    """One unit of a supply for one unit of a need, with the reason."""

    need_id: int
    supply_id: int
    pledge_id: int | None
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
    can = Compatibility(needs, supplies, fits)
    claims = [class_ for _, class_ in can.claims]
    given = assign(claims, edges=can.edges, units=[supply.quantity for supply in can.supplies])
    # In a class the first claims are the ones served, with the pledges that expire first.
    stock = [[at for at, units in gets.items() for _ in range(units)][::-1] for gets in given]
    return _explained(can, [stock[class_].pop() if stock[class_] else None for class_ in claims])


def rematch(
    needs: Sequence[NeedLine],
    supplies: Sequence[SupplyLine],
    held: Iterable[tuple[int, int]],
    fits: FitRule = serves,
) -> Matching:
    """Return the matching after a pledge came or went, moving few of the pairs that are `held`.

    The needs served are those that `match` would serve; which pledge serves them may differ. Parts
    of different kinds never meet, so needs and supplies of the kinds that changed are enough.

    Args:
        needs: as for `match`.
        supplies: as for `match`; a withdrawn one is left out, a new one is in.
        held: pairs of need and supply id, one a unit; a pair that no longer holds is dropped.
        fits: as for `match`.
    """
    can = Compatibility(needs, supplies, fits)
    pairs = Counter(held)
    left = [supply.quantity for supply in can.supplies]
    kept = [_kept(need.id, class_, can, pairs, left) for need, class_ in can.claims]
    edges = [can.edges[class_] for _, class_ in can.claims]
    units = [supply.quantity for supply in can.supplies]
    return _explained(can, reassign(kept, edges=edges, units=units))


def _kept(
    need_id: int, class_: int, can: Compatibility, pairs: Counter[tuple[int, int]], left: list[int]
) -> int | None:
    """Return the supply that one unit keeps, taking it from the `pairs` and units `left`."""
    for at in can.edges[class_]:
        pair = (need_id, can.supplies[at].id)
        if pairs[pair] and left[at]:
            pairs[pair] -= 1
            left[at] -= 1
            return at
    return None


def _explained(can: Compatibility, givers: Sequence[int | None]) -> Matching:
    """Return the matching in words; `givers` holds the supply of each unit, in claim order."""
    matches: list[Match] = []
    lacking: Counter[tuple[NeedLine, int]] = Counter()
    users: dict[int, list[int]] = {}
    for (need, class_), giver in zip(can.claims, givers, strict=True):
        if giver is None:
            lacking[need, class_] += 1
        else:
            matches.append(_match(can, need, can.supplies[giver]))
            users.setdefault(giver, []).append(need.id)
    words = _Words(can, users)
    return Matching(
        matches=tuple(matches),
        unserved=tuple(words.unserved(*who, units) for who, units in lacking.items()),
        idle=tuple(words.idle()),
    )


def _match(can: Compatibility, need: NeedLine, supply: SupplyLine) -> Match:
    reason = say(
        "{fit} Tier {tier}, open since {day}.",
        fit=can.fit(need, supply).reason,
        tier=need.tier,
        day=short_date(need.opened_on),
    )
    return Match(need_id=need.id, supply_id=supply.id, pledge_id=supply.pledge_id, reason=reason)


class _Words:
    """Why units have no partner, once it is known which needs use each supply."""

    def __init__(self, can: Compatibility, users: dict[int, list[int]]) -> None:
        self._can = can
        self._users = users
        self._obstacles: dict[int, list[tuple[Cause, Say, SupplyLine]]] = {}
        self._ahead: dict[int, list[int]] = {}

    def unserved(self, need: NeedLine, class_: int, units: int) -> Unserved:
        if class_ not in self._obstacles:
            self._obstacles[class_] = self._can.obstacles(class_)
            self._ahead[class_] = self._in_front(class_)
        obstacles = self._obstacles[class_]
        asked = tuple(supply.id for cause, _, supply in obstacles if cause is Cause.ASK)
        edges = self._can.edges[class_]
        ahead = [other for other in self._ahead[class_] if other != need.id]
        cause = Cause.OUTRANKED if edges else obstacles[0][0] if obstacles else Cause.NO_SUPPLY
        return Unserved(
            need_id=need.id,
            units=units,
            cause=cause,
            reason=_outranked(ahead) if edges else _nearest([why for _, why, _ in obstacles]),
            ask_supply_ids=asked,
            ahead_need_ids=tuple(ahead),
        )

    def _in_front(self, class_: int) -> list[int]:
        users = (user for at in self._can.edges[class_] for user in self._users.get(at, ()))
        return list(dict.fromkeys(users))

    def idle(self) -> list[Idle]:
        serving = {at for edges in self._can.edges for at in edges}
        found = []
        for at, supply in enumerate(self._can.supplies):
            units = supply.quantity - len(self._users.get(at, ()))
            if units:
                reason = self._no_use(supply, serves_some=at in serving)
                found.append(Idle(supply_id=supply.id, units=units, reason=reason))
        return found

    def _no_use(self, supply: SupplyLine, *, serves_some: bool) -> Say:
        if serves_some:
            return say("Each need that it can serve is served.")
        if self._can.is_wanted(supply):
            return say("It can serve none of the needs for this part.")
        return say("No need is for this part.")


def _outranked(ahead: list[int]) -> Say:
    if not ahead:
        return say("All that fits is used for this need, and more is needed.")
    named = ", ".join(str(need_id) for need_id in ahead[:_NAMED])
    if len(ahead) <= _NAMED:
        return say("All that fits is kept for needs that come first: {needs}.", needs=named)
    return say(
        "All that fits is kept for needs that come first: {needs} and {count} more.",
        needs=named,
        count=len(ahead) - _NAMED,
    )


def _nearest(reasons: list[Say]) -> Say:
    if not reasons:
        return say("No pledge is of this part.")
    if len(reasons) == 1:
        return say("The one pledge of this part can’t serve it: {reason}", reason=reasons[0])
    return say(
        "None of the {count} pledges of this part can serve it. The nearest: {reason}",
        count=len(reasons),
        reason=reasons[0],
    )
