"""The drawing of a car: a sedan from above, front to the left, its four sides folded out.

Own drawing, in units of a field 1000 wide and 700 high, y downward as on a page. The wheels of
each side lie outward, so that the right side stands on its head.

>>> len(DRAWING) > 60
True
>>> DRAWING[0].segments[0]
('M', (223.0, 350.0))
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import TYPE_CHECKING, Final

from shared.say import Say, say

if TYPE_CHECKING:
    from collections.abc import Callable

    Placed = Callable[[float, float], tuple[float, float]]

WIDTH, HEIGHT = 1000, 700


class Line(StrEnum):
    """How a shape of the drawing is drawn."""

    BODY = "body"  # the outline, heavy, filled as a sheet of paper
    GLASS = "glass"  # filled lightly
    LAMP = "lamp"  # filled lightly
    TIRE = "tire"  # heavy, filled
    SEAM = "seam"  # thin, not filled


@dataclass(frozen=True, kw_only=True)
class Shape:
    """One shape: SVG path data of absolute M, L, C and Z alone, so that paper can draw it too."""

    line: Line
    path: str

    @property
    def segments(self) -> tuple[tuple[str, tuple[float, ...]], ...]:
        """The path as letters with their 0, 2 or 6 numbers, one after the other."""
        found: list[tuple[str, list[float]]] = []
        for word in self.path.split():
            if word.isalpha():
                found.append((word, []))
            else:
                found[-1][1].append(float(word))
        return tuple((letter, tuple(numbers)) for letter, numbers in found)


@dataclass(frozen=True, kw_only=True)
class View:
    """One side of the car on the drawing: its name, where the name is written, its field."""

    name: Say
    label_at: tuple[int, int]
    box: tuple[int, int, int, int]


# Where a view's own units lie on the drawing. Lengthwise 0 is the front; h is the height over the
# ground; across, 0 is the car's right. So each side stands with its wheels outward.
PLACED: Final[dict[str, Placed]] = {
    "top": lambda along, across: (220 + along, 240 + across),
    "left": lambda along, h: (220 + along, 656 - h),
    "right": lambda along, h: (220 + along, 44 + h),
    "front": lambda across, h: (200 - h, 240 + across),
    "rear": lambda across, h: (800 + h, 240 + across),
}
VIEWS: Final = (
    View(name=say("Top"), label_at=(500, 354), box=(220, 236, 780, 464)),
    View(name=say("Left side"), label_at=(500, 686), box=(220, 480, 780, 656)),
    View(name=say("Right side"), label_at=(500, 26), box=(220, 44, 780, 220)),
    View(name=say("Front"), label_at=(112, 222), box=(24, 240, 200, 460)),
    View(name=say("Rear"), label_at=(888, 222), box=(800, 240, 976, 460)),
)

_SIDE: Final = (
    (Line.BODY, (
     "M 12 32 C 4 40 2 56 7 70 C 11 82 24 89 44 93 C 92 101 132 105 170 111 "
     "C 202 136 228 156 258 167 C 292 176 338 176 368 167 C 404 155 434 136 462 124 "
     "C 492 120 520 120 545 115 C 553 108 557 90 557 72 C 558 56 555 42 547 33 L 473 27 "
     "C 474 86 386 86 387 27 L 151 27 C 152 86 64 86 65 27 Z"
    )),
    (Line.GLASS, "M 198 116 C 216 132 238 149 264 158 C 279 161 291 162 303 162 L 303 120 Z"),
    (Line.GLASS, (
     "M 312 120 L 312 162 C 334 162 350 159 364 154 C 382 147 398 138 414 128 L 418 125 Z"
    )),
    (Line.SEAM, "M 188 112 C 183 92 182 58 188 38 L 382 38"),
    (Line.SEAM, "M 308 162 L 308 38"),
    (Line.SEAM, "M 400 121 L 400 104 C 399 90 394 82 386 74"),
    (Line.SEAM, "M 170 111 C 260 116 380 118 462 124"),
    (Line.SEAM, "M 272 101 L 296 102"),
    (Line.SEAM, "M 368 102 L 392 103"),
    (Line.SEAM, "M 6 62 C 24 60 44 60 62 60"),
    (Line.SEAM, "M 478 62 C 504 60 530 60 557 62"),
    (Line.GLASS, "M 194 116 C 190 126 202 131 212 128 L 214 118 Z"),
    (Line.LAMP, "M 10 77 C 22 86 44 90 62 91 L 54 78 C 38 72 22 71 10 77 Z"),
    (Line.LAMP, "M 520 113 L 549 109 C 554 101 556 93 557 86 L 528 91 Z"),
)  # fmt: skip
_TOP: Final = (
    (Line.BODY, (
     "M 3 110 C 3 68 8 38 28 25 C 58 13 110 10 160 10 L 400 10 C 462 10 510 13 534 24 "
     "C 553 36 557 68 557 110 C 557 152 553 184 534 196 C 510 207 462 210 400 210 L 160 210 "
     "C 110 210 58 207 28 195 C 8 182 3 152 3 110 Z"
    )),
    (Line.GLASS, "M 170 34 C 158 80 158 140 170 186 L 240 172 C 232 132 232 88 240 48 Z"),
    (Line.GLASS, "M 384 48 C 391 88 391 132 384 172 L 454 184 C 464 140 464 80 454 36 Z"),
    (Line.SEAM, "M 240 48 C 286 42 340 42 384 48"),
    (Line.SEAM, "M 240 172 C 286 178 340 178 384 172"),
    (Line.GLASS, "M 184 25 L 248 40 L 303 37 L 303 22 C 260 22 216 23 184 25 Z"),
    (Line.GLASS, "M 184 195 L 248 180 L 303 183 L 303 198 C 260 198 216 197 184 195 Z"),
    (Line.GLASS, "M 312 22 L 312 37 L 382 40 L 438 27 C 396 22 354 22 312 22 Z"),
    (Line.GLASS, "M 312 198 L 312 183 L 382 180 L 438 193 C 396 198 354 198 312 198 Z"),
    (Line.SEAM, "M 40 62 C 82 52 122 46 164 44"),
    (Line.SEAM, "M 40 158 C 82 168 122 174 164 176"),
    (Line.SEAM, "M 30 40 C 20 68 20 152 30 180"),
    (Line.SEAM, (
     "M 460 40 C 488 38 512 38 530 42 C 540 70 540 150 530 178 C 512 182 488 182 460 180"
    )),
    (Line.LAMP, "M 28 28 C 17 38 11 54 9 68 L 23 60 C 26 50 32 42 44 34 Z"),
    (Line.LAMP, "M 28 192 C 17 182 11 166 9 152 L 23 160 C 26 170 32 178 44 186 Z"),
    (Line.LAMP, "M 530 27 C 545 36 550 54 552 72 L 540 66 C 538 54 534 46 524 38 Z"),
    (Line.LAMP, "M 530 193 C 545 184 550 166 552 148 L 540 154 C 538 166 534 174 524 182 Z"),
    (Line.GLASS, "M 190 10 C 190 0 200 -3 210 -1 L 210 10 Z"),
    (Line.GLASS, "M 190 210 C 190 220 200 223 210 221 L 210 210 Z"),
)  # fmt: skip
_END: Final = (  # what front and rear have in common
    (Line.TIRE, "M 24 30 L 24 6 C 24 2 27 0 30 0 L 50 0 C 53 0 56 2 56 6 L 56 30 Z"),
    (Line.TIRE, "M 196 30 L 196 6 C 196 2 193 0 190 0 L 170 0 C 167 0 164 2 164 6 L 164 30 Z"),
    (Line.BODY, (
     "M 13 42 C 9 62 11 86 20 102 C 27 110 33 114 39 116 C 47 138 56 156 67 165 "
     "C 92 176 128 176 153 165 C 164 156 173 138 181 116 C 187 114 193 110 200 102 "
     "C 209 86 211 62 207 42 C 206 32 200 24 190 24 L 30 24 C 20 24 14 32 13 42 Z"
    )),
    (Line.GLASS, "M 38 118 L 20 124 C 16 118 16 110 20 106 L 34 112 Z"),
    (Line.GLASS, "M 182 118 L 200 124 C 204 118 204 110 200 106 L 186 112 Z"),
    (Line.SEAM, "M 12 56 C 70 52 150 52 208 56"),
)  # fmt: skip
_FRONT: Final = (
    *_END,
    (Line.GLASS, (
     "M 47 117 C 55 136 62 150 71 158 C 94 166 126 166 149 158 "
     "C 158 150 165 136 173 117 C 140 122 80 122 47 117 Z"
    )),
    (Line.SEAM, "M 20 102 C 70 94 150 94 200 102"),
    (Line.LAMP, "M 15 88 C 30 94 50 92 64 86 L 58 70 C 44 68 28 70 14 74 Z"),
    (Line.LAMP, "M 205 88 C 190 94 170 92 156 86 L 162 70 C 176 68 192 70 206 74 Z"),
    (Line.SEAM, "M 72 84 C 98 87 122 87 148 84 L 142 63 C 122 61 98 61 78 63 Z"),
    (Line.SEAM, "M 75 74 C 98 76 122 76 145 74"),
    (Line.SEAM, "M 86 34 L 134 34 L 134 48 L 86 48 Z"),
)  # fmt: skip
_REAR: Final = (
    *_END,
    (Line.GLASS, (
     "M 52 125 C 59 140 65 151 73 157 C 96 164 124 164 147 157 "
     "C 155 151 161 140 168 125 C 138 129 82 129 52 125 Z"
    )),
    (Line.SEAM, "M 40 116 C 80 121 140 121 180 116"),
    (Line.LAMP, "M 14 96 C 30 100 48 98 64 93 L 62 76 C 46 74 28 75 12 78 Z"),
    (Line.LAMP, "M 206 96 C 190 100 172 98 156 93 L 158 76 C 174 74 192 75 208 78 Z"),
    (Line.SEAM, "M 64 93 C 94 90 126 90 156 93"),
    (Line.SEAM, "M 86 66 L 134 66 L 134 82 L 86 82 Z"),
)  # fmt: skip
_WHEELS: Final = ((108, 31), (430, 31))
_BEND: Final = 0.5523  # how far a curve's handles reach to make a quarter of a circle


def _moved(view: str, path: str) -> str:
    """Return path data of a view's own units in units of the drawing."""
    words = path.split()
    out: list[str] = []
    while words:
        word = words.pop(0)
        if word.isalpha():
            out.append(word)
            continue
        x, y = PLACED[view](float(word), float(words.pop(0)))
        out += [f"{x:g}", f"{y:g}"]
    return " ".join(out)


def _circle(x: float, y: float, radius: float) -> str:
    ends = [(x + radius, y), (x, y + radius), (x - radius, y), (x, y - radius)]
    words = [f"M {ends[0][0]:g} {ends[0][1]:g}"]
    for at, (from_x, from_y) in enumerate(ends):
        to_x, to_y = ends[(at + 1) % 4]
        turn = [(from_x + (from_y - y) * -_BEND, from_y + (from_x - x) * _BEND)]
        turn.append((to_x + (to_y - y) * _BEND, to_y + (to_x - x) * -_BEND))
        words += [f"C {' '.join(f'{a:g} {b:g}' for a, b in [*turn, (to_x, to_y)])}"]
    return " ".join([*words, "Z"])


def _drawing() -> tuple[Shape, ...]:
    wheels = tuple((Line.TIRE, _circle(x, h, 31)) for x, h in _WHEELS)
    rims = tuple((Line.GLASS, _circle(x, h, size)) for x, h in _WHEELS for size in (20, 6))
    side = (*wheels, *rims, *_SIDE)
    views = (("top", _TOP), ("left", side), ("right", side), ("front", _FRONT), ("rear", _REAR))
    return tuple(
        Shape(line=line, path=_moved(view, path)) for view, shapes in views for line, path in shapes
    )


#: What page and paper draw, in this order.
DRAWING: Final = _drawing()
