"""The open items of a car as a picture: what comes first, what mends a cause, and the gate."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from shared.charts import Chart
from shared.say import say
from vehicles.diagnosis.drafting import Graph, Kind, Part, Tells
from vehicles.diagnosis.layout import drawing, laid_out
from vehicles.operations.overlap import in_words
from vehicles.repairs.prerequisites import closure

if TYPE_CHECKING:
    from collections.abc import Collection, Mapping, Sequence

    from shared.say import Say

Pairs = dict[tuple[str, str], Tells]


@dataclass(frozen=True, kw_only=True)
class Drawable:
    """One item: what stands in its box, what it needs first, and what mends a cause of it."""

    id: int
    title: str
    tier: int
    access: str = ""
    first: tuple[int, ...] = ()
    causes: tuple[int, ...] = ()


def order_chart(items: Sequence[Drawable], gate: int | None, shared: Collection[str]) -> Chart:
    """Return the order of the items that have one, of those that share access, and the gate.

    `shared` are the codes of what comes off once for several. An arrow leads from what comes first;
    it is dashed where the first mends what brought about the other.
    """
    lines = _lines(items)
    met = {name for pair in lines for name in pair}
    shown = [item for item in items if str(item.id) in met or item.id == gate]
    graph = Graph(parts={str(one.id): _part(one, gate, shared) for one in shown}, tells=lines)
    titles = {item.id: item.title for item in items}
    rows = tuple((item.title, *_words(item, titles, gate)) for item in shown)
    listed = "; ".join(f"{title}: {after}" for title, after, _ in map(_plain, rows))
    return Chart(
        title=say("What comes first. {listed}", listed=listed),
        wide=drawing(laid_out(graph)),
        narrow=drawing(laid_out(graph, narrow=True)),
        heads=(say("Item"), say("After"), say("Note")),
        rows=rows,
    )


def _plain(row: tuple[str, Say | str, Say | str]) -> tuple[str, str, str]:
    return row[0], str(row[1]), str(row[2])


def _lines(items: Sequence[Drawable]) -> Pairs:
    """Return the arrows between items; one that another way says already is left out."""
    there = {item.id for item in items}
    needs = {item.id: there.intersection((*item.first, *item.causes)) for item in items}
    return {
        (str(first), str(item.id)): Tells.MENDS if first in item.causes else Tells.BEFORE
        for item in items
        for first in sorted(needs[item.id])
        if not _by_another_way(needs, item.id, first)
    }


def _by_another_way(needs: Mapping[int, Collection[int]], item: int, first: int) -> bool:
    others = [one for one in needs[item] if one != first]
    return first in closure(needs, others)


def _part(item: Drawable, gate: int | None, shared: Collection[str]) -> Part:
    below = say("tier {tier}", tier=item.tier)
    if item.id == gate:
        below = say("tier {tier}, the gate", tier=item.tier)
    elif item.access in shared:
        off = in_words(item.access)
        below = say("tier {tier}, {off} off", tier=item.tier, off=off)
    kind = Kind.GATE if item.id == gate else Kind.JOB
    # A plain text is broken into lines as the box needs it, a sentence is not.
    return Part(code=str(item.id), kind=kind, title=item.title, below=str(below))


def _words(
    item: Drawable, titles: Mapping[int, str], gate: int | None
) -> tuple[Say | str, Say | str]:
    """Return what comes before an item, and what is peculiar to it, for the table."""
    after = [
        str(
            say("{title} (mends the cause)", title=titles[one])
            if one in item.causes
            else titles[one]
        )
        for one in dict.fromkeys((*item.first, *item.causes))
        if one in titles
    ]
    note = say("the gate: solved or funded first") if item.id == gate else ""
    return "; ".join(after) or say("nothing"), note
