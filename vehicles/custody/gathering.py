"""What the printed intake sheet of a stay says, read from its rows."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shared.dates import full_date
from vehicles.custody.queries import authority
from vehicles.intake.kinds import Arrival
from vehicles.intake.lamps import lamp, stopping
from vehicles.intake.queries import mark_rows
from vehicles.intake.sheet import IntakeSheet, Marked

if TYPE_CHECKING:
    from collections.abc import Iterator

    from vehicles.intake.models import Intake
    from vehicles.intake.queries import MarkRow

YES = {True: "yes", False: "no", None: "not asked"}


def sheet_of_stay(stay: Intake, url: str) -> IntakeSheet:
    """Return the printed sheet of a stay; no household is named on it. Twelve queries at most.

    `url` is where its code leads. `stay` comes with vehicle, program, key tag and standing.
    """
    grave = stopping(stay.lamps)
    return IntakeSheet(
        garage=stay.program.name,
        number=f"Stay {stay.pk}",
        day=stay.program.today(),
        title=f"Intake: {stay.vehicle}",
        lead=_came(stay),
        complaint=stay.complaint,
        stops=tuple(f"Do not drive. Warning lamp lit: {one.name}. {one.means}" for one in grave),
        told=tuple(_told(stay)),
        facts=tuple(_facts(stay)),
        marks=tuple(_marked(row) for row in mark_rows(stay, {})),
        custody=tuple(_custody(stay)),
        url=url,
    )


def _came(stay: Intake) -> str:
    how = f", {Arrival(stay.arrived_by).label.lower()}" if stay.arrived_by else ""
    return f"Came {full_date(stay.arrived_on)}{how}."


def _told(stay: Intake) -> Iterator[tuple[str, str]]:
    miles, because = stay.odometer_mi, stay.odometer_because
    read = "not read" if miles is None else f"{miles:,} miles"
    yield "Odometer", f"{read} ({because})" if because else read
    yield "Fuel", "not read" if stay.fuel_eighths is None else f"{stay.fuel_eighths} of 8"
    lit = [f"{lamp(code).name} ({str(lamp(code).color.label).lower()})" for code in stay.lamps]
    yield "Warning lamps lit", ", ".join(lit) or "none recorded"
    yield "Who drives it", stay.driver
    yield "In a week", f"{stay.miles_per_week:,} miles"
    yield "Somebody sleeps in it", YES[stay.sleeps_in]


def _facts(stay: Intake) -> Iterator[tuple[str, str]]:
    car = stay.vehicle
    yield "VIN", car.vin or car.vin_note
    yield "Year, make, model", str(car)
    yield "Engine", ", ".join(part for part in (car.engine, car.get_fuel_display()) if part)
    yield "Transmission", car.transmission
    brakes = (car.get_front_brakes_display(), car.get_rear_brakes_display())
    yield "Brakes front, rear", ", ".join(str(part).lower() for part in brakes if part)
    yield "Tires", car.tire_size
    yield "Plate", f"{car.plate} {car.plate_state}".strip()


def _marked(row: MarkRow) -> Marked:
    note = f": {row.mark.note}" if row.mark.note else ""
    seen = f"{row.kind.label}, {row.mark.area}{note}"
    return Marked(sign=row.sign, x=row.mark.x, y=row.mark.y, seen=seen)


def _custody(stay: Intake) -> Iterator[tuple[str, str]]:
    """Yield the acts with who said yes, the keys, and what lies in the car; blanks to write in."""
    for act in authority(stay, stay.program.today()):
        yield act.label, act.note
    tag = getattr(stay, "key_tag", None)
    yield "Keys", f"{tag.keys} under tag {tag.tag}, {tag.holder}" if tag else ""
    things = [one.what for one in stay.contents.filter(returned_on=None)]
    yield "In the car", ", ".join(things)
    returned = stay.contents.filter(returned_on__isnull=False)
    yield "Given back", ", ".join(f"{one.what} to {one.returned_to}" for one in returned)
