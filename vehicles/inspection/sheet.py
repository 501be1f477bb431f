"""The sheet of one stay: every point that this car has, with what was read there last."""

from __future__ import annotations

from dataclasses import dataclass
from functools import cached_property
from typing import TYPE_CHECKING, Any

from vehicles.inspection import applies
from vehicles.inspection.asking import CANT_READ, asked
from vehicles.inspection.criteria import DeficiencyClass, Group
from vehicles.inspection.depths import Depth
from vehicles.inspection.points import place_of
from vehicles.inspection.queries import last_inspection
from vehicles.inspection.sides import compare, side_reading

if TYPE_CHECKING:
    from collections.abc import Iterator

    from shared.say import Say
    from vehicles.inspection.criteria import Criterion
    from vehicles.inspection.models import Inspection
    from vehicles.inspection.points import Point, Setting
    from vehicles.inspection.sides import Pair


@dataclass(frozen=True, kw_only=True)
class Row:
    """Places that stand in one line: `front` with left and right, or one place alone."""

    label: str
    points: tuple[Point | None, ...]


@dataclass(frozen=True)
class Missing:
    """A criterion that nobody has to read on this car, and why."""

    criterion: Criterion
    because: str


@dataclass(frozen=True, kw_only=True)
class Section:
    """One criterion with its places, as they lie on the car."""

    criterion: Criterion
    points: tuple[Point, ...]
    setting: Setting
    in_the_way: bool = True  # an unread point keeps the sheet from being complete
    settled: bool = False
    asked: tuple[Point, ...] = ()  # unread places that are asked for, though not in the way

    @property
    def whole(self) -> str:
        """The code of what it reads: of the point that it reads more closely, or its own."""
        return self.criterion.detail_of or self.criterion.code

    @property
    def left(self) -> int:
        """How many places are still to be read."""
        return self.unread if self.in_the_way else 0

    @property
    def unread(self) -> int:
        """How many places are not read, whether or not they have to be."""
        return sum(point.reading is None for point in self.points)

    @property
    def faults(self) -> list[Point]:
        """The places where something is wrong."""
        return [point for point in self.points if point.is_fault]

    @property
    def worst(self) -> Point | None:
        """The place that says what all of them mean for driving: the worst not put right."""
        still = [
            one
            for one in self.faults
            if (one.held or one.deficiency != DeficiencyClass.NONE)
            and not (one.finding and one.finding.cleared_on)
        ]
        return max(still, key=lambda one: (one.held, one.deficiency.rank), default=None)

    @property
    def good(self) -> list[Point]:
        """The places that were read and found in order."""
        return [point for point in self.points if point.reading and not point.is_fault]

    @property
    def is_paired(self) -> bool:
        """Whether some places lie left and right of each other."""
        return any(place_of(point.position)[2] for point in self.points)

    @property
    def rows(self) -> list[Row]:
        """The places line by line, left before right."""
        lines: dict[tuple[str, bool], list[Point | None]] = {}
        for point in self.points:
            label, column, paired = place_of(point.position)
            line = lines.setdefault((label, paired), [None, None] if paired else [None])
            line[column] = point
        return [Row(label=label, points=tuple(line)) for (label, _), line in lines.items()]

    @property
    def near(self) -> list[tuple[Point, Say]]:
        """What is said of good numbers near their limit."""
        said = ((point, point.near(self.setting)) for point in self.points)
        return [(point, sentence) for point, sentence in said if sentence]

    @property
    def pairs(self) -> list[Pair]:
        """What the places differ by: left from right, inner from outer."""
        readings = [
            side_reading(self.criterion.code, one.position, one.reading.typed, one.reading.unit)
            for one in self.points
            if one.reading and self.criterion.is_measured and not self.criterion.marked_limit
        ]
        return compare(readings, self.setting.criteria, all_wheel_drive=False)

    @property
    def lacked(self) -> list[tuple[str, str]]:
        """The equipment that the shop can't use, each with why."""
        names = applies.lacked(self.criterion, self.setting.lacking)
        return [(name, self.setting.lacking[name]) for name in names]

    @property
    def not_read(self) -> list[Point]:
        """The unread places of which somebody said why."""
        return [point for point in self.points if point.not_read and point.reading is None]

    @property
    def rest(self) -> list[Point]:
        """The places that one tap may call good: only seen, and nothing said of them yet."""
        if self.criterion.is_measured:
            return []
        rest = [point for point in self.points if point.reading is None and not point.not_read]
        return rest if len(rest) > 1 else []

    @property
    def again(self) -> Say | None:
        """Why readings of it no longer count, where that is so."""
        return next((point.again for point in self.points if point.again), None)

    @property
    def first(self) -> Point:
        """The place to read next: one asked for, else the first that is unread, else the first."""
        unread = (one for one in self.points if one.reading is None)
        return (*self.asked, *unread, *self.points)[0]

    @property
    def method(self) -> str:
        """How it is read, without what the shop lacks."""
        return applies.how_to_read(self.criterion, self.setting.lacking)

    @property
    def state(self) -> str:
        """What was read, or how much is left, short enough for a button."""
        if self.unread and not self.in_the_way:
            counts = ((len(self.asked), "asked"), (len(self.points) - self.unread, "read"))
            return next((f"{count} {word}" for count, word in counts if count), "not needed")
        if len(self.points) == 1:
            return self.points[0].in_words
        if self.unread:
            return f"{self.unread} of {len(self.points)} left"
        figures = [point.in_words for point in self.points]
        return figures[0] if len(set(figures)) == 1 else "all read"

    @property
    def pad(self) -> dict[str, Any]:
        """What the script has to know of it, so that its points need no server to be read."""
        places = {
            one.position: {
                "where": one.place,
                "seen": one.seen_id,
                "last": one.last_in_words,
                "done": bool(one.reading or one.not_read),
            }
            for one in self.points
        }
        return asked(self.criterion) | {
            "title": self.criterion.title,
            "group": self.criterion.group.value,
            "needed": self.in_the_way,
            "settled_by": self.criterion.settled_by,
            "places": places,
        }


@dataclass(frozen=True)
class Sheet:
    """All sections in the order one goes about the car, at one depth."""

    depth: Depth
    sections: tuple[Section, ...]
    missing: tuple[Missing, ...] = ()
    inspections: tuple[Inspection, ...] = ()

    @property
    def points(self) -> Iterator[Point]:
        """Every point in the order of the sheet."""
        return (point for section in self.sections for point in section.points)

    @property
    def pad(self) -> dict[str, Any]:
        """What the script has to know of each criterion by its code, in the order of the sheet."""
        criteria = {section.criterion.code: section.pad for section in self.sections}
        return {"criteria": criteria, "cant": CANT_READ}

    @property
    def is_final(self) -> bool:
        """Whether its points are read anew before the car leaves."""
        return self.depth is Depth.FINAL

    @cached_property
    def inspection(self) -> Inspection | None:
        """The inspection that goes on at this depth, else the last one, if any."""
        own = [one for one in self.inspections if one.depth == self.depth]
        return last_inspection(own)

    @property
    def is_open(self) -> bool:
        """Whether somebody has begun it and nobody has ended it."""
        return self.inspection is not None and self.inspection.ended_at is None

    @cached_property
    def left(self) -> int:
        """How many points are still to be read."""
        return sum(section.left for section in self.sections)

    @cached_property
    def read(self) -> int:
        """How many points are read."""
        return sum(len(section.points) - section.unread for section in self.sections)

    @property
    def total(self) -> int:
        """How many points are read or have to be."""
        return self.read + self.left

    @property
    def groups(self) -> list[tuple[Group, int, list[Section]]]:
        """Each group with how much of it is left and its sections."""
        found = []
        for group in Group:
            sections = [one for one in self.sections if one.criterion.group is group]
            found.append((group, sum(section.left for section in sections), sections))
        return found

    @cached_property
    def stop(self) -> Point | None:
        """The point at which a look ends, if one was found."""
        if self.depth is not Depth.LOOK:
            return None
        return next((point for point in self.points if stops(point)), None)

    def section(self, code: str) -> Section | None:
        """Return the section of a criterion, or None where the sheet has no such."""
        return next((one for one in self.sections if one.criterion.code == code), None)

    def section_of(self, point: Point) -> Section:
        """Return the section of a point of this sheet."""
        return next(one for one in self.sections if point in one.points)

    def point(self, code: str, position: str) -> Point | None:
        """Return one point, or None where the sheet has no such."""
        points = (one for one in self.points if one.criterion.code == code)
        return next((one for one in points if one.position == position), None)

    def just_read(self, pk: str) -> Point | None:
        """Return the point whose reading has this key, as an address names it."""
        return next((one for one in self.points if one.reading and str(one.reading.pk) == pk), None)

    def next_unread(self, after: Point) -> Point | None:
        """Return the first point to read behind `after`, else the first on the sheet, if any.

        A look that has ended asks for none, and nobody is asked again for what can't be read.
        """
        if self.stop:
            return None
        points = [
            point
            for section in self.sections
            for point in (section.points if section.in_the_way else section.asked)
        ]
        keys = [(point.criterion.code, point.position) for point in points]
        here = (after.criterion.code, after.position)
        start = keys.index(here) + 1 if here in keys else 0
        around = points[start:] + points[:start]
        return next((one for one in around if one.reading is None and not one.not_read), None)


def stops(point: Point) -> bool:
    """Return whether what was read at a point ends a look."""
    reading = point.reading
    return reading is not None and any(
        one.stops and one.key == reading.reason_key for one in point.criterion.reasons
    )
