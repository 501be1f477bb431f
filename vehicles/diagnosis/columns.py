"""Which column each part of a graph stands in, in which order, and at which height.

>>> found = arrange(["fan", "gasket", "level"], [("fan", "gasket"), ("gasket", "level")], ["level"])
>>> found.columns
(('fan',), ('gasket',), ('level',))
>>> stack([20, 20, 20], [0, 0, 100], gap=10)
[-25, 5, 90]

Columns by the longest way to the last one, long edges by way of a place of their own in each column
between, orders by sweeps to the mean place of the neighbors, of which the best is kept. Source:
Sugiyama, Tagawa and Toda 1981, the method; from-memory.
"""

from __future__ import annotations

from bisect import bisect_right, insort
from collections import defaultdict
from dataclasses import dataclass
from itertools import pairwise
from typing import TYPE_CHECKING, Final

if TYPE_CHECKING:
    from collections.abc import Collection, Iterable, Mapping, Sequence

Pair = tuple[str, str]
_SWEEPS: Final = 12


@dataclass(frozen=True, kw_only=True)
class Columns:
    """Nodes by column from left to right, each from top to bottom.

    `ways` has for each edge all it passes: its source, its own places in columns between, its
    target. Those places stand in the columns like nodes, under names that no code can have.
    """

    columns: tuple[tuple[str, ...], ...]
    ways: Mapping[Pair, tuple[str, ...]]


def arrange(nodes: Sequence[str], edges: Sequence[Pair], last: Collection[str]) -> Columns:
    """Return nodes in columns so that each edge leads to the right; `last` take the last column.

    Edges have no circles, and none leads out of one of the last. Ties go by the order of nodes.
    """
    depth = _depths(nodes, edges, last)
    deepest = max(depth.values(), default=0)
    columns: list[list[str]] = [[] for _ in range(deepest + 1)]
    for node in nodes:
        columns[deepest - depth[node]].append(node)
    ways: dict[Pair, tuple[str, ...]] = {}
    for source, target in edges:
        between = range(deepest - depth[source] + 1, deepest - depth[target])
        own = {column: f"{source} {target} {column}" for column in between}
        for column, name in own.items():
            columns[column].append(name)
        ways[source, target] = (source, *own.values(), target)
    best = _sorted(columns, [step for way in ways.values() for step in pairwise(way)])
    return Columns(columns=tuple(tuple(one) for one in best if one), ways=ways)


def crossings(left: Sequence[str], right: Sequence[str], steps: Iterable[Pair]) -> int:
    """Return how many pairs of steps from one column to the next cross."""
    mine, other = _places(left), _places(right)
    ends = sorted((mine[a], other[b]) for a, b in steps if a in mine and b in other)
    above: list[int] = []
    count = 0
    for _, end in ends:
        count += len(above) - bisect_right(above, end)
        insort(above, end)
    return count


def stack(heights: Sequence[int], wanted: Sequence[int], *, gap: int) -> list[int]:
    """Return the top of each box of a column so that none overlap, in their order.

    `wanted` are the middles that they would like to have; the sum of squares by which they miss
    them is least (pool adjacent violators, from-memory).
    """
    offsets, top = [], 0
    for height in heights:
        offsets.append(top)
        top += height + gap
    pools: list[tuple[float, int]] = []  # mean wish, how many share it
    for height, offset, middle in zip(heights, offsets, wanted, strict=True):
        wish, count = middle - height / 2 - offset, 1
        while pools and pools[-1][0] > wish:
            other, many = pools.pop()
            wish, count = (wish * count + other * many) / (count + many), count + many
        pools.append((wish, count))
    wishes = [round(wish) for wish, count in pools for _ in range(count)]
    return [wish + offset for wish, offset in zip(wishes, offsets, strict=True)]


def _depths(nodes: Sequence[str], edges: Sequence[Pair], last: Collection[str]) -> dict[str, int]:
    """Return for each node the longest way from it to the last column."""
    after = defaultdict(list)
    for source, target in edges:
        after[source].append(target)
    found: dict[str, int] = dict.fromkeys(last, 0)

    def depth(node: str) -> int:
        if node not in found:
            found[node] = max((depth(one) + 1 for one in after[node]), default=1 if last else 0)
        return found[node]

    return {node: depth(node) for node in nodes}


def _sorted(columns: list[list[str]], steps: Sequence[Pair]) -> list[list[str]]:
    """Return the columns in the orders with the fewest crossings that the sweeps found."""
    before, after = defaultdict(list), defaultdict(list)
    for a, b in steps:
        before[b].append(a)
        after[a].append(b)
    best, fewest = columns, _all_crossings(columns, steps)
    now = columns
    for sweep in range(_SWEEPS):
        now = _swept(now, before) if sweep % 2 == 0 else _swept(now[::-1], after)[::-1]
        count = _all_crossings(now, steps)
        if count < fewest:
            best, fewest = now, count
    return best


def _swept(
    columns: Sequence[Sequence[str]], neighbors: Mapping[str, Sequence[str]]
) -> list[list[str]]:
    """Return the columns, each sorted by the mean place of its neighbors in the one before."""
    found = [list(columns[0])]
    for column in columns[1:]:
        places, own = _places(found[-1]), _places(column)
        size = max(len(places), 1) / max(len(column), 1)

        def mean(node: str, places: dict[str, int] = places, own: dict[str, int] = own) -> float:
            met = [places[one] for one in neighbors.get(node, ()) if one in places]
            return sum(met) / len(met) if met else own[node] * size  # noqa: B023 - called at once

        found.append(sorted(column, key=mean))
    return found


def _all_crossings(columns: Sequence[Sequence[str]], steps: Sequence[Pair]) -> int:
    return sum(crossings(left, right, steps) for left, right in pairwise(columns))


def _places(column: Sequence[str]) -> dict[str, int]:
    return {node: place for place, node in enumerate(column)}
