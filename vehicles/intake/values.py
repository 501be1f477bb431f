"""What is answered when a car arrives, and which answers are questioned.

>>> told = ArrivalAnswers(arrived_on=dt.date(2026, 12, 1), complaint="It grinds.", odometer_mi=900)
>>> last = Before(odometer_mi=148_190, on=dt.date(2025, 3, 3))
>>> refusals(told, last, dt.date(2026, 12, 1))["odometer_because"]
'The odometer showed 148,190 on Monday, March 3, 2025; 900 is less. Read it again, or say why.'
>>> refusals(told, None, dt.date(2026, 12, 1))
{}
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass

from shared.dates import full_date
from vehicles.intake.kinds import Arrival

# What is asked about again; own design, no source.
MOST_MILES_A_WEEK = 1_500
SPARE_MILES = 2_000
MUCH_ON_A_CAR = 400_000
MOST_DAYS_BACK = 90
_DAYS_A_WEEK = 7


@dataclass(frozen=True, kw_only=True)
class CarAnswers:
    """The car as it was typed; empty or None wherever nobody knows."""

    vin: str = ""
    vin_note: str = ""
    year: int | None = None
    make: str = ""
    model: str = ""
    engine: str = ""
    body: str = ""
    fuel: str = ""
    transmission: str = ""
    front_brakes: str = ""
    rear_brakes: str = ""
    power_brakes: bool | None = None
    tire_size: str = ""
    plate: str = ""
    plate_state: str = ""


@dataclass(frozen=True, kw_only=True)
class ArrivalAnswers:
    """What was told and read as the car came; `comeback` means the trouble of the stay before."""

    arrived_on: dt.date
    complaint: str
    arrived_by: str = Arrival.DRIVEN
    driver: str = ""
    miles_per_week: int = 0
    sleeps_in: bool | None = None
    odometer_mi: int | None = None
    odometer_because: str = ""
    fuel_eighths: int | None = None
    lamps: tuple[str, ...] = ()
    comeback: bool = False


@dataclass(frozen=True, kw_only=True)
class Before:
    """The last reading of the car's odometer, with its day, and the day on which it left."""

    odometer_mi: int | None = None
    on: dt.date | None = None
    left_on: dt.date | None = None


def refusals(told: ArrivalAnswers, before: Before | None, today: dt.date) -> dict[str, str]:
    """Return what can't stand as it was told: the sentence by the name of its field."""
    found = {"arrived_on": _day(told.arrived_on, before, today)}
    if not told.odometer_because.strip():
        found["odometer_because"] = _odometer(told, before)
    return {name: sentence for name, sentence in found.items() if sentence}


def _day(day: dt.date, before: Before | None, today: dt.date) -> str:
    if day > today:
        return f"{full_date(day)}, has not come yet."
    if day < today - dt.timedelta(days=MOST_DAYS_BACK):
        return (
            f"{full_date(day)}, is more than {MOST_DAYS_BACK} days back. "
            "Stays of long ago come in with a sheet."
        )
    if before and before.left_on and day < before.left_on:
        return f"It left on {full_date(before.left_on)}; it can’t have come before that."
    return ""


def _odometer(told: ArrivalAnswers, before: Before | None) -> str:
    """Return the question about a reading: none, less than before, or hardly possible."""
    read = told.odometer_mi
    if read is None:
        return "The odometer is not read: say why."
    if before and before.odometer_mi is not None and before.on:
        return _since(read, told.arrived_on, before.odometer_mi, before.on)
    if read > MUCH_ON_A_CAR:
        return f"{read:,} miles is very much. Read it again, or say why it is right."
    return ""


def _since(read: int, day: dt.date, last: int, on: dt.date) -> str:
    """Return the question about a reading beside the one before it."""
    showed = f"The odometer showed {last:,} on {full_date(on)}"
    if read < last:
        return f"{showed}; {read:,} is less. Read it again, or say why."
    weeks = max((day - on).days, 0) / _DAYS_A_WEEK
    if read - last > SPARE_MILES + MOST_MILES_A_WEEK * weeks:
        return f"{showed}; {read:,} is {read - last:,} more. Read it again, or say why."
    return ""
