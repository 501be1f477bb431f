"""A walk-round marks on the drawing of a car what is seen, and each mark lies on a named part.

>>> str(area_at(450, 590))
'left front door'
>>> MarkKind.DENT.letter
'D'
"""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum
from typing import Final

from shared.say import Say, say
from vehicles.intake.sides import DRAWING, HEIGHT, PLACED, VIEWS, WIDTH, Line, Shape, View

__all__ = [
    "AREAS",
    "DRAWING",
    "HEIGHT",
    "PARTS",
    "VIEWS",
    "WIDTH",
    "Area",
    "Line",
    "MarkKind",
    "Shape",
    "View",
    "area_at",
]


class MarkKind(StrEnum):
    """What a mark on the drawing says; each has a letter of its own."""

    DENT = "dent"
    SCRATCH = "scratch"
    RUST = "rust"
    CRACK = "crack"
    MISSING = "missing"
    BROKEN_LAMP = "broken_lamp"
    LEAK = "leak"
    OTHER = "other"

    @property
    def label(self) -> str:
        """The kind at the start of a sentence."""
        return self.value.replace("_", " ").capitalize()

    @property
    def letter(self) -> str:
        """What stands in the mark."""
        return self.label[0]


@dataclass(frozen=True, kw_only=True)
class Area:
    """A part of the car as a rectangle of the drawing: left, top, right, bottom."""

    name: Say
    box: tuple[float, float, float, float]

    @property
    def width(self) -> float:
        """From its left to its right."""
        return self.box[2] - self.box[0]

    @property
    def height(self) -> float:
        """From its top to its bottom."""
        return self.box[3] - self.box[1]


_PAIRS: Final = {  # on the car's right, on its left
    "headlamp": (say("right headlamp"), say("left headlamp")),
    "tail lamp": (say("right tail lamp"), say("left tail lamp")),
    "front wheel": (say("right front wheel"), say("left front wheel")),
    "rear wheel": (say("right rear wheel"), say("left rear wheel")),
    "mirror": (say("right mirror"), say("left mirror")),
    "fender": (say("right front fender"), say("left front fender")),
    "front door": (say("right front door"), say("left front door")),
    "rear door": (say("right rear door"), say("left rear door")),
    "front glass": (say("right front window"), say("left front window")),
    "rear glass": (say("right rear window"), say("left rear window")),
    "quarter": (say("right quarter panel"), say("left quarter panel")),
    "rocker": (say("right rocker panel"), say("left rocker panel")),
    "roof edge": (say("right roof edge"), say("left roof edge")),
}
_SINGLE: Final = {
    "front bumper": say("front bumper"),
    "rear bumper": say("rear bumper"),
    "hood": say("hood"),
    "grille": say("grille"),
    "windshield": say("windshield"),
    "roof": say("roof"),
    "back glass": say("rear window"),
    "trunk lid": say("trunk lid"),
}
# In a view's own units; of areas that overlap the first holds. Of a pair the right one is written.
_SIDE_AREAS: Final = (
    ("headlamp", 8, 70, 64, 95), ("tail lamp", 518, 84, 562, 116), ("front wheel", 64, 0, 152, 68),
    ("rear wheel", 386, 0, 474, 68), ("mirror", 186, 113, 216, 132),
    ("front glass", 188, 117, 308, 164), ("rear glass", 308, 117, 424, 164),
    ("front bumper", 0, 20, 40, 70), ("rear bumper", 505, 20, 562, 64),
    ("rocker", 152, 20, 386, 38), ("fender", 0, 20, 186, 113), ("front door", 186, 38, 308, 117),
    ("rear door", 308, 38, 400, 121), ("quarter", 400, 20, 562, 126),
    ("roof edge", 168, 111, 470, 180),
)  # fmt: skip
_TOP_AREAS: Final = (
    ("headlamp", 8, 26, 46, 70), ("tail lamp", 520, 25, 555, 74), ("mirror", 186, -6, 214, 10),
    ("windshield", 168, 36, 240, 184), ("back glass", 384, 36, 458, 184),
    ("roof", 240, 42, 384, 178), ("front glass", 182, 20, 307, 42),
    ("rear glass", 307, 20, 440, 42), ("front bumper", 0, 34, 26, 186), ("hood", 26, 30, 168, 190),
    ("trunk lid", 458, 38, 532, 182),
    ("rear bumper", 532, 30, 560, 190), ("fender", 0, 8, 186, 40), ("front door", 186, 8, 307, 40),
    ("rear door", 307, 8, 400, 40), ("quarter", 400, 8, 560, 40),
)  # fmt: skip
_END_AREAS: Final = (("mirror", 14, 104, 39, 126),)
_FRONT_AREAS: Final = (
    *_END_AREAS, ("front wheel", 20, -4, 60, 24), ("headlamp", 10, 68, 66, 96),
    ("grille", 66, 62, 154, 88), ("front bumper", 8, 22, 212, 68), ("fender", 8, 68, 40, 118),
    ("hood", 36, 86, 184, 118), ("windshield", 40, 116, 180, 160), ("roof", 40, 160, 180, 180),
)  # fmt: skip
_REAR_AREAS: Final = (
    *_END_AREAS, ("rear wheel", 20, -4, 60, 24), ("tail lamp", 8, 74, 64, 100),
    ("trunk lid", 60, 64, 160, 122), ("rear bumper", 8, 22, 212, 74), ("quarter", 8, 74, 60, 124),
    ("back glass", 48, 120, 172, 160), ("roof", 36, 118, 184, 180),
)  # fmt: skip


def _areas() -> tuple[Area, ...]:
    found: list[Area] = []
    for side, view in enumerate(("right", "left")):
        for name, *ends in _SIDE_AREAS:
            one = _SINGLE.get(name) or _PAIRS[name][side]
            found.append(_area(view, one, ends))
    for view, areas in (("top", _TOP_AREAS), ("front", _FRONT_AREAS), ("rear", _REAR_AREAS)):
        for name, *ends in areas:
            found += (
                _both(view, name, ends) if name in _PAIRS else [_area(view, _SINGLE[name], ends)]
            )
    return tuple(found)


def _both(view: str, name: str, ends: list[int]) -> list[Area]:
    """Return an area of the car's right, and its like on the left, 220 units across in all."""
    left, low, right, high = ends
    mirrored = [left, 220 - low, right, 220 - high]
    if view != "top":  # seen from the ends, across comes first
        mirrored = [220 - left, low, 220 - right, high]
    return [_area(view, _PAIRS[name][0], ends), _area(view, _PAIRS[name][1], mirrored)]


def _area(view: str, name: Say, ends: list[int]) -> Area:
    x, y = PLACED[view](*ends[:2])
    other_x, other_y = PLACED[view](*ends[2:])
    box = (min(x, other_x), min(y, other_y), max(x, other_x), max(y, other_y))
    return Area(name=name, box=box)


AREAS: Final = _areas()


def _parts() -> tuple[tuple[int, str], ...]:
    """Return each named part once, in the order of the alphabet, by its first place in `AREAS`."""
    first: dict[str, int] = {}
    for number, area in enumerate(AREAS):
        first.setdefault(str(area.name).capitalize(), number)
    return tuple((number, name) for name, number in sorted(first.items()))


PARTS: Final = _parts()


def touched() -> tuple[tuple[Area, int], ...]:
    """Return the areas with the number of their part in `PARTS`, the uppermost one last."""
    numbers = {name: number for number, name in PARTS}
    return tuple((area, numbers[str(area.name).capitalize()]) for area in reversed(AREAS))


def area_at(x: float, y: float) -> Say:
    """Return the name of the part of the car that lies at a point of the drawing.

    Raises:
        ValueError: the point lies beside the car.
    """
    for area in AREAS:
        left, top, right, bottom = area.box
        if left <= x <= right and top <= y <= bottom:
            return area.name
    raise ValueError("This place is beside the car. Touch the part where something is seen.")


def point_on(number: int) -> tuple[int, int]:
    """Return a point of an area that no other area covers, as near to its middle as there is one.

    Raises:
        ValueError: there is no area of this number.
    """
    if not 0 <= number < len(AREAS):
        raise ValueError("The car has no such part. Choose one from the list.")
    area = AREAS[number]
    steps = sorted(range(1, 20), key=lambda step: abs(step - 10))
    points = [
        (round(area.box[0] + area.width * x / 20), round(area.box[1] + area.height * y / 20))
        for x in steps
        for y in steps
    ]
    return next((point for point in points if area_at(*point) == area.name), points[0])
