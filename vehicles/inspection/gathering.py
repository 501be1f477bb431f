"""Putting a sheet together from the rows of a stay, the catalogue and the car's own facts."""

from __future__ import annotations

from collections import defaultdict
from dataclasses import replace
from fractions import Fraction
from typing import TYPE_CHECKING, Final

from vehicles.inspection import applies
from vehicles.inspection.catalogue import load
from vehicles.inspection.criteria import DeficiencyClass
from vehicles.inspection.depths import Depth, criteria_at, expired
from vehicles.inspection.judge import GOOD
from vehicles.inspection.models import Reading
from vehicles.inspection.points import Point, Setting, number_of
from vehicles.inspection.queries import (
    catalogue_of,
    inspections_of,
    lacking_equipment,
    last_inspection,
    last_work_on,
    odometers,
    readings_of_car,
    regrades_of,
)
from vehicles.inspection.reading import Typed
from vehicles.inspection.sheet import Missing, Section, Sheet
from vehicles.inspection.wear import across

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from shared.say import Say
    from vehicles.inspection.catalogue import Catalogue
    from vehicles.inspection.criteria import Criterion
    from vehicles.inspection.models import Finding, Inspection, NotRead, Regrade
    from vehicles.intake.models import Intake

Place = tuple[str, str]  # code of the criterion, and the position
WEAR: Final = "tire-wear"  # a fault there asks for the numbers across the tire
ACROSS: Final = ("inner", "middle", "outer")


def sheet_of(intake: Intake, depth: Depth | None = None) -> Sheet:
    """Return the sheet of a stay at a depth: else at the one that is open, or was open last.

    The full one while none was ever begun. Eight queries, one more for the final sheet; `intake`
    comes with its vehicle and program.
    """
    inspections = inspections_of(intake)
    last = last_inspection(inspections)
    depth = depth or (Depth(last.depth) if last else Depth.FULL)
    return _Making(intake, depth, inspections).sheet()


def sheet_with_point(
    intake: Intake, place: Place, *, final: bool | None
) -> tuple[Sheet, Point] | None:
    """Return a point and its sheet: the final one or not, the one that is open where it has it.

    With None the sheet that is open decides. None where no sheet of this car has the point.
    """
    whole = sheet_of(intake, Depth.FINAL if final else None)
    point = whole.point(*place)
    if not final and (point is None or (final is False and whole.is_final)):
        whole = sheet_of(intake, Depth.FULL)
        point = whole.point(*place)
    return (whole, point) if point else None


def points_at(intake: Intake, depth: Depth) -> int:
    """Return how many points the car of a stay has at a depth; no query."""
    car = intake.vehicle.facts
    return sum(
        len(applies.places(one, car))
        for one in criteria_at(load().criteria.values(), depth, car)
        if not one.detail_of
    )


def bare_point(intake: Intake, code: str, position: str) -> Point | None:
    """Return a point that this car has, without what was read there; one query.

    None where the catalogue or the car has no such point.
    """
    criterion = catalogue_of(intake.program, intake.program.today()).criteria.get(code)
    if criterion is None or position not in applies.places(criterion, intake.vehicle.facts):
        return None
    return Point(criterion=criterion, position=position)


def said_across(reading: Reading, catalogue: Catalogue) -> list[Typed]:
    """Return what the numbers across a tire say besides: its tread depth, and how it is worn.

    Empty for any other reading. One query.
    """
    detail = catalogue[reading.criterion]
    if not (detail.detail_of and detail.is_measured):
        return []
    rows = Reading.objects.filter(intake_id=reading.intake_id, final=reading.final)
    tire = _Tire(reading, catalogue, list(rows.order_by("pk")))
    return [typed for typed in (tire.depth(), tire.wear()) if typed]


class _Tire:
    """The numbers across one tire, as they stand after the last of them."""

    def __init__(self, reading: Reading, catalogue: Catalogue, rows: Sequence[Reading]) -> None:
        self.reading, self.catalogue = reading, catalogue
        self.detail = catalogue[reading.criterion]
        self.corner = reading.position.partition("-")[0]
        stands = {(one.criterion, one.position): one for one in rows if one.replaced_at is None}
        self.stands: Mapping[Place, Reading] = stands
        here = (stands.get((self.detail.code, f"{self.corner}-{one}")) for one in ACROSS)
        self.read = [one for one in here if one]
        place = reading.criterion, reading.position
        self.before = [one for one in rows if (one.criterion, one.position) == place][:-1]

    def depth(self) -> Typed | None:
        """Return the shallowest, once all are read or this one is past its limit.

        A lower number read by itself stays, unless it was said by the one read anew.
        """
        if len(self.read) < len(ACROSS) and self.reading.deficiency == DeficiencyClass.NONE:
            return None
        least = min(self.read, key=self._number)
        number, stands = self._number(least), self._stands(self.detail.detail_of)
        if stands:
            known = self._number(stands)
            came_from = [self._number(one) for one in self.before[-1:]]
            if known == number or (known < number and known not in came_from):
                return None
        return self._typed(self.detail.detail_of, least.typed, least.unit)

    def wear(self) -> Typed | None:
        """Return how the tire is worn, once all are read on the full sheet."""
        codes = [
            one.code
            for one in self.catalogue.criteria.values()
            if one.detail_of == self.detail.detail_of and not one.is_measured
        ]
        if len(self.read) < len(ACROSS) or self.reading.final or not codes:
            return None
        said = across(*(self._number(one) for one in self.read)) or GOOD
        stands = self._stands(codes[0])
        return None if stands and stands.typed == said else self._typed(codes[0], said)

    def _stands(self, code: str) -> Reading | None:
        return self.stands.get((code, self.corner))

    def _number(self, reading: Reading) -> Fraction:
        return number_of(self.detail, reading) or Fraction(0)

    def _typed(self, code: str, value: str, unit: str = "") -> Typed:
        stands = self._stands(code)
        return Typed(
            criterion=code,
            position=self.corner,
            value=str(value),
            unit=unit,
            final=self.reading.final,
            seen_id=stands.pk if stands else None,
        )


class _Making:
    """What a sheet is made of, while it is made."""

    def __init__(self, intake: Intake, depth: Depth, inspections: Sequence[Inspection]) -> None:
        today = intake.program.today()
        self.intake, self.depth, self.inspections = intake, depth, tuple(inspections)
        self.catalogue = catalogue_of(intake.program, today)
        self.setting = Setting(
            today=today,
            miles_per_week=intake.miles_per_week,
            odometers=odometers(intake),
            criteria=self.catalogue.criteria,
            lacking=lacking_equipment(intake.program, today),
        )
        self.is_final = depth is Depth.FINAL
        self.worked_on = last_work_on(intake) if self.is_final else None
        self.here, self.earlier = self._readings()
        self.not_read: dict[Place, NotRead] = {
            (row.criterion, row.position): row
            for row in intake.not_read.filter(lifted_at__isnull=True, final=self.is_final)
        }
        findings = intake.findings.filter(reading__isnull=False)
        self.findings = {finding.reading_id: finding for finding in findings}
        self.regrades: dict[int | None, list[Regrade]] = defaultdict(list)
        for row in regrades_of(intake):
            self.regrades[row.finding_id].append(row)

    def _readings(self) -> tuple[dict[Place, Reading], dict[Place, list[Reading]]]:
        """Return what stands on this sheet, and what was read before at each point."""
        here: dict[Place, Reading] = {}
        earlier: dict[Place, list[Reading]] = defaultdict(list)
        for row in readings_of_car(self.intake):
            place = row.criterion, row.position
            if row.intake_id == self.intake.pk and row.final == self.is_final:
                here[place] = row
            elif row.intake_id != self.intake.pk or self.is_final:
                earlier[place].append(row)
        return here, earlier

    def sheet(self) -> Sheet:
        """Return the sheet."""
        car = self.intake.vehicle.facts
        asked = criteria_at(self.catalogue.criteria.values(), self.depth, car)
        read = {code for (code, _), row in self.here.items() if not self._expired(row)}
        sections = {one.code: self._section(one, read) for one in asked}
        return Sheet(
            depth=self.depth,
            sections=tuple(self._asking(section, sections) for section in sections.values()),
            missing=tuple(self._missing()),
            inspections=self.inspections,
        )

    def _section(self, criterion: Criterion, read: set[str]) -> Section:
        places = applies.places(criterion, self.intake.vehicle.facts)
        return Section(
            criterion=criterion,
            points=tuple(self._point(criterion, place) for place in places),
            setting=self.setting,
            in_the_way=applies.stands_in_the_way(criterion, self.setting.lacking, read),
            settled=any(code in read for code in criterion.settled_by),
        )

    def _asking(self, section: Section, sections: Mapping[str, Section]) -> Section:
        """Return a section of numbers across a tire with the tires of which they are asked.

        That is where one number is near its limit, unlike its neighbor's, or the tire looks worn
        unevenly, and where one of them is read.
        """
        whole = sections.get(section.criterion.detail_of)
        if whole is None or not section.criterion.is_measured:
            return section
        looked = sections.get(WEAR)
        corners = {
            *(point.position for point, _ in whole.near),
            *(place for pair in whole.pairs if pair.asks for place in pair.positions),
            *(point.position for point in (looked.faults if looked else ())),
            *(point.position.partition("-")[0] for point in section.points if point.reading),
        }
        asked = [one for one in section.points if one.position.partition("-")[0] in corners]
        return replace(section, asked=tuple(one for one in asked if one.reading is None))

    def _point(self, criterion: Criterion, position: str) -> Point:
        place = criterion.code, position
        reading = self.here.get(place)
        again = self._expired(reading) if reading else None
        finding = self._finding(criterion, reading) if reading else None
        return Point(
            criterion=criterion,
            position=position,
            reading=None if again else reading,
            again=again,
            stale=reading if again else None,
            not_read=self.not_read.get(place),
            earlier=tuple(self.earlier.get(place, ())),
            finding=finding,
            regrades=tuple(self.regrades.get(finding.pk, ())) if finding else (),
        )

    def _finding(self, criterion: Criterion, reading: Reading) -> Finding | None:
        """Return what followed from a reading; that of a number across a tire is at its tread."""
        found = self.findings.get(reading.pk)
        if found or not criterion.detail_of or reading.deficiency == DeficiencyClass.NONE:
            return found
        whole = self.here.get((criterion.detail_of, reading.position.partition("-")[0]))
        return self.findings.get(whole.pk) if whole else None

    def _expired(self, reading: Reading) -> Say | None:
        """Return why a reading of the final sheet no longer counts; others always do."""
        if not self.is_final:
            return None
        finals = [one for one in self.inspections if one.depth == Depth.FINAL]
        begun = [one for one in finals if one.begun_at <= reading.recorded_at]
        then = begun[-1].odometer_mi if begun else None
        now = finals[-1].odometer_mi if finals else None
        return expired(reading.read_on, then, self.setting.today, now, self.worked_on)

    def _missing(self) -> Iterator[Missing]:
        """Yield what this car does not have, at this depth."""
        car = self.intake.vehicle.facts
        for criterion in self.catalogue.criteria.values():
            if self.depth not in criterion.depths or applies.applies(criterion, car):
                continue
            why = criterion.applies_when or "fitted to other cars"
            yield Missing(
                criterion,
                why if criterion.fitted_us else "not fitted to cars built for the United States",
            )
