"""Who gets which unit of what: the best assignment under a strict order on both sides.

Takers claim units one by one; givers are numbered in the order in which they should be used up;
`edges[taker]` lists the givers that can serve a taker, in that order.

>>> assign([0, 1], edges=[[0, 1], [0]], units=[1, 1])
[{1: 1}, {0: 1}]
>>> assign([0, 1, 1, 2], edges=[[0], [0, 1], [1]], units=[1, 1])
[{0: 1}, {1: 1}, {}]

The sets of claims that can be served together form a matroid, and so do those of the givers. Hence
serving each claim in turn, whenever all earlier ones keep a place, is best for the order and serves
the most that can be served; and one assignment is best for both sides at once.

Source: Edmonds and Fulkerson 1965 (transversal matroids), Mendelsohn and Dulmage 1958 (both sides),
both from memory; the tests compare with full enumeration.
"""

from __future__ import annotations

from itertools import groupby
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Sequence


def assign(
    claims: Sequence[int], *, edges: Sequence[Sequence[int]], units: Sequence[int]
) -> list[dict[int, int]]:
    """Return for each taker how many units it gets from which giver.

    Args:
        claims: the taker of each unit that is claimed, most urgent claim first.
        edges: for each taker the givers that can serve it, ascending.
        units: what each giver has.
    """
    first = Flow(edges, list(units))
    served = [0] * len(edges)
    for taker, run in groupby(claims):
        served[taker] += first.push(taker, sum(1 for _ in run))
    # The same with the roles swapped finds the best givers for exactly the claims that are served.
    takers: list[list[int]] = [[] for _ in units]
    for taker, givers in enumerate(edges):
        if served[taker]:
            for giver in givers:
                takers[giver].append(taker)
    second = Flow(takers, served)
    for giver, have in enumerate(units):
        second.push(giver, have)
    return [dict(sorted(given.items())) for given in second.given]


def reassign(
    held: Sequence[int | None], *, edges: Sequence[Sequence[int]], units: Sequence[int]
) -> list[int | None]:
    """Return the giver of each claim after a change, moving as few of the held ones as it can.

    The claims that are served afterwards are those that `assign` would serve.

    Args:
        held: for each claim, most urgent first, the giver that it holds, if any; each still has an
            edge and a unit.
        edges: for each claim the givers that can serve it.
        units: what each giver has, the held units included.
    """
    flow = Flow(edges, list(units))
    for claim, giver in enumerate(held):
        if giver is not None:
            flow.hold(claim, giver)
    for claim, giver in enumerate(held):
        if giver is None:
            flow.insert(claim)
    result: list[int | None] = [None] * len(held)
    for giver, given in enumerate(flow.given):
        for claim in given:
            result[claim] = giver
    return result


class Flow:
    """Units on their way from the left side to the right side, and what is free on the right.

    A search that finds nothing has seen a closed region: no later search that enters it could
    leave it, so its left ends are marked and not entered again.
    """

    def __init__(self, edges: Sequence[Sequence[int]], free: list[int]) -> None:
        self.given: list[dict[int, int]] = [{} for _ in free]  # right -> left -> units
        self._edges = edges
        self._free = free
        self._next = [0] * len(edges)  # the first edge whose right end may be free
        self._dead = [False] * len(edges)

    def hold(self, left: int, right: int) -> None:
        """Put one unit on an edge as it is."""
        self._free[right] -= 1
        self.given[right][left] = self.given[right].get(left, 0) + 1

    def push(self, left: int, wanted: int) -> int:
        """Send up to `wanted` units from `left`, moving others if that helps; return how many."""
        sent = 0
        while sent < wanted and not self._dead[left]:
            way = _Way(left)
            end = self._search(way)
            if end is None:
                self._bury(way)
                break
            steps = way.back_from(end)
            room = [self._free[end], wanted - sent]
            room += [self.given[before][at] for before, at, _ in steps if before is not None]
            self._free[end] -= min(room)
            self._shift(steps, min(room))
            sent += min(room)
        return sent

    def insert(self, left: int) -> None:
        """Serve one unit of `left`, if need be in place of the last and later claim in reach."""
        way = _Way(left)
        end = self._search(way)
        last = max(way.came_by)
        taken = way.came_by[last]  # None where no later claim than this one was reached
        if end is not None:
            self._free[end] -= 1
            self._shift(way.back_from(end), 1)
        elif taken is not None:
            self._take(taken, last, 1)
            self._shift(way.back_from(taken), 1)
        else:
            self._bury(way)

    def _search(self, way: _Way) -> int | None:
        """Go breadth first along the way; return the first right end with a free unit, or None."""
        for left in way.queue:
            free = self._free_end(left)
            if free is not None:
                way.came_from[free] = left
                return free
            for right in self._edges[left]:
                if right not in way.came_from:
                    way.came_from[right] = left
                    for user in self.given[right]:
                        if user not in way.came_by and not self._dead[user]:
                            way.came_by[user] = right
                            way.queue.append(user)
        return None

    def _free_end(self, left: int) -> int | None:
        """Return the first free right end of `left`; one that is used up never gets free again."""
        edges, at = self._edges[left], self._next[left]
        while at < len(edges) and not self._free[edges[at]]:
            at += 1
        self._next[left] = at
        return edges[at] if at < len(edges) else None

    def _bury(self, way: _Way) -> None:
        for left in way.came_by:
            self._dead[left] = True

    def _shift(self, steps: list[tuple[int | None, int, int]], count: int) -> None:
        for before, left, right in steps:
            self.given[right][left] = self.given[right].get(left, 0) + count
            if before is not None:
                self._take(before, left, count)

    def _take(self, right: int, left: int, count: int) -> None:
        self.given[right][left] -= count
        if not self.given[right][left]:
            del self.given[right][left]


class _Way:
    """Where a search has been: how each end was reached, and the left ends still to go on from."""

    def __init__(self, start: int) -> None:
        self.came_by: dict[int, int | None] = {start: None}  # left -> the right end it gives up
        self.came_from: dict[int, int] = {}  # right -> the left end that asks it
        self.queue: list[int] = [start]

    def back_from(self, right: int) -> list[tuple[int | None, int, int]]:
        """Return the steps back to the start: what a left end gives up, itself, what it gets."""
        steps: list[tuple[int | None, int, int]] = []
        end: int | None = right
        while end is not None:
            left = self.came_from[end]
            steps.append((self.came_by[left], left, end))
            end = self.came_by[left]
        return steps
