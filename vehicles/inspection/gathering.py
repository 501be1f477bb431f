"""Putting a sheet together from the rows of a stay, the catalogue and the car's own facts."""

from __future__ import annotations

from collections import defaultdict
from typing import TYPE_CHECKING

from vehicles.inspection import applies
from vehicles.inspection.catalogue import load
from vehicles.inspection.depths import Depth, criteria_at, expired
from vehicles.inspection.points import Point, Setting
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
from vehicles.inspection.sheet import Missing, Section, Sheet

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence

    from shared.say import Say
    from vehicles.inspection.criteria import Criterion
    from vehicles.inspection.models import Inspection, NotRead, Reading, Regrade
    from vehicles.intake.models import Intake

Place = tuple[str, str]  # code of the criterion, and the position


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
        len(applies.places(one, car)) for one in criteria_at(load().criteria.values(), depth, car)
    )


def bare_point(intake: Intake, code: str, position: str) -> Point | None:
    """Return a point that this car has, without what was read there; one query.

    None where the catalogue or the car has no such point.
    """
    criterion = catalogue_of(intake.program, intake.program.today()).criteria.get(code)
    if criterion is None or position not in applies.places(criterion, intake.vehicle.facts):
        return None
    return Point(criterion=criterion, position=position)


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
        return Sheet(
            depth=self.depth,
            sections=tuple(self._section(criterion, read) for criterion in asked),
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

    def _point(self, criterion: Criterion, position: str) -> Point:
        place = criterion.code, position
        reading = self.here.get(place)
        again = self._expired(reading) if reading else None
        finding = self.findings.get(reading.pk) if reading else None
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
