"""The charts of pages, drawn on paper: the same geometry, black on white."""

from __future__ import annotations

import re
from typing import TYPE_CHECKING, Any

from reportlab.graphics.shapes import Circle, Drawing, Group, Path, String
from reportlab.lib.colors import Color, black, white

from shared.documents.pieces import GRAY, LINE, Picture
from shared.documents.typefaces import BOLD, TEXT, register

if TYPE_CHECKING:
    from collections.abc import Iterator

    from shared.charts import Chart, Shape

HATCH = Color(0.75, 0.75, 0.75)  # hatching becomes a plain gray, which any printer keeps apart
SIZE, TAG_SIZE = 13, 11  # a tag is as long as its words are in a narrower face
STROKES: dict[str, tuple[Color, float]] = {
    "ax": (LINE, 0.8),
    "ax2": (black, 1.6),
    "st": (black, 2),
    "fs": (black, 1.3),
    "ft": (black, 1.3),
    "ho": (black, 1.2),
    "hl": (black, 1.4),
}
FILLS = {"fi": black, "fs": white, "ft": white, "ho": white}
TOKEN = re.compile(r"[MLlHVhvZz]|-?\d+(?:\.\d+)?")


def picture(chart: Chart, width: float) -> Picture:
    """Return a chart's wide drawing, `width` points wide; its title is the text alternative."""
    register()
    scale = width / chart.wide.width
    # A page counts from its foot, a picture from its top: the group turns one into the other.
    group = Group(transform=(scale, 0, 0, -scale, 0, chart.wide.height * scale))
    for shape in chart.wide.shapes:
        group.add(_drawn(shape))
    return Picture(Drawing(width, chart.wide.height * scale, group), str(chart.title))


def _drawn(shape: Shape) -> Any:
    """Return one shape."""
    if shape.words:
        return _words(shape)
    color, weight = STROKES.get(shape.look, (None, 0))
    look = {"strokeColor": color, "strokeWidth": weight}
    fill = HATCH if shape.hatched else FILLS.get(shape.look)
    if shape.r:
        return Circle(shape.x, shape.y, shape.r, fillColor=fill, **look)
    path = Path(fillColor=fill, **look)
    for step in steps(shape.d):
        path.closePath() if step is None else _go(path, *step)
    return path


def _go(path: Path, letter: str, x: float, y: float) -> None:
    (path.moveTo if letter == "M" else path.lineTo)(x, y)


def _words(shape: Shape) -> Group:
    """Return words, turned back so that they don't stand on their heads."""
    face = BOLD if shape.look in ("bd", "tg", "lb") else TEXT
    text = String(
        0,
        0,
        str(shape.words),
        fontName=face,
        fontSize=TAG_SIZE if shape.look == "tg" else SIZE,
        textAnchor=shape.anchor,
    )
    text.fillColor = GRAY if shape.look == "lb" else black
    return Group(text, transform=(1, 0, 0, -1, shape.x, shape.y))


def steps(path: str) -> Iterator[tuple[str, float, float] | None]:
    """Yield each step of an SVG path of straight lines as (M or L, x, y); None closes it.

    Source: SVG 1.1, 8.3 (from memory); the letters that our charts use. Pairs may follow a letter
    without it being said again.

    >>> list(steps("M1 2h3V4z"))
    [('M', 1.0, 2.0), ('L', 4.0, 2.0), ('L', 4.0, 4.0), None]
    >>> list(steps("M1 2l4 -4 4 4"))
    [('M', 1.0, 2.0), ('L', 5.0, -2.0), ('L', 9.0, 2.0)]
    """
    tokens = iter(TOKEN.findall(path))
    letter, x, y = "", 0.0, 0.0
    for part in tokens:
        if part in "Zz":
            yield None
            continue
        letter, number = (part, next(tokens)) if part.isalpha() else (letter, part)
        value = float(number)
        if letter in "MLl":
            across = value + (x if letter == "l" else 0)
            x, y = across, float(next(tokens)) + (y if letter == "l" else 0)
        elif letter in "Hh":
            x = value + (x if letter == "h" else 0)
        else:
            y = value + (y if letter == "v" else 0)
        yield ("M" if letter == "M" else "L", x, y)
