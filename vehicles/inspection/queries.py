"""The sheet of one stay: every point of the catalogue with what was read there last."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from django.db.models import Case, Count, F, OuterRef, Q, Subquery, Value, When
from django.db.models.functions import Coalesce

from vehicles.inspection import units
from vehicles.inspection.catalogue import load
from vehicles.inspection.criteria import DeficiencyClass, Group
from vehicles.inspection.judge import GOOD
from vehicles.inspection.models import Finding, Reading

if TYPE_CHECKING:
    from collections.abc import Iterator

    from django.db.models import QuerySet

    from vehicles.inspection.criteria import Criterion
    from vehicles.intake.models import Intake

#: Row and column of the places that lie left and right of each other on the car.
CORNERS: Final = {
    "LF": ("front", 0),
    "RF": ("front", 1),
    "LR": ("rear", 0),
    "RR": ("rear", 1),
    "left": ("", 0),
    "right": ("", 1),
}
SIDES: Final = ("left", "right")


@dataclass(frozen=True, kw_only=True)
class Point:
    """One place of one criterion, with the reading that stands there."""

    criterion: Criterion
    position: str = ""
    reading: Reading | None = None

    @property
    def place(self) -> str:
        """Where on the car, in words: `front left`, `rear center`; empty when read once."""
        row, column, paired = place_of(self.position)
        return f"{row} {SIDES[column]}".strip() if paired else row

    @property
    def title(self) -> str:
        """The criterion and the place."""
        return f"{self.criterion.title}, {self.place}" if self.place else self.criterion.title

    @property
    def figure(self) -> str:
        """What was read, short enough for a button: a number, `good`, or the class."""
        if self.reading is None:
            return "not read"
        if self.criterion.is_measured:
            word = self.criterion.marked_limit
            return self.reading.typed.partition(word)[0].strip() if word else self.reading.typed
        if self.reading.typed.lower() == GOOD:
            return GOOD
        return (
            "noted" if self.reading.deficiency == DeficiencyClass.NONE else self.reading.deficiency
        )

    @property
    def sign(self) -> str:
        """The unit after the number, unless it was typed with it."""
        reading = self.reading
        if reading is None or not self.criterion.is_measured or reading.unit not in units.UNITS:
            return ""
        if any(letter.isalpha() or letter in '%°"' for letter in self.figure):
            return ""
        unit = units.UNITS[reading.unit]
        return (unit.sign or unit.code).strip()

    @property
    def in_words(self) -> str:
        """The figure with its unit: `1/32 in`, `12.1 V`, `good`."""
        space = " " if self.sign[:1].isalpha() else ""
        return f"{self.figure}{space}{self.sign}"

    @property
    def values(self) -> dict[str, object]:
        """What stands here, as the sheet's script takes it."""
        reading = self.reading
        return {
            "criterion": self.criterion.code,
            "position": self.position,
            "title": self.title,
            "figure": self.in_words,
            "id": reading.pk if reading else None,
            "deficiency": reading.deficiency if reading else "",
            "sentence": reading.sentence if reading else "",
            "read_by": reading.read_by if reading else "",
        }


@dataclass(frozen=True, kw_only=True)
class Row:
    """Places that stand in one line: `front` with left and right, or one place alone."""

    label: str
    points: tuple[Point | None, ...]


@dataclass(frozen=True, kw_only=True)
class Section:
    """One criterion with its places, as they lie on the car."""

    criterion: Criterion
    points: tuple[Point, ...]

    @property
    def left(self) -> int:
        """How many places are not read."""
        return sum(point.reading is None for point in self.points)

    @property
    def faults(self) -> list[Point]:
        """The places where something is wrong."""
        return [point for point in self.points if point.reading and is_fault(point.reading)]

    @property
    def good(self) -> list[Point]:
        """The places that were read and found in order."""
        return [point for point in self.points if point.reading and not is_fault(point.reading)]

    @property
    def is_paired(self) -> bool:
        """Whether some places lie left and right of each other."""
        return any(place_of(point.position)[2] for point in self.points)

    @property
    def rows(self) -> list[Row]:
        """The places line by line, left before right."""
        lines: dict[str, list[Point | None]] = {}
        for point in self.points:
            label, column, paired = place_of(point.position)
            line = lines.setdefault(label, [None, None] if paired else [None])
            line[column] = point
        return [Row(label=label, points=tuple(line)) for label, line in lines.items()]


@dataclass(frozen=True, kw_only=True)
class Sheet:
    """All sections in the order one goes about the car."""

    sections: tuple[Section, ...]

    @property
    def points(self) -> Iterator[Point]:
        """Every point in the order of the sheet."""
        return (point for section in self.sections for point in section.points)

    @property
    def total(self) -> int:
        """How many points the sheet has."""
        return sum(len(section.points) for section in self.sections)

    @property
    def left(self) -> int:
        """How many of them are not read."""
        return sum(section.left for section in self.sections)

    @property
    def read(self) -> int:
        """How many of them are read."""
        return self.total - self.left

    @property
    def groups(self) -> list[tuple[Group, int, list[Section]]]:
        """Each group with how much of it is left and its sections."""
        found = []
        for group in Group:
            sections = [one for one in self.sections if one.criterion.group is group]
            found.append((group, sum(section.left for section in sections), sections))
        return found

    def section(self, code: str) -> Section | None:
        """Return the section of a criterion, or None where the sheet has no such."""
        return next((one for one in self.sections if one.criterion.code == code), None)

    def point(self, code: str, position: str) -> Point | None:
        """Return one point, or None where the sheet has no such."""
        points = (one for one in self.points if one.criterion.code == code)
        return next((one for one in points if one.position == position), None)

    def next_unread(self, after: Point) -> Point | None:
        """Return the first unread point behind `after`, else the first on the sheet, if any."""
        points = list(self.points)
        keys = [(point.criterion.code, point.position) for point in points]
        start = keys.index((after.criterion.code, after.position)) + 1
        return next((one for one in points[start:] + points[:start] if one.reading is None), None)


def is_fault(reading: Reading) -> bool:
    """Return whether a reading found something wrong."""
    return reading.deficiency != DeficiencyClass.NONE or reading.strands


def place_of(position: str) -> tuple[str, int, bool]:
    """Return line, column and whether a place has a partner across the car."""
    corner, _, rest = position.partition("-")
    if corner in CORNERS:
        row, column = CORNERS[corner]
        return f"{row} {rest}".strip(), column, True
    return position.replace("-", " "), 0, False


def criteria_of_sheet() -> list[Criterion]:
    """Return the criteria that cars here can have, as one goes about a car."""
    fitted = (criterion for criterion in load().criteria.values() if criterion.fitted_us)
    return sorted(fitted, key=lambda criterion: list(Group).index(criterion.group))


def sheet_of(intake: Intake) -> Sheet:
    """Return the sheet of a stay with its readings that stand; one query."""
    rows = Reading.objects.current().filter(intake=intake)
    readings = {(row.criterion, row.position): row for row in rows}
    sections = []
    for criterion in criteria_of_sheet():
        places = criterion.positions or ("",)
        points = tuple(
            Point(
                criterion=criterion, position=place, reading=readings.get((criterion.code, place))
            )
            for place in places
        )
        sections.append(Section(criterion=criterion, points=points))
    return Sheet(sections=tuple(sections))


def with_sheet_state(intakes: QuerySet[Intake]) -> QuerySet[Intake]:
    """Return stays with `read` and `left` points, and the rank of the `worst` open class.

    The rank goes from 3 for dangerous down to 0; the rows of the list cost no further query.
    """
    criteria = criteria_of_sheet()
    total = sum(len(criterion.positions or ("",)) for criterion in criteria)
    codes = [criterion.code for criterion in criteria]
    ranks = [When(deficiency=one.value, then=Value(one.rank)) for one in DeficiencyClass]
    worst = (
        Finding.objects.open()
        .filter(intake=OuterRef("pk"))
        .annotate(rank=Case(*ranks, default=Value(0)))
        .order_by("-rank", "pk")
    )
    standing = Q(readings__replaced_at__isnull=True, readings__criterion__in=codes)
    return intakes.annotate(
        read=Count("readings", filter=standing),
        left=Value(total) - F("read"),
        worst=Coalesce(Subquery(worst.values("rank")[:1]), Value(0)),
    )


def open_findings(intake: Intake) -> list[Finding]:
    """Return what is wrong and not yet put right on a stay, the worst class first."""
    rows = Finding.objects.open().filter(intake=intake).select_related("caused_by")
    return sorted(rows, key=lambda row: (-DeficiencyClass(row.deficiency).rank, row.pk))
