"""A graph as boxes and lines: what brings about what and what was seen, or which job comes first.

>>> join((0, 0), (40, 20))
'C20 0 20 20 40 20'
>>> lanes({"fan": (0, 50), "hose": (60, 90), "gasket": (40, 70)})
{'fan': 0, 'gasket': 1, 'hose': 0}

Wide, faults stand in columns from causes to what they bring about, checks in the last. Narrow, they
stand one below the other: lines at the left go from causes to what they bring about, those at the
right from faults to checks. All numbers are whole pixels.
"""

from __future__ import annotations

from collections import defaultdict
from itertools import pairwise
from typing import TYPE_CHECKING, Final, TypeVar

from shared.charts import NARROW, WIDE, Drawing, Shape
from vehicles.diagnosis.columns import Columns, arrange, stack
from vehicles.diagnosis.drafting import Box, Edge, Graph, Kind, Layout, Tells, box_of, graph_of

if TYPE_CHECKING:
    from collections.abc import Iterable, Mapping, Sequence

    from vehicles.diagnosis.drafting import Pair
    from vehicles.diagnosis.fault_model import FaultModel

    Point = tuple[int, int]

Key = TypeVar("Key", str, tuple[str, str])
GAP: Final = 14  # between boxes of a column
_INSET: Final = 2  # of the whole picture, so that no frame is cut
_PLACE: Final = 8  # of a line that passes through a column
_WIDEST, _SLIMMEST, _BETWEEN = 280, 120, 44
_LANE, _SLIM_LANE, _EDGE = 8, 3, 12
_SLIM_BOX: Final = 170
_SETTLES: Final = 8  # sweeps of the heights to the middles of their neighbors


def lay_out(
    model: FaultModel,
    shares: Mapping[str, float],
    observed: Mapping[str, str],
    upcoming: str = "",
    *,
    narrow: bool = False,
) -> Layout:
    """Return the picture of the faults that have a share, and of what was seen.

    `shares` are the probabilities of the faults worth showing, `observed` the outcome of each
    check that was done, `upcoming` the check to do next; empty for none.

    Raises:
        ValueError: a check has no such outcome.
    """
    return laid_out(graph_of(model, shares, observed, upcoming), narrow=narrow)


def laid_out(graph: Graph, *, narrow: bool = False) -> Layout:
    """Return the picture of any graph without circles."""
    columns = arrange(list(graph.parts), list(graph.tells), graph.checks)
    return _narrow(graph, columns) if narrow else _wide(graph, columns)


def join(start: Point, end: Point) -> str:
    """Return the rest of a path that leaves a point and reaches another level, never turning."""
    middle = (start[0] + end[0]) // 2
    return f"C{middle} {start[1]} {middle} {end[1]} {end[0]} {end[1]}"


def lanes(spans: Mapping[str, tuple[int, int]]) -> dict[str, int]:
    """Return for each span the first lane in which no other touches it."""
    ends: list[int] = []
    found: dict[str, int] = {}
    for name, (low, high) in sorted(spans.items(), key=lambda one: (one[1], one[0])):
        free = next((n for n, end in enumerate(ends) if end < low), len(ends))
        ends[free : free + 1] = [high]
        found[name] = free
    return found


def drawing(layout: Layout) -> Drawing:
    """Return the picture in the shapes that the template of all charts draws."""
    looks = {Tells.AGAINST: "ax", Tells.WOULD: "ax", Tells.MENDS: "ax2 da"}
    shapes = [Shape(look=looks.get(one.tells, "ax2"), d=one.d) for one in layout.edges]
    shapes += [Shape(look="fi", d=one.head) for one in layout.edges if one.head]
    for one in layout.boxes:
        frame = f"M{one.x} {one.y}h{one.width}v{one.height}h-{one.width}z"
        shapes.append(Shape(look="ho" if one.kind is Kind.NEXT else "fs", d=frame))
        if one.kind is Kind.GATE:
            shapes.append(Shape(look="ax2", d=frame))
        if one.bar:
            bar = f"M{one.x} {one.y + one.height - 4}h{one.bar}v4h-{one.bar}z"
            shapes.append(Shape(look="fi", d=bar))
        shapes += [
            Shape(look="bd" if line.strong else "", x=line.x, y=line.y, words=line.words)
            for line in one.lines
        ]
    return Drawing(width=layout.width, height=layout.height, shapes=tuple(shapes))


def _wide(graph: Graph, found: Columns) -> Layout:
    """Return the picture in columns, as wide as a page; wider where there are many columns."""
    many = max(len(found.columns), 1)
    room = WIDE - 2 * _INSET
    width = min(_WIDEST, max(_SLIMMEST, (room - _BETWEEN * (many - 1)) // many))
    between = max(_BETWEEN, (room - many * width) // max(many - 1, 1))
    lefts = [_INSET + n * (width + between) for n in range(many)]
    heights = {
        name: box_of(part, x=0, y=0, width=width).height for name, part in graph.parts.items()
    }
    tops = _tops(found, heights)
    boxes = {
        name: box_of(graph.parts[name], x=left, y=tops[name], width=width)
        for left, column in zip(lefts, found.columns, strict=False)
        for name in column
        if name in graph.parts
    }
    return Layout(
        width=max(WIDE, lefts[-1] + width + _INSET),
        height=max((top + heights.get(n, _PLACE) for n, top in tops.items()), default=0) + _INSET,
        boxes=tuple(boxes[name] for name in graph.parts),
        edges=tuple(_wide_edges(graph, found, boxes, tops)),
    )


def _tops(found: Columns, heights: Mapping[str, int]) -> dict[str, int]:
    """Return where each box and each place of a line begins, near the middle of its neighbors."""
    before, after = defaultdict(list), defaultdict(list)
    for way in found.ways.values():
        for a, b in pairwise(way):
            before[b].append(a)
            after[a].append(b)
    middles: dict[str, int] = {}
    for column in found.columns:
        sizes = [heights.get(name, _PLACE) for name in column]
        tops = stack(sizes, [0] * len(column), gap=GAP)
        middles |= {n: t + s // 2 for n, t, s in zip(column, tops, sizes, strict=True)}
    for sweep in range(_SETTLES):
        near = before if sweep % 2 == 0 else after
        for column in found.columns if sweep % 2 == 0 else found.columns[::-1]:
            middles |= _settled(column, heights, near, middles)
    found_tops = {name: one - heights.get(name, _PLACE) // 2 for name, one in middles.items()}
    highest = min(found_tops.values(), default=0)
    return {name: top - highest + _INSET for name, top in found_tops.items()}


def _settled(
    column: Sequence[str],
    heights: Mapping[str, int],
    near: Mapping[str, Sequence[str]],
    middles: Mapping[str, int],
) -> dict[str, int]:
    """Return the middles of one column, each as near as may be to the mean of its neighbors."""
    sizes = [heights.get(name, _PLACE) for name in column]
    wanted = []
    for name in column:
        met = [middles[one] for one in near.get(name, ())] or [middles[name]]
        wanted.append(sum(met) // len(met))
    tops = stack(sizes, wanted, gap=GAP)
    return {n: top + size // 2 for n, top, size in zip(column, tops, sizes, strict=True)}


def _wide_edges(
    graph: Graph, found: Columns, boxes: Mapping[str, Box], tops: Mapping[str, int]
) -> Iterable[Edge]:
    """Yield the lines, each from a place of its own at the right of a box to one at the left."""
    leaving, reaching = defaultdict(list), defaultdict(list)
    for pair, way in found.ways.items():
        leaving[pair[0]].append((tops[way[1]], pair))
        reaching[pair[1]].append((tops[way[-2]], pair))
    starts = {pair: y for name, ends in leaving.items() for pair, y in _ports(boxes[name], ends)}
    ends = {pair: y for name, ends in reaching.items() for pair, y in _ports(boxes[name], ends)}
    columns = {name: n for n, column in enumerate(found.columns) for name in column}
    lefts = {columns[name]: one.x for name, one in boxes.items()}
    for pair, way in found.ways.items():
        source, target = boxes[pair[0]], boxes[pair[1]]
        start, end = (source.x + source.width, starts[pair]), (target.x, ends[pair])
        d, here = f"M{start[0]} {start[1]}", start
        for name in way[1:-1]:
            there = (lefts[columns[name]], tops[name] + _PLACE // 2)
            d += f"{join(here, there)}H{there[0] + source.width}"
            here = (there[0] + source.width, there[1])
        yield graph.edge(pair, start, end, d + join(here, end))


def _ports(box: Box, ends: Sequence[tuple[int, Key]]) -> Iterable[tuple[Key, int]]:
    """Yield the heights at which lines meet a box, in the order of their other ends."""
    for n, (_, key) in enumerate(sorted(ends), 1):
        yield key, box.y + n * box.height // (len(ends) + 1)


def _narrow(graph: Graph, found: Columns) -> Layout:
    """Return the picture as one list for a phone, with its lines in lanes at both sides."""
    order = [name for column in found.columns for name in column if name in graph.parts]
    causes = [pair for pair, tells in graph.tells.items() if tells.leads]
    others = [pair for pair, tells in graph.tells.items() if not tells.leads]
    left = lanes(_spans(order, causes, end=0))
    right = lanes(_spans(order, others, end=1))
    many = [max(one.values(), default=-1) for one in (left, right)]
    lane = min(_LANE, max(_SLIM_LANE, (NARROW - _SLIM_BOX) // max(sum(many), 1)))
    x, rest = (_EDGE * (n >= 0) + lane * max(n, 0) + _INSET for n in many)
    boxes: dict[str, Box] = {}
    y = _INSET
    for name in order:
        boxes[name] = box_of(graph.parts[name], x=x, y=y, width=NARROW - x - rest)
        y += boxes[name].height + GAP
    at_left = {a: x - _EDGE - lane * n for a, n in left.items()}
    at_right = {b: NARROW - rest + _EDGE + lane * n for b, n in right.items()}
    edges = [
        *_laned(graph, boxes, {pair: pair[0] for pair in causes}, at_left),
        *_laned(graph, boxes, {pair: pair[1] for pair in others}, at_right),
    ]
    return Layout(
        width=NARROW,
        height=max(y - GAP, 0) + _INSET,
        boxes=tuple(boxes[name] for name in graph.parts),
        edges=tuple(edges),
    )


def _spans(order: Sequence[str], pairs: Sequence[Pair], *, end: int) -> dict[str, tuple[int, int]]:
    """Return from where to where the line of each source (or target) reaches, in places."""
    places = {name: place for place, name in enumerate(order)}
    met: dict[str, list[int]] = defaultdict(list)
    for pair in pairs:
        met[pair[end]] += [places[name] for name in pair]
    return {name: (min(several), max(several)) for name, several in met.items()}


def _laned(
    graph: Graph, boxes: Mapping[str, Box], hubs: Mapping[Pair, str], xs: Mapping[str, int]
) -> Iterable[Edge]:
    """Yield lines that leave a box sideways, go along the lane of their hub, and come back.

    A hub, the end that all lines of a lane share, has one place where they meet it.
    """
    meeting = defaultdict(list)
    for pair in hubs:
        for mine, other in (pair, pair[::-1]):
            meeting[mine].append((0 if mine == hubs[pair] else boxes[other].y, hubs[pair]))
    ports = {
        (name, hub): y
        for name, ends in meeting.items()
        for hub, y in _ports(boxes[name], sorted(set(ends)))
    }
    for pair in hubs:
        x, hub = xs[hubs[pair]], hubs[pair]
        start, end = ((_side(boxes[name], x), ports[name, hub]) for name in pair)
        yield graph.edge(pair, start, end, f"M{start[0]} {start[1]}H{x}V{end[1]}H{end[0]}")


def _side(box: Box, x: int) -> int:
    """Return the border of a box that faces a lane."""
    return box.x if x < box.x else box.x + box.width
