"""Which repair item needs which others first: order, all that one needs, circles, and the gate.

A graph is a mapping from an item's id to the ids that it needs done before it.

>>> order({3: [1], 2: [3], 1: []})
[1, 3, 2]
>>> order({1: [2], 2: [1]}, {1: "Water pump", 2: "Timing belt"})
Traceback (most recent call last):
ValueError: “Water pump” needs itself, by way of “Timing belt”.

The gate is the big item without which the rest of a car is money lost: the dearest of tiers 0 and
1, where it is more than the teardown allowance and at least half of what these tiers take together.
Nothing else of the car is bought or asked for before it is solved or funded. Source: the gate of
the ranking rule (program policy); which item is the big one, common practice, no source.
"""

from __future__ import annotations

from dataclasses import dataclass
from heapq import heapify, heappop, heappush
from types import MappingProxyType
from typing import TYPE_CHECKING, Final

from shared.money import usd
from shared.problems import Problem
from shared.say import Say, say
from vehicles.repairs.explain import TEARDOWN_CENTS

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Mapping

GATED_TIER: Final = 1  # tiers 0 and 1 are all or nothing
GATE_PERCENT: Final = 50  # of what these tiers cost together; program policy, no source
_NO_NAMES: Final[Mapping[int, str]] = MappingProxyType({})
_NOTHING: Final[Mapping[int, tuple[int, ...]]] = MappingProxyType({})


def order(needs: Mapping[int, Collection[int]], names: Mapping[int, str] = _NO_NAMES) -> list[int]:
    """Return all items, each after what it needs; of those free to go, the lowest id first.

    Raises:
        ValueError: an item needs itself, directly or in a circle; the sentence names the circle.
    """
    done = _in_order(needs)
    found = _circle(needs, done)
    if found:
        raise ValueError(str(_sentence(found, names)))
    return done


def check(
    needs: Mapping[int, Collection[int]], names: Mapping[int, str] = _NO_NAMES
) -> list[Problem]:
    """Return what is wrong with the graph: at most the first circle, or nothing."""
    found = circle(needs)
    if not found:
        return []
    remedy = say("Take one of these prerequisites away.")
    return [Problem(_sentence(found, names), remedy=remedy, where=str(found[0]))]


def circle(needs: Mapping[int, Collection[int]]) -> tuple[int, ...]:
    """Return the items of a circle, each needing the next and the last the first; empty if none."""
    return _circle(needs, _in_order(needs))


def closure(needs: Mapping[int, Collection[int]], wanted: Iterable[int]) -> list[int]:
    """Return `wanted` and all that they need, in the order of the work.

    Raises:
        ValueError: what is wanted needs itself in a circle.
    """
    found: set[int] = set()
    waiting = list(wanted)
    while waiting:
        item = waiting.pop()
        if item not in found:
            found.add(item)
            waiting.extend(needs.get(item, ()))
    return order({item: needs.get(item, ()) for item in found})


def by_causes(
    clears: Mapping[int, Collection[int]],
    causes: Mapping[int, int],
    needs: Mapping[int, Collection[int]] = _NOTHING,
) -> tuple[dict[int, set[int]], dict[int, int]]:
    """Return what comes first because it caused what an item clears, and causes nobody repairs.

    `clears` maps an item to its findings, `causes` an open finding to the open one that caused it,
    `needs` is the order on record. The first result maps an item to those that come before it;
    where that would close a circle the two are one job and stay unordered. The second maps an item
    to the nearest cause of its findings that no item clears.

    >>> by_causes({7: [1], 8: [2]}, {1: 2, 2: 3})
    ({7: {8}}, {7: 3, 8: 3})
    """
    clearing: dict[int, set[int]] = {}
    for item, findings in clears.items():
        for finding in findings:
            clearing.setdefault(finding, set()).add(item)
    known = {item: set(first) for item, first in needs.items()}
    found: dict[int, set[int]] = {}
    orphans: dict[int, int] = {}
    for item in sorted(clears):
        for cause in _causes_of(clears[item], causes):
            if not clearing.get(cause):
                orphans.setdefault(item, cause)
            for first in sorted(clearing.get(cause, set()) - {item}):
                if item not in closure(known, [first]):
                    known.setdefault(item, set()).add(first)
                    found.setdefault(item, set()).add(first)
    return found, orphans


@dataclass(frozen=True, kw_only=True)
class Costed:
    """An open item of a car: what its parts and work elsewhere likely cost before any gift.

    It is `funded` when parts are kept or bought for it, and money is set aside for the rest.
    """

    id: int
    title: str
    tier: int
    likely_cents: int
    funded: bool = False

    @property
    def holds(self) -> Say:
        """What it means for the rest of the car, when it is a gate that is not funded."""
        return say(
            "“{gate}” comes first: its parts and work elsewhere likely cost {cost}, and it is "
            "neither done nor funded. Nothing else of this car is bought or asked for before.",
            gate=self.title,
            cost=usd(self.likely_cents),
        )


def gate_of(items: Iterable[Costed]) -> Costed | None:
    """Return the big item of a car's open ones, whether it is funded or not; None if there is none.

    >>> small = Costed(id=1, title="Brake hose", tier=0, likely_cents=40_00)
    >>> big = Costed(id=2, title="Head gasket", tier=1, likely_cents=930_00)
    >>> gate_of([small, big]).title
    'Head gasket'
    """
    gated = [item for item in items if item.tier <= GATED_TIER]
    dearest = max(gated, key=lambda item: (item.likely_cents, -item.id), default=None)
    if dearest is None or dearest.likely_cents <= TEARDOWN_CENTS:
        return None
    together = sum(item.likely_cents for item in gated)
    return dearest if dearest.likely_cents * 100 >= GATE_PERCENT * together else None


def held_by_gate(
    items: Collection[Costed], needs: Mapping[int, Collection[int]] = _NOTHING
) -> dict[int, Costed]:
    """Return the items of one car for which nothing may be bought or asked for yet, and their gate.

    What the gate itself needs first is not held. `needs` is the order of the car's items. Why, says
    `holds` of the gate.
    """
    gate = gate_of(items)
    if gate is None or gate.funded:
        return {}
    free = set(closure(needs, [gate.id]))
    return {item.id: gate for item in items if item.id not in free}


def _causes_of(findings: Iterable[int], causes: Mapping[int, int]) -> list[int]:
    """Return what caused these findings, and what caused that, nearest first."""
    found: dict[int, None] = {}
    waiting = [causes[one] for one in sorted(findings) if one in causes]
    while waiting:
        cause = waiting.pop(0)
        if cause not in found:
            found[cause] = None
            waiting += [causes[cause]] if cause in causes else []
    return list(found)


def _in_order(needs: Mapping[int, Collection[int]]) -> list[int]:
    """Return the items that can be put in order; those in or behind a circle are left out."""
    missing = {item: len(set(first)) for item, first in needs.items()}
    followers: dict[int, list[int]] = {}
    for item, first in needs.items():
        for needed in set(first):
            missing.setdefault(needed, 0)
            followers.setdefault(needed, []).append(item)
    ready = [item for item, count in missing.items() if count == 0]
    heapify(ready)
    done: list[int] = []
    while ready:
        item = heappop(ready)
        done.append(item)
        for follower in followers.get(item, ()):
            missing[follower] -= 1
            if missing[follower] == 0:
                heappush(ready, follower)
    return done


def _circle(needs: Mapping[int, Collection[int]], done: Collection[int]) -> tuple[int, ...]:
    left = set(needs) - set(done)
    if not left:
        return ()
    # Each item left needs another one left, so the walk has to come back to where it was.
    walk: dict[int, None] = {}
    item = min(left)
    while item not in walk:
        walk[item] = None
        item = min(needed for needed in needs[item] if needed in left)
    path = list(walk)
    path = path[path.index(item) :]
    start = path.index(min(path))
    return tuple(path[start:] + path[:start])


def _sentence(found: tuple[int, ...], names: Mapping[int, str]) -> Say:
    quoted = [f"“{names.get(item, f'Item {item}')}”" for item in found]
    if len(quoted) == 1:
        return say("{name} needs itself.", name=quoted[0])
    return say(
        "{name} needs itself, by way of {others}.", name=quoted[0], others=", ".join(quoted[1:])
    )
