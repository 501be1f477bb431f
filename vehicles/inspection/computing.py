"""The facts of an inspection report, put together from everything that stands about a stay."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from django.utils import timezone

from shared.dates import full_date
from vehicles.inspection.batch import shots_of
from vehicles.inspection.catalogue import cautions
from vehicles.inspection.criteria import DeficiencyClass
from vehicles.inspection.depths import Depth
from vehicles.inspection.gathering import sheet_of
from vehicles.inspection.points import Point
from vehicles.inspection.queries import catalogue_of, inspections_of, regrades_of
from vehicles.inspection.values import Looked, Noted, Regraded, Report, Skipped, Wrong
from vehicles.inspection.wording import retold

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Sequence

    from vehicles.inspection.catalogue import Catalogue
    from vehicles.inspection.models import Finding, Inspection, Regrade
    from vehicles.inspection.sheet import Section, Sheet
    from vehicles.intake.models import Intake

#: Source: 49 CFR 570, subpart A, from memory.
_CLASS: Final = "Vehicle of 10,000 lb or less (49 CFR 570, subpart A, from memory)"


def report_of(stay: Intake, number: str) -> Report:
    """Return everything that the papers of a stay say, as it stands now.

    `stay` comes with its vehicle and program. About 20 queries, whatever stands on the sheet.
    """
    inspections = inspections_of(stay)
    sheets = [sheet_of(stay, depth) for depth in _depths(inspections)]
    today = stay.program.today()
    wrong = tuple(_wrong(stay, catalogue_of(stay.program, today)))
    shots, more = shots_of(stay, [point for one in sheets for point in one.points])
    return Report(
        garage=stay.program.name,
        number=number,
        day=today,
        car=str(stay.vehicle),
        facts=tuple(_facts(stay)),
        odometer_mi=_odometer(stay, inspections),
        looks=tuple(_looked(one) for one in inspections),
        readers=tuple(_readers(stay)),
        read=sum(one.read for one in sheets),
        total=sum(one.total for one in sheets),
        wrong=wrong,
        skipped=tuple(_skipped(sheets, needed=True)),
        not_needed=tuple(_skipped(sheets, needed=False)),
        noted=tuple(_noted(sheets)),
        near=tuple(_near(sheets)),
        pairs=tuple(_pairs(sheets)),
        good=tuple(_good(sheets)),
        cautions=tuple(one for one in cautions().values() if one.code in _codes(wrong)),
        shots=shots,
        more_shots=more,
        ended_on=stay.left_on,
    )


def _depths(inspections: Sequence[Inspection]) -> list[Depth]:
    """Return the sheets to report on: the look or the full one, and the final one once begun."""
    begun = {Depth(one.depth) for one in inspections}
    first = Depth.LOOK if begun == {Depth.LOOK} else Depth.FULL
    return [first, *([Depth.FINAL] if Depth.FINAL in begun else [])]


def _facts(stay: Intake) -> Iterator[tuple[str, str]]:
    """Yield what a station records of a car, and what tells it from others."""
    car = stay.vehicle
    yield "VIN", car.vin or "not recorded"
    yield "Make, model, model year", f"{car.make} {car.model}, {car.year}"
    yield "Class", f"{_CLASS}{f', {car.body}' if car.body else ''}"
    plate = " ".join(filter(None, [car.plate_state, car.plate]))
    engine = ", ".join(filter(None, [car.engine, car.fuel, car.transmission]))
    for name, text in (("Plate", plate), ("Engine", engine), ("Tire size", car.tire_size)):
        if text:
            yield name, text
    yield "Arrived", full_date(stay.arrived_on)
    if stay.left_on:
        yield "Stay ended", full_date(stay.left_on)


def _odometer(stay: Intake, inspections: Sequence[Inspection]) -> int | None:
    read = [one.odometer_mi for one in inspections if one.odometer_mi is not None]
    return read[-1] if read else stay.odometer_mi


def _looked(row: Inspection) -> Looked:
    ended = timezone.localtime(row.ended_at).date() if row.ended_at else None
    return Looked(
        depth=Depth(row.depth).label,
        begun_on=timezone.localtime(row.begun_at).date(),
        ended_on=ended,
        by=str(row.ended_by or row.hands),
        odometer_mi=row.odometer_mi,
        unread=row.unread,
        stopped_because=row.stopped_because,
    )


def _readers(stay: Intake) -> Iterator[str]:
    """Yield each who read, with the credential as of that day, and the last day they read."""
    rows = stay.readings.current().order_by("read_by", "read_on")
    last = dict(rows.values_list("read_by", "read_on"))
    for name, day in sorted(last.items(), key=lambda item: (item[1], item[0])):
        yield f"{name}, last on {full_date(day)}"


# ---- what is wrong ----


def _wrong(stay: Intake, catalogue: Catalogue) -> Iterator[Wrong]:
    """Yield the findings of a stay, the worst first, those no longer open last."""
    regrades: dict[int | None, list[Regrade]] = {}
    for row in regrades_of(stay):
        regrades.setdefault(row.finding_id, []).append(row)
    found = [
        _finding(row, catalogue, regrades.get(row.pk, ()))
        for row in stay.findings.select_related("reading", "caused_by").order_by("pk")
    ]
    yield from sorted(
        found,
        key=lambda one: (not one.is_open, not one.grounds, -one.deficiency.rank, not one.strands),
    )


def _finding(row: Finding, catalogue: Catalogue, regrades: Iterable[Regrade]) -> Wrong:
    reading = row.reading
    criterion = catalogue.criteria.get(reading.criterion) if reading else None
    place = Point(criterion=criterion, position=reading.position).place if criterion else ""  # type: ignore[union-attr]  # a criterion comes from a reading
    reasons = [one for one in criterion.reasons if one.key == row.reason_key] if criterion else []
    return Wrong(
        title=criterion.title if criterion else row.title,
        place=place,
        system=row.system,
        deficiency=DeficiencyClass(row.deficiency),
        sentence=row.sentence,
        said=retold(
            criterion,
            typed=reading.typed if reading else "",
            unit=reading.unit if reading else "",
            reason_key=row.reason_key,
            stored=row.sentence,
        ),
        eu_class=reasons[0].eu_class if reasons else None,
        us_reject=row.us_reject,
        held=row.never_release and row.deficiency != DeficiencyClass.NONE,
        strands=row.strands,
        limit=reading.limit if reading else "",
        shipped_limit=reading.shipped_limit if reading else "",
        limit_because=reading.limit_because if reading else "",
        source=row.source,
        text_seen=row.text_seen,
        on=row.found_on,
        by=row.found_by,
        why=reasons[0].text if reasons and criterion and criterion.is_measured else "",
        evidence=row.evidence,
        caused_by=row.caused_by.title if row.caused_by else "",
        cautions=tuple(one.code for one in criterion.cautions) if criterion else (),
        regrades=tuple(_regraded(one) for one in regrades),
        cleared_on=row.cleared_on,
        withdrawn_because=row.withdrawn_because,
    )


def _codes(wrong: Iterable[Wrong]) -> set[str]:
    return {code for one in wrong if one.is_open for code in one.cautions}


def _regraded(row: Regrade) -> Regraded:
    return Regraded(
        was=row.was,
        becomes=row.becomes,
        because=row.because,
        by=str(row.by),
        second=str(row.second) if row.second else "",
        waits=row.waits,
        refused_because=row.refused_because,
    )


# ---- what the sheets say besides ----


def _skipped(sheets: Iterable[Sheet], *, needed: bool) -> Iterator[Skipped]:
    """Yield the points not read, by reason; those that have to be read, or the others."""
    for whole in sheets:
        for section in whole.sections:
            if not section.unread or section.in_the_way is not needed:
                continue
            if section.criterion.detail_of and not section.asked:
                continue
            reasons: dict[str, list[str]] = {}
            for point in section.points:
                if point.reading is None:
                    reasons.setdefault(_because(section, point), []).append(point.place)
            for because, places in reasons.items():
                named = () if len(places) == len(section.points) else tuple(filter(None, places))
                title = section.criterion.title
                yield Skipped(
                    title=f"Final sheet: {title}" if whole.is_final else title,
                    places=named,
                    because=because,
                )


def _because(section: Section, point: Point) -> str:
    """Return why a point is not read: as somebody said, or what settles or prevents it."""
    if point.not_read:
        return point.not_read.because
    if point.again:
        return str(point.again)
    if section.settled:
        return "another reading settles it"
    if section.criterion.detail_of:
        return "asked for, since one number does not tell here"
    return ", ".join(f"{name}: {why}" for name, why in section.lacked)


def _noted(sheets: Iterable[Sheet]) -> Iterator[Noted]:
    """Yield what was seen that has no class: a reason to know of, such as an old tire."""
    for point in (point for whole in sheets for point in whole.points):
        row = point.reading
        if row and row.reason_key and not point.is_fault:
            said = retold(
                point.criterion,
                typed=row.typed,
                unit=row.unit,
                reason_key=row.reason_key,
                stored=row.sentence,
            )
            yield Noted(title=point.criterion.title, place=point.place, sentence=said)


def _near(sheets: Iterable[Sheet]) -> Iterator[Noted]:
    for whole in sheets:
        for section in whole.sections:
            for point, sentence in section.near:
                yield Noted(title=section.criterion.title, place=point.place, sentence=sentence)


def _pairs(sheets: Iterable[Sheet]) -> Iterator[Noted]:
    """Yield the differences between sides that ask for a look."""
    for whole in sheets:
        for section in whole.sections:
            for pair in section.pairs:
                if pair.asks:
                    yield Noted(title=section.criterion.title, sentence=pair.sentence)


def _good(sheets: Iterable[Sheet]) -> Iterator[tuple[str, tuple[str, ...]]]:
    """Yield each group with what was read and found in order."""
    for whole in sheets:
        for group, _, sections in whole.groups:
            read = tuple(_in_order(section) for section in sections if _good_points(section))
            if read:
                yield f"{whole.depth.label}, {group.label.lower()}", read


def _in_order(section: Section) -> str:
    """Return a criterion with its numbers, or with its places where not all are in order."""
    title, good = section.criterion.title, _good_points(section)
    if section.criterion.is_measured:
        return f"{title}: " + ", ".join(f"{one.place} {one.in_words}".strip() for one in good)
    if len(good) == len(section.points):
        return title
    return f"{title}: " + ", ".join(one.place for one in good)


def _good_points(section: Section) -> list[Point]:
    return [one for one in section.good if one.reading and not one.reading.reason_key]
