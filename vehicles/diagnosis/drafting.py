"""What a picture of a graph is made of: boxes with words, and lines between them.

>>> room("Fan"), wrapped("Head gasket leaks", 110)
(29, ('Head gasket', 'leaks'))
>>> str(in_hundred(0.541)), str(in_hundred(0.0004))
('54 in 100', 'under 1 in 100')
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from math import ceil
from typing import TYPE_CHECKING, Final

from shared.say import Say, say

if TYPE_CHECKING:
    from collections.abc import Mapping

    from vehicles.diagnosis.fault_model import Check, FaultModel

TEXT: Final = 14  # pixels of a letter's body, as .pic has it
LINE: Final = 18
_PAD: Final = 9
_LEAST: Final = 0.01  # of a share that is said as a whole number
#: Hundredths of the body, of a wide face, so that no text is wider: DejaVu Sans, measured.
_WIDTHS: Final = (("ijlI|.,:;!’'", 41), ("ft()[]r -/“”", 52), ("mwMW@%—", 100), ("acegksvxyz", 62))
_OTHER_LOWER, _OTHER_WIDTH = 64, 79
Pair = tuple[str, str]


class Kind(StrEnum):
    """What a box is: a fault, a check with what it showed, the next check; a job, or the gate."""

    FAULT = "fault"
    SEEN = "seen"
    NEXT = "next"
    JOB = "job"
    GATE = "gate"


class Tells(StrEnum):
    """What a line says.

    Of two faults: brings about. Of a fault and a check: for, against, or would tell. Of two jobs:
    comes before, or mends what brought about the other.
    """

    CAUSES = "causes"
    FOR = "for"
    AGAINST = "against"
    WOULD = "would"
    BEFORE = "before"
    MENDS = "mends"

    @property
    def leads(self) -> bool:
        """Whether the line has a direction, and so an arrow."""
        return self in (Tells.CAUSES, Tells.BEFORE, Tells.MENDS)


@dataclass(frozen=True, kw_only=True)
class Line:
    """One line of words; `x` and `y` are where its baseline starts."""

    x: int
    y: int
    words: Say | str
    strong: bool = False


@dataclass(frozen=True, kw_only=True)
class Box:
    """A fault or a check. `bar` is how many pixels of its lower border are ink: its share."""

    code: str
    kind: Kind
    x: int
    y: int
    width: int
    height: int
    lines: tuple[Line, ...]
    bar: int = 0


@dataclass(frozen=True, kw_only=True)
class Edge:
    """A line from the border of one box to that of another: `d` as a path of SVG, its ends.

    `head` is the path of its arrow, where it leads from one to the other.
    """

    source: str
    target: str
    tells: Tells
    d: str
    start: tuple[int, int]
    end: tuple[int, int]
    head: str = ""


@dataclass(frozen=True, kw_only=True)
class Layout:
    """A picture of so many pixels, to be drawn one to one."""

    width: int
    height: int
    boxes: tuple[Box, ...]
    edges: tuple[Edge, ...]


@dataclass(frozen=True, kw_only=True)
class Part:
    """What will be a box: `below` its title stands the share, or what was seen."""

    code: str
    kind: Kind
    title: str
    below: Say | str
    share: float = 0.0


@dataclass(frozen=True, kw_only=True)
class Graph:
    """What is shown, and what the lines between say, both by the names of parts."""

    parts: Mapping[str, Part]
    tells: Mapping[Pair, Tells]

    @property
    def checks(self) -> list[str]:
        """The names of the checks."""
        checks = (Kind.SEEN, Kind.NEXT)
        return [name for name, one in self.parts.items() if one.kind in checks]

    def edge(self, pair: Pair, start: tuple[int, int], end: tuple[int, int], d: str) -> Edge:
        """Return the line of a pair, whose path is `d`."""
        source, target = (self.parts[name].code for name in pair)
        tells = self.tells[pair]
        head = f"M{end[0]} {end[1]}l-9 -4v8z" if tells.leads else ""
        return Edge(source=source, target=target, tells=tells, d=d, start=start, end=end, head=head)


def graph_of(
    model: FaultModel, shares: Mapping[str, float], observed: Mapping[str, str], upcoming: str
) -> Graph:
    """Return the faults that have a share, the checks seen and the next, and their lines."""
    faults = [one for one in model.faults if one.code in shares]
    checks = [one for one in model.checks if one.code in observed or one.code == upcoming]
    parts = {
        f"fault {one.code}": Part(
            code=one.code,
            kind=Kind.FAULT,
            title=one.title,
            below=in_hundred(shares[one.code]),
            share=shares[one.code],
        )
        for one in faults
    }
    parts |= {f"check {one.code}": _check_part(one, observed.get(one.code)) for one in checks}
    tells = {
        (f"fault {cause}", f"fault {one.code}"): Tells.CAUSES
        for one in faults
        for cause in one.caused_by
        if cause in shares
    }
    tells |= {
        (f"fault {fault}", f"check {one.code}"): says
        for one in checks
        for fault in one.given
        if fault in shares and (says := _says(one, fault, observed.get(one.code)))
    }
    return Graph(parts=parts, tells=tells)


def box_of(part: Part, *, x: int, y: int, width: int) -> Box:
    """Return the box of a part: its title in lines, below it the share or what was seen."""
    title = wrapped(part.title, width - 2 * _PAD)
    below = (part.below,) if isinstance(part.below, Say) else wrapped(part.below, width - 2 * _PAD)
    words = [*((one, False) for one in title), *((one, True) for one in below)]
    lines = tuple(
        Line(x=x + _PAD, y=y + _PAD + TEXT + LINE * n, words=one, strong=strong)
        for n, (one, strong) in enumerate(words)
    )
    return Box(
        code=part.code,
        kind=part.kind,
        x=x,
        y=y,
        width=width,
        height=2 * _PAD + LINE * len(lines) + 2,
        lines=lines,
        bar=round(width * part.share),
    )


def room(text: str) -> int:
    """Return the pixels that a text takes at most on one line."""
    return ceil(sum(_width(one) for one in text) * TEXT / 100)


def wrapped(text: str, width: int) -> tuple[str, ...]:
    """Return a text in lines of at most so many pixels; a word wider than that is cut."""
    lines = [""]
    for word in text.split():
        longer = f"{lines[-1]} {word}".strip()
        if room(longer) <= width:
            lines[-1] = longer
            continue
        pieces = _cut(word, width)
        lines = [*(one for one in lines if one), *pieces]
    return tuple(lines)


def in_hundred(share: float) -> Say:
    """Return a probability as a picture says it."""
    if 0 < share < _LEAST:
        return say("under 1 in 100")
    if 1 - _LEAST < share < 1:
        return say("over 99 in 100")
    return say("{n} in 100", n=round(share * 100))


def _width(letter: str) -> int:
    for letters, width in _WIDTHS:
        if letter in letters:
            return width
    return _OTHER_LOWER if letter.islower() else _OTHER_WIDTH


def _cut(word: str, width: int) -> list[str]:
    pieces = [""]
    for letter in word:
        if pieces[-1] and room(pieces[-1] + letter) > width:
            pieces.append("")
        pieces[-1] += letter
    return pieces


def _check_part(check: Check, outcome: str | None) -> Part:
    if outcome is None:
        return Part(code=check.code, kind=Kind.NEXT, title=check.title, below=say("next check"))
    label = check.outcomes[check.place(outcome)].label
    return Part(code=check.code, kind=Kind.SEEN, title=check.title, below=label)


def _says(check: Check, fault: str, outcome: str | None) -> Tells | None:
    """Return whether what was seen is more or less frequent with the fault than without any."""
    if outcome is None:
        return Tells.WOULD
    place = check.place(outcome)
    mine, sound = check.given[fault][place], check.sound[place]
    if mine == sound:
        return None
    return Tells.FOR if mine > sound else Tells.AGAINST
