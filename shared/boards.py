"""The board of weeks and bays as plain geometry: which car stands where on which day.

>>> lanes([Stay(bay="1", first=0, days=2, label="a"), Stay(bay="1", first=1, days=1, label="b")])
[0, 1]
>>> lanes([Stay(bay="1", first=0, days=1, label="a"), Stay(bay="1", first=1, days=1, label="b")])
[0, 0]
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from shared.charts import Chart, Drawing, Shape, line, words
from shared.dates import long_date, short_date
from shared.say import say

if TYPE_CHECKING:
    import datetime as dt
    from collections.abc import Sequence

LEFT, DAYS_WIDE = 86, 870  # the names of the bays, and the room of all days beside them
TOP, ROW = 50, 46
LETTERED = 20  # days that are told by letter and number; of more only the number has room
SIDE, COLUMNS = 52, 308  # on a phone: the names of the days, and the room of all bays
TALL, BESIDE, BELOW = 34, 5, 20  # there: a day, the bays in one row, the room under a row
LETTER = 7.6  # how wide a letter of the label face is at 14 px, at most


@dataclass(frozen=True, kw_only=True)
class Stay:
    """A car in a bay: its first day and how many days, counted among the board's days.

    `label` is drawn where it fits, else `short`; a `quick` one (an inspection, a hand-back) is an
    outlined number instead of a tag.
    """

    bay: str
    first: int
    days: int
    label: str
    short: str = ""
    quick: bool = False


def lanes(stays: Sequence[Stay]) -> list[int]:
    """Return a lane for each stay of one bay; stays that share a day get different ones."""
    ends: list[int] = []
    taken: dict[int, int] = {}
    order = sorted(range(len(stays)), key=lambda i: (stays[i].first, -stays[i].days, i))
    for i in order:
        stay = stays[i]
        lane = next((n for n, end in enumerate(ends) if end <= stay.first), len(ends))
        ends[lane : lane + 1] = [stay.first + stay.days]
        taken[i] = lane
    return [taken[i] for i in range(len(stays))]


def board(days: Sequence[dt.date], bays: Sequence[str], stays: Sequence[Stay]) -> Chart:
    """Return the weeks as a picture: days across and bays down, on a phone the other way round.

    Raises:
        ValueError: a stay names a bay or a day that the board doesn't have.
    """
    for stay in stays:
        if stay.bay not in bays or stay.days < 1 or not 0 <= stay.first <= len(days) - stay.days:
            raise ValueError(f"{stay.label} doesn't stand on this board of {len(days)} days.")
    placed = [_placed([stay for stay in stays if stay.bay == bay]) for bay in bays]
    listed = "; ".join(
        f"{stay.label} in {stay.bay} from {long_date(days[stay.first])} for {_days(stay.days)}"
        for bay in placed
        for stay, _ in bay
    )
    return Chart(
        title=say("{count} bays. {listed}.", count=len(bays), listed=listed or "Nothing is booked"),
        wide=_wide(days, bays, placed),
        narrow=_narrow(days, bays, placed),
        heads=(say("Bay"), say("Car"), say("From"), say("Days")),
        rows=tuple(
            (stay.bay, stay.label, short_date(days[stay.first]), str(stay.days))
            for bay in placed
            for stay, _ in bay
        ),
    )


def _days(count: int) -> str:
    return "1 day" if count == 1 else f"{count} days"


def _placed(stays: list[Stay]) -> list[tuple[Stay, int]]:
    """Return the stays of one bay by day, each with its lane."""
    return sorted(zip(stays, lanes(stays), strict=True), key=lambda pair: (pair[0].first, pair[1]))


def _depth(bay: list[tuple[Stay, int]]) -> int:
    """Return how many lanes a bay needs, at least one."""
    return max((lane for _, lane in bay), default=0) + 1


def _wide(
    days: Sequence[dt.date], bays: Sequence[str], placed: list[list[tuple[Stay, int]]]
) -> Drawing:
    """Return the drawing for a wide page."""
    every = DAYS_WIDE / len(days)
    bottom = TOP + ROW * sum(_depth(bay) for bay in placed)
    shapes = []
    for i, day in enumerate(days):
        x = round(LEFT + every * i, 1)
        monday = day.weekday() == 0 or i == 0
        shapes.append(line("ax2" if monday else "ax", f"M{x:g} {4 if monday else 26}V{bottom}"))
        told = f"{day:%a}"[0] + f" {day.day}" if len(days) <= LETTERED else str(day.day)
        shapes.append(words(x + 6, 38, told, "lb"))
        if monday:
            shapes.append(
                words(x + 6, 16, say("Week of {day}", day=long_date(day).split(", ")[1]), "bd")
            )
    right = LEFT + DAYS_WIDE
    shapes.append(line("ax2", f"M{right} 4V{bottom}M0 {TOP}H{right}M0 {bottom}H{right}"))
    y = TOP
    for name, bay in zip(bays, placed, strict=True):
        shapes.append(words(0, y + 28, name, "lb"))
        if y > TOP:
            shapes.append(line("ax", f"M0 {y}H{right}"))
        for stay, lane in bay:
            x = LEFT + every * stay.first + 3
            shapes += _tag(stay, x=x, y=y + ROW * lane + 7, width=every * stay.days - 6)
        y += ROW * _depth(bay)
    return Drawing(width=right + 2, height=bottom + 4, shapes=tuple(shapes))


def _tag(stay: Stay, *, x: float, y: float, width: float) -> list[Shape]:
    """Return a tag lying on its side, or a box for a quick stay, with as many words as fit."""
    x, right = round(x, 1), round(x + width, 1)
    texts = (stay.label, stay.label.partition(" ")[0], stay.short)
    text = next((t for t in texts if len(t) * LETTER <= width - 26), "")
    if stay.quick:
        frame = Shape(look="fs", d=f"M{x:g} {y:g}H{right:g}V{y + 32:g}H{x:g}Z")
        return [frame, words((x + right) / 2, y + 21, text or stay.short, "bd", "middle")]
    d = f"M{x + 8:g} {y:g}H{right:g}V{y + 32:g}H{x + 8:g}L{x:g} {y + 24:g}V{y + 8:g}Z"
    eye = Shape(look="ho", x=x + 10, y=y + 16, r=3.6)
    return [Shape(look="ft", d=d), eye, words(x + 20, y + 21, text, "tg")]


def _narrow(
    days: Sequence[dt.date], bays: Sequence[str], placed: list[list[tuple[Stay, int]]]
) -> Drawing:
    """Return the drawing for a phone: days down, bays across, many bays in rows of some."""
    high = 34 + TALL * len(days)
    shapes: list[Shape] = []
    top = 0
    for first in range(0, len(bays), BESIDE):
        some = slice(first, first + BESIDE)
        shapes += _columns(days, list(zip(bays[some], placed[some], strict=True)), top=top)
        top += high + BELOW
    return Drawing(width=NARROW_WIDTH, height=max(top - BELOW, high), shapes=tuple(shapes))


def _columns(
    days: Sequence[dt.date], bays: list[tuple[str, list[tuple[Stay, int]]]], *, top: int
) -> list[Shape]:
    """Return some bays beside each other over all days, from a height on."""
    shapes = []
    for i, day in enumerate(days):
        y = top + 30 + TALL * i
        look = "ax2" if day.weekday() == 0 or i == 0 else "ax"
        shapes.append(line(look, f"M0 {y}H{SIDE + COLUMNS}"))
        shapes.append(words(0, y + 22, f"{day:%a}"[0] + f" {day.day}", "lb"))
    shapes.append(line("ax2", f"M0 {top + 30 + TALL * len(days)}H{SIDE + COLUMNS}"))
    every = COLUMNS / len(bays)
    for n, (name, bay) in enumerate(bays):
        x = SIDE + every * n
        shapes.append(words(round(x, 1), top + 16, _cut(name, every), "lb"))
        lane_width = (every - 6) / _depth(bay)
        for stay, lane in bay:
            left, y = x + lane_width * lane, top + 33 + TALL * stay.first
            shapes += _hanging(stay, x=left, y=y, width=lane_width - 2)
    return shapes


NARROW_WIDTH = SIDE + COLUMNS


def _cut(text: str, width: float) -> str:
    """Return as much of a text as fits."""
    return text[: max(3, int(width / LETTER))].rstrip(" ,")


def _hanging(stay: Stay, *, x: float, y: float, width: float) -> list[Shape]:
    """Return a tag that hangs down over its days, its words one below the other."""
    x, right, low = round(x, 1), round(x + width, 1), y + TALL * stay.days - 6
    middle = round((x + right) / 2, 1)
    if stay.quick or stay.days == 1:
        frame = Shape(look="fs" if stay.quick else "ft", d=f"M{x:g} {y}H{right:g}V{low}H{x:g}Z")
        return [frame, words(middle, y + 19, _cut(stay.short or stay.label, width), "bd", "middle")]
    d = f"M{x + 8:g} {y}H{right - 8:g}L{right:g} {y + 8}V{low}H{x:g}V{y + 8}Z"
    shapes = [Shape(look="ft", d=d), Shape(look="ho", x=middle, y=y + 10, r=3.6)]
    first, *others = stay.label.split(" ")
    fits = len(first) * LETTER <= width - 8
    lines = [first if fits else stay.short or _cut(first, width - 8)]
    lines += [_shortened(text, width - 8) for text in others]
    for i, text in enumerate(lines[: max(1, int(low - y - 20) // 18)]):
        shapes.append(words(x + 8, y + 36 + 18 * i, text, "tg"))
    return shapes


def _shortened(text: str, width: float) -> str:
    """Return a name whole where it fits, else its beginning with a full stop."""
    return text if len(text) * LETTER <= width else f"{_cut(text, width - LETTER)}."
